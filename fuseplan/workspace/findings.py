"""Findings in the order one works through them, and where in the plan each is fixed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rule import Finding, Unjudged
from fuseplan.papers import findings as words
from fuseplan.plan.part_names import title_of
from fuseplan.plan.references import ENTRIES, Path, form_root
from fuseplan.planfile.plain import get
from fuseplan.workspace.session import Session

if TYPE_CHECKING:
    from fuseplan.advice.proposal import Collision

SIGNS = {"danger": "✗", "warning": "!", "advice": "·", "measure": "◐"}


def level_words(finding: Finding) -> str:
    """Sign and word of a finding, so that its weight never rests on colour alone."""
    level = words.finding_level(finding)
    return f"{SIGNS[level]} {words.LEVEL_WORDS[level]}"


def _key(finding: Finding) -> tuple[str, str, str, str]:
    """What tells one finding from another across assessments."""
    return finding.subject_kind, finding.subject, finding.check, finding.fields[0] if finding.fields else ""


def subject_path(found: Finding | NotSaid | Unjudged) -> Path:
    """The part of the plan that a finding, a question or a check that could not be made is about."""
    if found.subject_kind in ENTRIES:
        return found.owner
    return (found.subject_kind if found.subject_kind in ("alternator", "battery") else "vehicle",)


def subject_words(session: Session, finding: Finding | Collision) -> str:
    """The subject by its name."""
    kind, name = finding.owner
    return "the car" if kind == "plan" else title_of(session.plan, kind, name or kind)


def following(session: Session, current: Finding | None, by: int = 1) -> Finding | None:
    """The next finding, the gravest first and round at the end; None when there is none."""
    found = session.assessment.findings
    if not found:
        return None
    at = None if current is None else index_of(found, current)
    if at is None:
        return found[0 if by > 0 else -1]
    return found[(at + by) % len(found)]


def index_of(found: tuple[Finding, ...], finding: Finding) -> int | None:
    """Place of a finding among others: itself, else the same check on the same subject; None without one."""
    if finding in found:
        return found.index(finding)
    alike = [at for at, each in enumerate(found) if _key(each) == _key(finding)]
    # Two wires of one part may have one fix: that of the same wire first.
    return next((at for at in alike if found[at].fields == finding.fields), alike[0] if alike else None)


def field_of(session: Session, found: Finding | NotSaid) -> tuple[Path, Path]:
    """Where a finding is fixed or a question answered: (root of the form, field). The root alone where no field is
    named."""
    whole = subject_path(found)
    for dotted in found.fields if isinstance(found, Finding) else (found.key,):
        path = _split(session, dotted)
        # The part as a whole says less than a field behind it.
        if path is None or path == whole:
            continue
        root = form_root(path)
        if len(root) == 1 or session.has(root):
            return root, path
    return whole, whole


def next_asked(asked: Sequence[NotSaid], last: NotSaid | None) -> NotSaid | None:
    """The question behind the last one, by its key, as its words may change with every edit; the first where there was
    none or it is answered. None behind the last of them."""
    at = next((place for place, each in enumerate(asked) if last is not None and each.key == last.key), -1)
    return asked[at + 1] if at + 1 < len(asked) else None


def _split(session: Session, dotted: str) -> Path | None:
    """A dotted path as steps; names may hold dots themselves, so they are matched against the plan."""
    head, _, rest = dotted.partition(".")
    steps: list[str | int] = [head]
    here = get(session.document.snapshot().data, (head,))
    if head in ENTRIES and not _known(here, rest):
        return None
    while rest:
        step = _known(here, rest) or rest.partition(".")[0]
        steps.append(int(step) if step.isdigit() and not isinstance(here, dict) else step)
        here, rest = get(here, (steps[-1],)), rest[len(step) + 1:]
    return tuple(steps)


def _known(here: object, rest: str) -> str:
    """The longest key of a table that a dotted path begins with; empty where none does."""
    names = [str(name) for name in here if f"{rest}.".startswith(f"{name}.")] if isinstance(here, dict) else []
    return max(names, key=len, default="")


def subject_of(root: Path) -> tuple[str, str]:
    """Kind and subject by which findings about a part of the plan are found."""
    if root[0] == "vehicle":
        return "plan", "plan"
    return str(root[0]), str(root[1] if len(root) > 1 else root[0])
