"""Figures of alternator and battery in each condition: output, demand, balance, bus voltage."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from fuseplan.checks.explain import battery_work
from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.explain.places import consumer_words, load_path
from fuseplan.checks.explain.steps import entered, given, smaller, solved_cite, total
from fuseplan.engine.consumers import ALTERNATOR, INTERMITTENT, LOAD
from fuseplan.engine.power import STILL_A
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution
from fuseplan.formulas.load import average_current
from fuseplan.formulas.power import balance
from fuseplan.formulas.working import apply

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Figures of the machine, and of every condition."""
    results = assessment.results
    rated = results.source.rated_a
    yield Figure("power.rated", "rated output of the alternator", "A", None if np.isnan(rated) else rated,
                 partial(battery_work.rated, results), why_unknown="the alternator's output is not given")
    yield Figure("power.setpoint", "regulator voltage", "V", results.source.setpoint_v,
                 partial(battery_work.setpoint, results))
    yield Figure("power.open_circuit", "rested voltage of the battery", "V", float(results.source.open_circuit_v[0]),
                 partial(battery_work.open_circuit, results))
    yield Figure("power.share_limit", "largest continuous load as a share of the output", "-",
                 assessment.guidance.alternator.continuous_share, partial(_share_limit, assessment))
    for view in assessment.conditions:
        at, row, words = f"power.{view.id}", view.index, f"in '{view.name}'"
        rotor = float(results.source.rotor_rpm[row])
        continuous = float(results.balance.continuous_a[0, row])
        yield Figure(f"{at}.balance", "output less average demand "
                                      f"{words}", "A", view.balance_a, partial(_balance, results, row))
        yield Figure(f"{at}.demand", f"average demand {words}", "A", view.demand_a, partial(_demand, results, row))
        yield Figure(f"{at}.available", f"hot output of the alternator {words}", "A", view.available_a,
                     partial(battery_work.available, results, row))
        yield Figure(f"{at}.peak", f"all that is on together {words}", "A", view.peak_a, partial(_peak, results, row))
        yield Figure(f"{at}.continuous", f"what is on for more than five minutes {words}", "A", continuous,
                     partial(_continuous, results, row))
        yield Figure(f"{at}.battery", f"what the battery gives {words}; negative is discharge", "A", view.battery_a,
                     partial(_battery, results, row))
        yield Figure(f"{at}.bus", f"voltage of the battery post {words}", "V", view.bus_v,
                     partial(battery_work.bus, results, row), solved=True)
        yield Figure(f"{at}.rotor", f"speed of the alternator's rotor {words}", "r/min", rotor,
                     partial(battery_work.rotor, results, row))


def _share_limit(assessment: Assessment) -> float:
    rule = assessment.guidance.alternator
    return given("s", "largest continuous load as a share of the "
                      "output", rule.continuous_share, "-", rule.continuous_source)


def _on(results: Results, solution: Solution, row: int) -> list[int]:
    kinds = results.network.consumers.kind
    return np.flatnonzero((kinds != ALTERNATOR) & (solution.consumer_a[row] != 0.0)).tolist()


def _sum(results: Results, solution: Solution, row: int, members: list[int], words: str) -> float:
    parts = [(consumer_words(results.network, each), float(solution.consumer_a[row, each])) for each in members]
    return total("I", words, parts, "A", solved_cite(solution))


def _peak(results: Results, row: int) -> float:
    return _sum(results, results.solution, row, _on(results, results.solution, row), "solved currents of all that is "
                                                                                     "on together")


def _continuous(results: Results, row: int) -> float:
    use = results.network.consumers.use
    members = [each for each in _on(results, results.solution, row) if int(use[each]) < INTERMITTENT]
    return _sum(results, results.solution, row, members, "solved currents of what is in continuous and prolonged use")


def _demand(results: Results, row: int) -> float:
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
    output = float(results.source.available_a[row])
    if output > 0 and abs(found - output) < STILL_A:
        found = given("I", "the machine just carries everything: what the solution leaves is no deficit", output, "A",
                      "limit of the solution's accuracy")
    return found


def _balance(results: Results, row: int) -> float:
    output = battery_work.available(results, row)
    return float(apply(balance, available_a=output, demand_a=_demand(results, row)))


def _battery(results: Results, row: int) -> float:
    over = _balance(results, row)
    none = given("B", "a full battery takes nothing worth counting", 0.0, "A", "common practice, no source")
    return smaller("B", "what the battery gives", [over, none], "A")
