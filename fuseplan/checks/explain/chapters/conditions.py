"""How the figures of every condition are worked out: output, demand, balance, bus voltage, time to flat."""

from __future__ import annotations

from collections.abc import Callable

from fuseplan.checks.explain import balance_work, battery_work, storage_work
from fuseplan.checks.explain.chapters.alternators import efficiency
from fuseplan.checks.explain.steps import entered, given
from fuseplan.checks.explain.working import works_out
from fuseplan.engine.results import Results
from fuseplan.formulas.alternator import shaft_power
from fuseplan.formulas.power import continuous_share
from fuseplan.formulas.working import apply
from fuseplan.results.condition import ConditionResult

NO_OUTPUT = "the alternator's output is not given"


def _no_deficit(part: ConditionResult) -> str:
    return "the battery gives nothing, or its capacity is not given" if part.balance_known else NO_OUTPUT


def _of_row(work: Callable[[Results, int], float]) -> Callable[[ConditionResult], float]:
    return lambda part: work(part.solved.results, part.index)


def _engine(part: ConditionResult) -> float:
    if part.id in part.solved.plan.condition:
        return entered("n", "engine speed", part.engine_rpm, "r/min", f"condition.{part.id}.engine")
    return given("n", "engine speed of a built-in condition", part.engine_rpm, "r/min", "common practice, no source")


def _delivered(results: Results, row: int) -> float:
    output, gives = float(results.source.available_a[row]), float(results.balance.average.alternator_a[row])
    if output > 0 and gives < output * (1.0 - 1e-9):
        asked = balance_work.demand(results, row)
        return given("I", "the machine can give more: it gives what is asked of it", asked, "A",
                     "how the solver treats the machine")
    limit = battery_work.available(results, row)
    return given("I", "all it can", limit, "A", "how the solver treats the machine")


def _share(results: Results, current: float) -> float:
    return float(apply(continuous_share, continuous_a=current, rated_a=battery_work.rated(results)))


def _shaft(results: Results, row: int) -> float:
    voltage, current = battery_work.regulator_voltage(results), _delivered(results, row)
    return float(apply(shaft_power, voltage=voltage, current=current, efficiency=efficiency()))


works_out(ConditionResult.engine_rpm, _engine)
works_out(ConditionResult.rotor_rpm, _of_row(battery_work.rotor))
works_out(ConditionResult.bus_v, _of_row(lambda results, row: battery_work.bus(results, results.solution, row)))
works_out(ConditionResult.average_bus_v,
          _of_row(lambda results, row: battery_work.bus(results, results.balance.average, row)))
works_out(ConditionResult.demand_a, _of_row(balance_work.demand))
works_out(ConditionResult.peak_a, _of_row(balance_work.peak))
works_out(ConditionResult.continuous_a, _of_row(balance_work.continuous))
works_out(ConditionResult.available_a, _of_row(battery_work.available), NO_OUTPUT)
works_out(ConditionResult.balance_a, _of_row(balance_work.output_less_demand), NO_OUTPUT)
works_out(ConditionResult.balance_upper_a, _of_row(
    lambda results, row: balance_work.output_less_demand(results, len(results.network.conditions) + row)), NO_OUTPUT)
works_out(ConditionResult.battery_a, _of_row(balance_work.battery_current), NO_OUTPUT)
works_out(ConditionResult.alternator_a, _of_row(_delivered), NO_OUTPUT)
works_out(ConditionResult.discharge_if_low_a, _of_row(balance_work.discharge_if_low), NO_OUTPUT)
works_out(ConditionResult.continuous_share,
          _of_row(lambda results, row: _share(results, balance_work.continuous(results, row))), NO_OUTPUT)
works_out(ConditionResult.peak_share,
          _of_row(lambda results, row: _share(results, balance_work.peak(results, row))), NO_OUTPUT)
works_out(ConditionResult.shaft_w, _of_row(_shaft))
works_out(ConditionResult.flat_min, _of_row(storage_work.flat_minutes), _no_deficit)
works_out(ConditionResult.no_start_min, _of_row(storage_work.no_start_minutes), _no_deficit)
