"""How the figures of every condition are worked out: output, demand, balance, bus voltage, time to flat."""

from __future__ import annotations

from typing import Any

from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.engine.alternator import NO_OUTPUT
from fuseplan.engine.results import Results
from fuseplan.formulas.durations import in_minutes
from fuseplan.results.condition import ConditionResult
from fuseplan.trace import apply, given


def _no_deficit(part: ConditionResult) -> str:
    return "the battery gives nothing, or its capacity is not given" if part.balance_known else NO_OUTPUT


def _engine(part: ConditionResult, results: Results) -> Any:
    if part.id in results.plan.condition:
        return given(part.engine_rpm, "n", "r/min", "engine speed", f"the plan, condition.{part.id}.engine")
    return given(part.engine_rpm, "n", "r/min", "engine speed of a built-in condition", "common practice, no source")


def _source(array: str) -> Cell:
    return lambda part, results: getattr(results.source, array)[part.index]


def _balance(array: str, bound: int = 0) -> Cell:
    return lambda part, results: getattr(results.balance, array)[bound, part.index]


works_out(ConditionResult.engine_rpm, traced(_engine, "r/min"))
works_out(ConditionResult.rotor_rpm, traced(_source("rotor_rpm"), "r/min"))
works_out(ConditionResult.bus_v, traced(lambda part, results: results.solution.root_v[part.index], "V"))
works_out(ConditionResult.average_bus_v, traced(_balance("bus_v"), "V"))
works_out(ConditionResult.demand_a, traced(_balance("demand_a"), "A", "I"))
works_out(ConditionResult.peak_a, traced(_balance("peak_a"), "A", "I"))
works_out(ConditionResult.continuous_a, traced(_balance("continuous_a"), "A", "I"))
works_out(ConditionResult.available_a, traced(_balance("available_a"), "A"), NO_OUTPUT)
works_out(ConditionResult.balance_a, traced(_balance("balance_a"), "A"), NO_OUTPUT)
works_out(ConditionResult.balance_upper_a, traced(_balance("balance_a", 1), "A"), NO_OUTPUT)
works_out(ConditionResult.battery_a, traced(_balance("battery_a"), "A"), NO_OUTPUT)
works_out(ConditionResult.alternator_a,
          traced(lambda part, results: results.balance.average.alternator_a[part.index], "A"), NO_OUTPUT)
works_out(ConditionResult.discharge_if_low_a,
          traced(lambda part, results: results.discharge_if_low_a[0, part.index], "A"), NO_OUTPUT)
works_out(ConditionResult.continuous_share,
          traced(lambda part, results: results.power.alternator.share_of_rated[0, part.index], "-"), NO_OUTPUT)
works_out(ConditionResult.peak_share,
          traced(lambda part, results: results.power.alternator.peak_share[0, part.index], "-"), NO_OUTPUT)
works_out(ConditionResult.shaft_w, traced(lambda part, results: results.power.alternator.shaft_w[part.index], "W"))
works_out(ConditionResult.flat_min, traced(lambda part, results: apply(
    in_minutes, time_s=results.power.flat_s(part.index)), "min"), _no_deficit)
works_out(ConditionResult.no_start_min, traced(lambda part, results: apply(
    in_minutes, time_s=results.power.no_start_s(part.index)), "min"), _no_deficit)
