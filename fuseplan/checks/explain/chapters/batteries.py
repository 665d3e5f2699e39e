"""How the figures of the battery, the parked car and the reserve are worked out."""

from __future__ import annotations

from typing import Any

from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.engine.alternator import NO_OUTPUT
from fuseplan.engine.battery import NO_CAPACITY, NO_START_WORDS
from fuseplan.engine.results import Results
from fuseplan.formulas.durations import in_minutes
from fuseplan.results.battery import (
    BatteryResult,
    DrainResult,
    ReserveConversion,
    ReserveInCondition,
    ReserveResult,
    StandingResult,
)
from fuseplan.results.power import PowerResult
from fuseplan.trace import apply, cited, decided, given

NOTHING_DRAWS = "nothing draws, or the battery's capacity is not given"
NO_ESSENTIALS = "nothing essential draws"


def _share_limit(_: PowerResult, results: Results) -> Any:
    rule = results.limit_set.alternator
    return given(rule.continuous_share, "s", "-", "largest continuous load as a share of the output",
                 rule.continuous_source)


def _peak_limit(_: PowerResult, results: Results) -> Any:
    rule = results.limit_set.alternator
    return given(rule.peak_share, "s", "-", "largest share of the output", rule.peak_source)


def _battery(name: str) -> Cell:
    return lambda part, results: getattr(results.power.battery, name)


def _standing(name: str) -> Cell:
    return lambda part, results: getattr(results.power.standing, name)


def _conversion(part: ReserveConversion, results: Results) -> Any:
    battery = results.plan.battery
    assert battery is not None
    assert battery.reserve_capacity is not None
    minutes = given(float(battery.reserve_capacity) / 60.0, "t", "min", "reserve capacity",
                    "the plan, battery.reserve_capacity")
    found = results.power.battery.reserve_conversions_ah[part.rule]
    return decided(found.value, "C", "A·h", f"by the rule {part.rule.replace('_', ' ')}", found.source.line(), minutes)


def _reserve(name: str) -> Cell:
    """The same condition's reserve in the recorded results."""
    return lambda part, results: next(getattr(each, name) for each in results.power.reserves
                                      if each.condition == part.facts.condition)


works_out(PowerResult.alternator_rated_a, traced(lambda part, results: results.source.rated_a, "A"),
          NO_OUTPUT)
works_out(PowerResult.regulator_v, traced(lambda part, results: results.source.regulator_v, "V"))
works_out(PowerResult.open_circuit_v, traced(lambda part, results: results.source.open_circuit_v[0], "V"))
works_out(PowerResult.continuous_share_limit, traced(_share_limit, "-"))
works_out(PowerResult.peak_share_limit, traced(_peak_limit, "-"))

works_out(BatteryResult.capacity_ah, traced(_battery("capacity_ah"), "A·h"), NO_CAPACITY)
works_out(BatteryResult.usable_ah, traced(_battery("usable_ah"), "A·h", "Q"), NO_CAPACITY)
works_out(BatteryResult.charge, traced(_battery("charge"), "-"))
works_out(BatteryResult.warm_ohm, traced(_battery("warm_ohm"), "ohm"))
works_out(BatteryResult.cold_ohm, traced(_battery("cold_ohm"), "ohm"))
works_out(BatteryResult.peukert, traced(_battery("peukert"), "-"))
works_out(BatteryResult.no_start_share, traced(
    lambda _, results: cited(results.power.battery.no_start_share, "s", "-", NO_START_WORDS), "-"))
works_out(BatteryResult.freezing_c, traced(_battery("frost_c"), "°C"), "no row is printed for so low a charge")
works_out(ReserveConversion.capacity_ah, traced(_conversion, "A·h"))


def _drain(bound: int) -> Cell:
    return lambda part, results: results.balance.demand_a[bound, part.facts.condition]


works_out(StandingResult.drain_a, traced(_drain(0), "A", "I"))
works_out(StandingResult.drain_upper_a, traced(_drain(1), "A", "I"))
works_out(StandingResult.self_discharge_a, traced(_standing("self_discharge_a"), "A"), NOTHING_DRAWS)
works_out(StandingResult.days, traced(_standing("days"), "day"), NOTHING_DRAWS)
works_out(StandingResult.days_with_self_discharge, traced(_standing("days_with_self_discharge"), "day"), NOTHING_DRAWS)
works_out(StandingResult.days_upper, traced(_standing("days_upper"), "day"), NOTHING_DRAWS)
works_out(StandingResult.wanted_days, traced(_standing("wanted_days"), "day"))
works_out(DrainResult.current_a, traced(
    lambda part, results: results.balance.average.consumer_a[results.power.standing.condition, part.facts.consumer],
    "A"))

works_out(ReserveResult.wanted_min, traced(
    lambda part, _: given(part.wanted_min, "t", "min", "reserve wanted", part.source), "min"))
works_out(ReserveInCondition.normal_a, traced(_reserve("normal_a"), "A", "I"), NO_ESSENTIALS)
works_out(ReserveInCondition.essential_a, traced(_reserve("essential_a"), "A", "I"), NO_ESSENTIALS)
works_out(ReserveInCondition.usable_ah, traced(_reserve("usable_ah"), "A·h"))
works_out(ReserveInCondition.total_min, traced(lambda part, results: apply(
    in_minutes, time_s=_reserve("total_s")(part, results)), "min"), NO_ESSENTIALS)
