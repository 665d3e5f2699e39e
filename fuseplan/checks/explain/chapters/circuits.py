"""Figures of circuits: design currents, currents and voltages in each condition, drop, switch rating."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from fuseplan.checks.explain import path_work
from fuseplan.checks.explain.demand_work import load_demand
from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.explain.places import consumer_words
from fuseplan.checks.explain.steps import given, total
from fuseplan.checks.explain.traced import traced
from fuseplan.checks.views import CircuitView
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S, INTERVAL_WORDS, INTERVALS
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution
from fuseplan.formulas.relay import switch_rating
from fuseplan.formulas.working import apply, note
from fuseplan.quantities import writing
from fuseplan.tables import relays as relay_tables

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


STOP = ("stop: this program gives no figures for such a circuit; the maker's procedure holds, and a qualified person "
        "does "
        "the work")


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Figures of every circuit that is in scope."""
    for view in assessment.circuits:
        if view.circuit.out_of_scope is not None:
            yield Figure(f"circuit.{view.id}.design", "design current of "
                                                      f"{view.name}", "A", None, str, why_unknown=STOP)
        else:
            yield from _design(assessment, view)
            yield from _drop(assessment, view)
            yield from _relay(assessment, view)
            yield from _conditions(assessment, view)


def _why(view: CircuitView) -> str:
    if view.missing:
        return f"not known: {', '.join(view.missing)} missing"
    return f"not known: {'; '.join(view.unknown)}" if view.unknown else ""


def _design(assessment: Assessment, view: CircuitView) -> Iterator[Figure]:
    number, at, known = view.index, f"circuit.{view.id}.design", view.current_known

    def demand(interval: int) -> Callable[[], float]:
        return traced(assessment, lambda results: results.demands.circuit[0, interval, number], "I", "A")

    chosen = next((each for each in (CONTINUOUS, FIVE_MIN, FIVE_S) if view.demand_a(each) > 0), CONTINUOUS)
    yield Figure(at, f"design current of {view.name} ({INTERVAL_WORDS[chosen]})", "A", view.design_a,
                 demand(chosen), why_unknown=_why(view))
    for interval, key in enumerate(INTERVALS):
        yield Figure(f"{at}.{key}", f"{INTERVAL_WORDS[interval]} demand of {view.name}", "A",
                     view.demand_a(interval) if known else None, demand(interval),
                     why_unknown=_why(view))


def _drop(assessment: Assessment, view: CircuitView) -> Iterator[Figure]:
    drop, results, at = view.drop, assessment.results, f"circuit.{view.id}.drop"
    if drop is None:
        yield Figure(at, f"voltage lost to {view.name}", "V", None, str,
                     why_unknown=_why(view) or "it is on in no condition")
        return
    consumer = int(results.drops.worst_load[view.index])
    words = f"in '{drop.condition}', where most is lost to {consumer_words(results.network, consumer)}"
    yield Figure(at, f"voltage lost to {view.name} "
                     f"{words}", "V", drop.volts, partial(_lost, results, consumer))
    yield Figure(f"{at}.supply", f"voltage lost on the supply side of {view.name} {words}", "V", drop.supply_v,
                 partial(_lost_on, results, consumer, False))
    yield Figure(f"{at}.return", f"voltage lost on the return side of {view.name} {words}", "V", drop.return_v,
                 partial(_lost_on, results, consumer, True))
    yield Figure(f"{at}.limit", f"permitted drop of {view.name}", "V", drop.limit_v, partial(_limit, assessment, view),
                 why_unknown="no kind of circuit is given, or no limit for it is on file")


def _solution_of(results: Results, consumer: int) -> tuple[Solution, int]:
    """The solution and row a consumer's worst drop comes from."""
    drops = results.drops
    return results.choices[int(drops.choice[0, consumer])], int(drops.condition[0, consumer])


def _lost(results: Results, consumer: int) -> float:
    solution, row = _solution_of(results, consumer)
    return path_work.both_drops(results, solution, row, consumer)


def _lost_on(results: Results, consumer: int, returns: bool) -> float:
    solution, row = _solution_of(results, consumer)
    nodes = results.network.consumers.return_node if returns else results.network.consumers.supply_node
    return path_work.drop_along(results, solution, row, returns, int(nodes[consumer]))


def _limit(assessment: Assessment, view: CircuitView) -> float:
    results, drop = assessment.results, view.drop
    assert drop is not None
    assert view.circuit.drop_class is not None
    use = view.circuit.load[drop.load].use
    found = results.limit_set.drop_limit(view.circuit.drop_class, results.network.system_v,
                                        "continuous" if use in ("continuous", "prolonged") else "intermittent")
    assert found is not None
    leads = "for both leads together" if results.limit_set.drop_covers_return else "for the supply lead alone"
    return given("ΔU", f"limit of a '{view.circuit.drop_class}' circuit at "
                       f"{writing.stated(results.network.system_v, 'V')}, {use} use, {leads}",
                 found.value, "V", found.source.line())


def _relay(assessment: Assessment, view: CircuitView) -> Iterator[Figure]:
    results = assessment.results
    value = float(results.switching.switch_a[0, view.index]) if view.current_known else None
    yield Figure(f"circuit.{view.id}.relay", f"rating a plain switch of {view.name} would need", "A", value,
                 partial(_switch, assessment, view), why_unknown=_why(view))


def _switch(assessment: Assessment, view: CircuitView) -> float:
    results = assessment.results
    network, parts = results.network, []
    for consumer in assessment.consumers_of.get(view.index, []):
        current = load_demand(results, consumer, FIVE_S)
        cited = relay_tables.switch_factor(network.consumers.load_kind[consumer], network.system_v)
        factor = given("F", f"factor of a {network.consumers.load_kind[consumer]} load", cited.value, "-",
                       cited.source.line())
        parts.append((consumer_words(network, consumer), float(apply(switch_rating, current_a=current, factor=factor))))
    _, why = view.relay_need
    note("w", "what follows for switch and relay", why, "-", "published consumer rule of 10 A; 6 A is common "
                                                             "practice, no source")
    return total("Iᵣ", "the ratings its loads ask for together", parts, "A", "AC 43.13-1B table 11-4")


def _conditions(assessment: Assessment, view: CircuitView) -> Iterator[Figure]:
    results, number = assessment.results, view.index
    for row, condition in enumerate(results.network.condition_ids):
        current, volts, live = view.in_condition(row)
        yield Figure(f"circuit.{view.id}.current.{condition}", f"current of {view.name} in '{condition}'", "A",
                     current if view.current_known else None, partial(path_work.circuit_current, results, row, number),
                     solved=True, why_unknown=_why(view))
        for place, (consumer, volt) in enumerate(zip(assessment.consumers_of.get(number, []), volts, strict=True)):
            yield Figure(f"circuit.{view.id}.load.{place}.volts.{condition}",
                         f"voltage across {consumer_words(results.network, consumer)} in '{condition}'", "V",
                         volt if np.isfinite(volt) else None, partial(_volts, results, row, consumer, live),
                         why_unknown=_why(view))


def _volts(results: Results, row: int, consumer: int, live: bool) -> float:
    if not live:
        return given("U", "its feed or its relay's coil is dead in this state of the key", 0.0, "V",
                     "the plan, states in which its feeds are live")
    return path_work.load_voltage(results, results.solution, row, consumer)
