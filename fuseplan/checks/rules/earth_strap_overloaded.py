"""An earth strap or earth wire to the battery carries more than its ampacity.

All current from the battery returns to it. A strap sized for one lamp ends up carrying the fan, the pump and the
alternator.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.overload import SOURCE, for_minutes, for_seconds, overloaded
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.engine.results import Results
from fuseplan.results.segment import SegmentResult

LASTING, MOMENTARY = for_minutes("earth"), for_seconds("earth")


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    return overloaded(rule, results, LASTING, MOMENTARY)


RULE = Rule(
    consequence="burns",
    title="Earth strap overloaded",
    source=SOURCE,
    caution="No fuse protects an earth strap: when it fails, the current takes another path, through control cables "
            "and pipes.",
    fix="a thicker strap",
    example="fails: 15 A through a strap of 0.75 mm²; passes: 6 mm²",
    find=find,
    ambient=True,
    limits=(LASTING, MOMENTARY),
    figures=((SegmentResult.current_a, SegmentResult.ampacity_a),),
)
