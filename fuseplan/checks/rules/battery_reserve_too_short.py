"""If the alternator fails, the battery does not carry the essential loads long enough to get off the road.

The published calculation: five minutes to notice the lamp and switch off the rest, then the essential loads on what is
left of 75 % of the capacity.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import condition_words
from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.battery import RESERVE_SOURCE, RESERVE_WANTED_S
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.battery import ReserveInCondition, ReserveResult


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    if results.plan.alternator is not None and results.power.has_essentials and \
            math.isnan(results.power.battery.capacity_ah):
        yield rule.unjudged(("battery", "battery"), "the battery's capacity, and so its reserve")
    if results.plan.alternator is None or not falls_short(results.power.least_reserve_s, RESERVE_WANTED_S):
        return
    worst = min(results.power.reserves, key=lambda each: each.total_s, default=None)
    if worst is None or not falls_short(worst.total_s, RESERVE_WANTED_S):
        return
    yield rule.finding(
        results, ("battery", "battery"),
        "with the alternator failed, the battery lasts "
        f"{writing.limit(worst.total_s / 60, 'min')} in {condition_words(results, worst.condition)}: "
        f"{writing.burden(worst.normal_a, 'A')} until it is noticed, then "
        f"{writing.burden(worst.essential_a, 'A')} of essential loads, from {writing.limit(worst.usable_ah, 'Ah')}",
        figure=worst.total_s / 60, figure_side="limit", limit=RESERVE_WANTED_S / 60, unit="min",
        fields=("battery.capacity",))


RULE = Rule(
    consequence="good_practice",
    title="Battery reserve too short",
    source=RESERVE_SOURCE,
    caution="Written for aircraft; no figure for cars is on file. Lamps that dim and an engine that stops leave a car "
            "in the dark without lights: know how many minutes you have.",
    fix="a larger battery, or fewer essential loads",
    example="fails: 120 A of essential loads on a 60 Ah battery; passes: 6 A",
    find=find,
    figures=((ReserveInCondition.total_min, ReserveResult.wanted_min),),
)
