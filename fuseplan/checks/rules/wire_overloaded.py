"""Every wire of a circuit, and the alternator's lead, must carry its current for good where it lies.

What flows for minutes is held against the wire's rating at its ambient and among the loaded wires of its run. What
flows for seconds is held against the heat the copper takes up in that time.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.overload import overloaded
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    return overloaded(rule, results, lambda kind: kind in ("circuit", "alternator"))


RULE = Rule(
    level="danger",
    title="Wire overloaded",
    source="ampacity table of the limits",
    caution="An overloaded wire ages, softens and shorts inside the loom, where nobody sees it.",
    fix="a thicker wire",
    find=find,
)
