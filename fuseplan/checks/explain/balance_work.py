"""How demand and balance of a condition came about."""

from __future__ import annotations

import numpy as np

from fuseplan.checks.explain import battery_work
from fuseplan.checks.explain.steps import entered, given, smaller, solved, solved_cite, total
from fuseplan.engine.consumers import ALTERNATOR, INTERMITTENT, LOAD
from fuseplan.engine.power import still_a
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution
from fuseplan.formulas.load import average_current
from fuseplan.formulas.power import balance
from fuseplan.formulas.working import apply
from fuseplan.results.naming import consumer_words, load_path


def _on(results: Results, solution: Solution, row: int) -> list[int]:
    kinds = results.network.consumers.kind
    return np.flatnonzero((kinds != ALTERNATOR) & (solution.consumer_a[row] != 0.0)).tolist()


def _sum(results: Results, solution: Solution, row: int, members: list[int], words: str) -> float:
    parts = [(consumer_words(results.network, each), float(solution.consumer_a[row, each])) for each in members]
    return total("I", words, parts, "A", solved_cite(solution))


def peak(results: Results, row: int) -> float:
    """All that is on together in one row."""
    return _sum(results, results.solution, row, _on(results, results.solution, row), "solved currents of all that is "
                                                                                     "on together")


def continuous(results: Results, row: int) -> float:
    """What is in continuous and prolonged use in one row."""
    use = results.network.consumers.use
    members = [each for each in _on(results, results.solution, row) if int(use[each]) < INTERMITTENT]
    return _sum(results, results.solution, row, members, "solved currents of what is in continuous and prolonged use")


def drain(results: Results, consumer: int) -> float:
    """Average current of one consumer of the parked car."""
    average, row = results.balance.average, results.power.standing.condition
    return solved("I", f"average current of {consumer_words(results.network, consumer)}",
                  float(average.consumer_a[row, consumer]), "A", average)


def demand(results: Results, row: int) -> float:
    """Average demand in one row: of a condition as entered, or at the upper bound of the evidence."""
    average, consumers = results.balance.average, results.network.consumers
    members = _on(results, average, row)
    for each in members:
        if int(consumers.kind[each]) == LOAD and float(consumers.duty[each]) != 1.0:
            path, words = load_path(results.network, each), consumer_words(results.network, each)
            current = entered("I", f"current of {words}", float(consumers.reference_a[each]), "A", path)
            duty = entered("D", f"share of the time {words} is on", float(consumers.duty[each]), "-", f"{path}.duty")
            apply(average_current, current_a=current, duty=duty)
    found = _sum(results, average, row, members,
                 "solved currents of all that is on, each weighed with its share of the time, at the voltage that "
                 "results")
    output = float(results.source.available_a[row % len(results.network.conditions)])
    if output > 0 and abs(found - output) < still_a(output):
        found = given("I", "the machine just carries everything: what the solution leaves is no deficit", output, "A",
                      "limit of the solution's accuracy")
    return found


def discharge_if_low(results: Results, row: int) -> float:
    """What the battery gives in one condition once the voltage has been down at its own."""
    battery_work.open_circuit(results)
    battery_work.available(results, row)
    out = float(results.discharge_if_low_a[0, row])
    if not out:
        return given("I", "starting from the battery's voltage the alternator gets back to its regulator voltage, or "
                     "the deficit is there in any case", out, "A", "how the solver treats the machine")
    return given("I", "starting from the battery's voltage the loads draw so much more than the alternator gives; at "
                 "the regulator voltage they would draw less than that", out, "A",
                 "solved for all nodes at once, from the battery's voltage")


def output_less_demand(results: Results, row: int) -> float:
    """Output less average demand in one row."""
    output = battery_work.available(results, row % len(results.network.conditions))
    return float(apply(balance, available_a=output, demand_a=demand(results, row)))


def battery_current(results: Results, row: int) -> float:
    """Average current of the battery in one row; negative is discharge."""
    over = output_less_demand(results, row)
    none = given("B", "a full battery takes nothing worth counting", 0.0, "A", "common practice, no source")
    return smaller("B", "what the battery gives", [over, none], "A")
