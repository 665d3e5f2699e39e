"""How the figures of the battery, the parked car and the reserve are worked out."""

from __future__ import annotations

from fuseplan.checks.explain import balance_work, storage_work
from fuseplan.checks.explain.steps import given
from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.results.battery import (
    BatteryResult,
    DrainResult,
    ReserveConversion,
    ReserveInCondition,
    ReserveResult,
    StandingResult,
)
from fuseplan.results.power import PowerResult

NO_CAPACITY = "neither capacity nor reserve capacity is given"
NOTHING_DRAWS = "nothing draws, or the battery's capacity is not given"
NO_ESSENTIALS = "nothing essential draws"


def _share_limit(part: PowerResult) -> float:
    rule = part.solved.limit_set.alternator
    return given("s", "largest continuous load as a share of the output", rule.continuous_share, "-",
                 rule.continuous_source)


def _peak_limit(part: PowerResult) -> float:
    rule = part.solved.limit_set.alternator
    return given("s", "largest share of the output", rule.peak_share, "-", rule.peak_source)


works_out(PowerResult.alternator_rated_a, traced(lambda part, results: results.source.rated_a, "A"),
          "the alternator's output is not given")
works_out(PowerResult.regulator_v, traced(lambda part, results: results.source.regulator_v, "V"))
works_out(PowerResult.open_circuit_v, traced(lambda part, results: results.source.open_circuit_v[0], "V"))
works_out(PowerResult.continuous_share_limit, _share_limit)
works_out(PowerResult.peak_share_limit, _peak_limit)

works_out(BatteryResult.capacity_ah, lambda part: storage_work.capacity(part.solved.results), NO_CAPACITY)
works_out(BatteryResult.usable_ah, lambda part: storage_work.usable(part.solved.results), NO_CAPACITY)
works_out(BatteryResult.charge, lambda part: storage_work.charge(part.solved.results))
works_out(BatteryResult.warm_ohm, traced(lambda part, results: results.power.battery.warm_ohm, "ohm"))
works_out(BatteryResult.cold_ohm, traced(lambda part, results: results.power.battery.cold_ohm, "ohm"))
works_out(BatteryResult.peukert, lambda part: storage_work.peukert(part.solved.results))
works_out(BatteryResult.no_start_share, lambda part: storage_work.no_start_share(part.solved.results))
works_out(BatteryResult.freezing_c, lambda part: storage_work.freezing(part.solved.results),
          "no row is printed for so low a charge")
works_out(ReserveConversion.capacity_ah, lambda part: storage_work.conversion(part.solved.results, part.rule))


def _drain(corner: int) -> Cell:
    return lambda part, results: results.balance.demand_a[corner, part.facts.condition]


def _days(part: StandingResult, corner: int, own: bool) -> float:
    return storage_work.days(part.solved.results, corner, own)


works_out(StandingResult.drain_a, traced(_drain(0), "A"))
works_out(StandingResult.drain_upper_a, traced(_drain(1), "A"))
works_out(StandingResult.self_discharge_a, lambda part: storage_work.self_discharge(part.solved.results), NOTHING_DRAWS)
works_out(StandingResult.days, lambda part: _days(part, 0, False), NOTHING_DRAWS)
works_out(StandingResult.days_with_self_discharge, lambda part: _days(part, 0, True), NOTHING_DRAWS)
works_out(StandingResult.days_upper, lambda part: _days(part, 1, True), NOTHING_DRAWS)
works_out(StandingResult.wanted_days, lambda part: storage_work.wanted_days(part.solved.results))
works_out(DrainResult.current_a, lambda part: balance_work.drain(part.solved.results, part.facts.consumer))

works_out(ReserveResult.wanted_min,
          lambda part: given("t", "reserve wanted", part.wanted_min, "min", part.source))
works_out(ReserveInCondition.normal_a,
          lambda part: storage_work.reserve_current(part.solved.results, part.facts, False), NO_ESSENTIALS)
works_out(ReserveInCondition.essential_a,
          lambda part: storage_work.reserve_current(part.solved.results, part.facts, True), NO_ESSENTIALS)
works_out(ReserveInCondition.usable_ah, lambda part: storage_work.reserve_usable(part.solved.results))
works_out(ReserveInCondition.total_min,
          lambda part: storage_work.reserve_minutes(part.solved.results, part.facts), NO_ESSENTIALS)
