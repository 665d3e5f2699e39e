"""A wire of a circuit, or the alternator cable, carries more than its ampacity in its place.

A current of minutes is checked against the wire's ampacity at its ambient temperature and among the loaded wires of its
run; one of seconds against the heat the copper takes up in that time.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.overload import SOURCE, for_minutes, for_seconds, overloaded
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.engine.results import Results
from fuseplan.results.segment import SegmentResult

LASTING, MOMENTARY = for_minutes("circuit", "alternator"), for_seconds("circuit", "alternator")


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    return overloaded(rule, results, LASTING, MOMENTARY)


RULE = Rule(
    consequence="burns",
    title="Wire overloaded",
    source=SOURCE,
    caution="An overloaded wire ages, softens and shorts inside the loom, where nobody sees it.",
    fix="a thicker wire",
    example="fails: 15 A on 0.75 mm²; passes: on 4 mm²",
    find=find,
    ambient=True,
    limits=(LASTING, MOMENTARY),
    figures=((SegmentResult.current_a, SegmentResult.ampacity_a),),
)
