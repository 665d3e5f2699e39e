"""What the plan does not say and a safe answer needs: one list, read by verdicts, papers, screens and documents.

A question is one of safety where a wrong answer can burn, injure, or leave a pump or the engine running: a circuit with
such a question has no verdict of ok. The others only ask.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from fuseplan.checks.rule import OfPart, SubjectKind
from fuseplan.engine.results import Results
from fuseplan.plan.words import CircuitRole
from fuseplan.records import dataclass


@dataclass(frozen=True)
class NotSaid(OfPart):
    """One thing the plan leaves out."""

    subject_kind: SubjectKind
    subject: str
    what: str
    """What is not said, in the middle of a sentence."""
    why_it_matters: str
    """What follows if the answer is the wrong one, a sentence without its full stop."""
    kind: str
    """What kind of question it is; questions of one kind have the same words but for their subject."""
    key: str
    """Path in the plan of the key that says it."""
    safety: bool
    """Safety rests on it: a circuit is then unknown."""
    detail: str = ""
    """What the answer should be, as far as it is known: the role proposed, the rating needed."""
    proposed: CircuitRole | None = None
    """The role proposed from a circuit's name, where the role is asked for or the name contradicts it."""


Question = Callable[[Results], Iterator[NotSaid]]


def not_said(results: Results) -> tuple[NotSaid, ...]:
    """All that is not said, questions of safety first, then in the order of `QUESTIONS` and of the plan."""
    from fuseplan.checks.questions import QUESTIONS

    found = [each for question in QUESTIONS for each in question(results)]
    return tuple(sorted(found, key=lambda each: not each.safety))
