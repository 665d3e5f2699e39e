"""The standing drain flattens the battery before the car has stood as long as the plan says.

Clocks, memories, alarms and a relay that stays on draw current all the time. Once about 40 % of the capacity is used a
cold engine does not start.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import owner_words
from fuseplan.engine.at_limit import exceeds, falls_short
from fuseplan.engine.results import Results
from fuseplan.engine.standing import DRAIN_COMMON_A, Drain
from fuseplan.plan.roles import must_run, plain_words, role_of
from fuseplan.quantities import writing
from fuseplan.results.battery import StandingResult

FIX = "feed {} from a switched bus, or find the relay coil that stays on, or fit a battery switch or a trickle charger"
DRAW_LESS = "in place of {} fit one that draws less, or keep the battery on a maintainer (trickle charger) while the " \
    "car stands"
"""For what must run with the key off."""
RUNS_PARKED = re.compile(r"\b(alarm|tracker|immobili[sz]er|memory|keep alive|clock)")
"""Names of what runs with the key off, whatever its role is. Common practice, no source."""


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    if results.plan.battery is None:
        return
    standing = results.power.standing
    if standing.condition < 0 or not standing.drain_a > 0:
        return
    most = standing.drains[0] if standing.drains else None
    largest = "" if most is None else \
        f"; the largest is {owner_words(results, most.owner)} ({most.what}) with {writing.burden(most.current_a, 'A')}"
    fix = None if most is None else (DRAW_LESS if _runs_parked(results, most) else FIX).format(
        owner_words(results, most.owner))
    days = standing.days_with_self_discharge
    if math.isnan(days):
        yield rule.unjudged(("battery", "battery"), "the battery's capacity, so how long the car can stand is not "
                                                    "known")
    if falls_short(days, standing.wanted_days):
        yield rule.finding(
            results, ("battery", "battery"),
            f"{writing.burden(standing.drain_a, 'A')} parked, plus self-discharge, use up the "
            f"{writing.limit(standing.usable_ah, 'Ah')} available in {writing.limit(days, 'days')}; the plan asks for "
            f"{writing.stated(standing.wanted_days, 'days')}{largest}", figure=days, figure_side="limit",
            limit=standing.wanted_days, unit="d", fix=fix, fields=("battery.capacity",))
    elif exceeds(standing.drain_a, DRAIN_COMMON_A):
        yield rule.finding(
            results, ("battery", "battery"),
            f"{writing.burden(standing.drain_a, 'A')} standing drain is more than the "
            f"{writing.limit(DRAIN_COMMON_A, 'A')} "
            f"common in cars{largest}", figure=standing.drain_a, limit=DRAIN_COMMON_A, unit="A",
            fix=fix, consequence="good_practice",
            source="published guidelines run from 20 to 150 mA and disagree: 25 to 50 mA common, above 35 mA "
                   "excessive, below 75 mA normal")


def _runs_parked(results: Results, drain: Drain) -> bool:
    """Whether what draws it is a circuit that must run with the key off, so that no switched bus may feed it."""
    circuit = results.plan.circuit.get(drain.owner[1]) if drain.owner[0] == "circuit" else None
    if circuit is None:
        return False
    name = drain.owner[1]
    role = role_of(name, circuit)
    return "off" in must_run(name, circuit) or (role is not None and role.word == "alarm") or any(
        RUNS_PARKED.search(plain_words(each)) for each in (name, circuit.name) if each)


RULE = Rule(
    consequence="stops_the_car",
    title="Standing drain",
    source="no start after about 40 % of the capacity is gone: a car maker's bulletin on standing drain",
    caution="A deeply discharged battery freezes and its case splits: charge it before the frost, away from flames.",
    fix=FIX.format("what draws most"),
    example="fails: an alarm of 200 mA; passes: a clock of 20 mA",
    find=find,
    figures=((StandingResult.days, StandingResult.wanted_days),
             (StandingResult.days_with_self_discharge, StandingResult.wanted_days),
             (StandingResult.days_upper, StandingResult.wanted_days), (StandingResult.drain_a, None)),
)
