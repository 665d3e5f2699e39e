"""An earth strap must carry everything that comes home through it.

What leaves the battery returns to it. A strap sized for one lamp ends up with the fan, the pump and the alternator.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.overload import overloaded
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    return overloaded(rule, results, lambda kind: kind == "earth")


RULE = Rule(
    level="danger",
    title="Earth strap overloaded",
    source="ampacity table of the limits",
    caution="No fuse guards an earth strap: when it fails, the current looks for another way, through cables and "
            "pipes.",
    fix="a thicker strap",
    find=find,
)
