"""Figures of cranking, of the alternator cable, and of the exciter."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from fuseplan.checks.explain import battery_work, path_work
from fuseplan.checks.explain.demand_work import reference
from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.explain.places import branch_words, consumer_words
from fuseplan.checks.explain.steps import given, solved, total
from fuseplan.checks.views import known
from fuseplan.engine.alternator_cable import AlternatorCable
from fuseplan.engine.cranking import starter_consumer
from fuseplan.engine.results import Results
from fuseplan.formulas.battery import terminal_voltage
from fuseplan.formulas.drop import voltage_drop
from fuseplan.formulas.load import load_current, power_from_current
from fuseplan.formulas.working import apply
from fuseplan.tables.load import Cited

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment

SILENT = "no starter is on while cranking, and the engine's size is not given"


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Cranking, alternator cable and exciter, where the plan has them."""
    results = assessment.results
    if results.power.cranking.condition >= 0:
        yield from _cranking(results)
    lead = results.power.alternator_cable
    if lead is not None:
        yield from _lead(results, lead)


def _limit(address: str, words: str, found: Cited[float]) -> Figure:
    return Figure(address, words, "V", found.value,
                  partial(given, "U", f"{words}, scaled to the system voltage", found.value, "V", found.source.line()))


def _cranking(results: Results) -> Iterator[Figure]:
    cranking, at = results.power.cranking, "power.cranking"
    row, upper = cranking.condition, cranking.condition + len(results.network.conditions)
    starter = starter_consumer(results.network, row)
    yield _limit(f"{at}.battery_limit", "least voltage of the battery post while cranking", cranking.battery_limit)
    yield Figure(f"{at}.battery", "voltage of the battery post while cranking", "V", known(cranking.battery_v[0]),
                 partial(_battery_v, results, starter, row), solved=True, why_unknown=SILENT)
    yield Figure(f"{at}.battery_upper", "the same at the upper bound of the "
                                        "evidence", "V", known(cranking.battery_v[1]),
                 partial(_battery_v, results, starter, upper), solved=True, why_unknown=SILENT)
    yield Figure(f"{at}.current", "current of the starter", "A", known(cranking.current_a[0]),
                 partial(_starter_a, results, starter, row), solved=True, why_unknown=SILENT)
    none = "the plan has no starter"
    yield Figure(f"{at}.starter", "voltage across the starter", "V", known(cranking.starter_v[0]),
                 partial(path_work.load_voltage, results, results.solution, row, starter), why_unknown=none)
    yield Figure(f"{at}.starter_power", "power of the starter", "W", known(cranking.starter_w[0]),
                 partial(_starter_w, results, starter, row), solved=True, why_unknown=none)
    nodes = results.network.consumers
    for side, returns, value, at_node in (("supply", False, cranking.supply_drop_v[0], nodes.supply_node),
                                          ("return", True, cranking.return_drop_v[0], nodes.return_node)):
        yield Figure(f"{at}.{side}_drop", f"voltage lost on the {side} side of the starter", "V", known(value),
                     partial(path_work.drop_along, results, results.solution, row, returns,
                             int(at_node[starter]) if starter >= 0 else 0),
                     why_unknown=none)
    dip = results.power.dip
    for key, words, unit, value in (("battery", "voltage of the battery post", "V",
                                     None if dip is None else dip.battery_v),
                                    ("current", "current of the starter", "A",
                                     None if dip is None else dip.current_a)):
        yield Figure(f"{at}.dip_{key}", f"{words} in the first instant", unit, value,
                     partial(_dip, results, words, value or 0.0, unit), why_unknown="the starter's inrush is not given")
    for number, each in enumerate(cranking.survivors):
        words = consumer_words(results.network, each.consumer)
        yield Figure(f"{at}.consumer.{number}.volts", f"voltage across {words} while cranking", "V",
                     known(float(each.volts[0])),
                     partial(path_work.load_voltage, results, results.solution, row, each.consumer))
        if each.limit is not None:
            yield _limit(f"{at}.consumer.{number}.limit", f"least voltage at which {words} works", each.limit)
        low = None if dip is None else dip.survivor_v[number]
        yield Figure(f"{at}.consumer.{number}.dip", f"voltage across {words} in the first instant", "V", low,
                     partial(_dip, results, f"voltage across {words}", low or 0.0, "V"),
                     why_unknown="the starter's inrush is not given")


def _battery_v(results: Results, starter: int, row: int) -> float:
    if starter >= 0:
        return battery_work.bus(results, results.solution, row)
    emf, ohm = battery_work.open_circuit(results), battery_work.internal(results, True)
    return float(apply(terminal_voltage, emf_v=emf, internal_ohm=ohm, current_a=_by_size(results)))


def _by_size(results: Results) -> float:
    cranking = results.power.cranking
    return given("I", cranking.basis, float(cranking.current_a[0]), "A", cranking.basis)


def _starter_a(results: Results, starter: int, row: int) -> float:
    if starter < 0:
        return _by_size(results)
    current, at_v, exponent = reference(results, starter)
    voltage = solved("U", "voltage across the starter", float(results.solution.across_v[row, starter]), "V",
                     results.solution)
    if exponent < 0 and voltage < 0.5 * at_v:
        voltage = given("U", "not followed below half the voltage it is stated at", 0.5 * at_v, "V",
                        "common practice, no source")
    return float(apply(load_current, reference_current_a=current, voltage_v=voltage, reference_voltage_v=at_v,
                       exponent=exponent))


def _starter_w(results: Results, starter: int, row: int) -> float:
    current = _starter_a(results, starter, row)
    voltage = path_work.load_voltage(results, results.solution, row, starter)
    return float(apply(power_from_current, current_a=current, voltage_v=voltage))


def _dip(results: Results, words: str, value: float, unit: str) -> float:
    network, row = results.network, results.power.cranking.condition
    starter = starter_consumer(network, row)
    load = network.circuits[int(network.consumers.circuit[starter])].load[int(network.consumers.number[starter])]
    given("m", "switch-on current of the starter as a multiple of its running one", float(load.inrush or 1.0), "-",
          f"the plan, circuit.{network.consumers.owner[starter][1]}")
    return given("U" if unit == "V" else "I", f"{words}, the network solved with that multiple of the starter's "
                                              "current",
                 value, unit, "solved once more for the first instant of cranking, as every condition is")


def _lead(results: Results, lead: AlternatorCable) -> Iterator[Figure]:
    at, silent = "power.alternator_cable", "the alternator cable is not given"
    yield Figure(f"{at}.supply_resistance", "alternator cable from alternator to battery post, hottest", "ohm",
                 known(lead.supply_ohm), partial(_lead_ohm, results, False), solved=True, why_unknown=silent)
    yield Figure(f"{at}.return_resistance", "way back from the alternator's body to battery negative, hottest", "ohm",
                 known(lead.return_ohm), partial(_lead_ohm, results, True), solved=True, why_unknown=silent)
    yield Figure(f"{at}.supply_drop", "voltage drop of the alternator cable at rated output", "V",
                 known(lead.supply_drop_v), partial(_lead_drop, results, False), solved=True, why_unknown=silent)
    yield Figure(f"{at}.return_drop", "voltage the way back loses at rated output", "V", known(lead.return_drop_v),
                 partial(_lead_drop, results, True), solved=True, why_unknown=silent)
    yield Figure(f"{at}.limit_resistance", "largest resistance of the alternator cable", "ohm", lead.limit_ohm.value,
                 partial(given, "R", "largest resistance of the alternator cable", lead.limit_ohm.value, "ohm",
                         lead.limit_ohm.source.line()))
    if lead.limit_v is not None:
        yield _limit(f"{at}.limit", "largest drop of the alternator cable", lead.limit_v)
    yield _limit(f"{at}.return_limit", "largest drop of the way back", lead.return_limit_v)
    if lead.exciter is not None:
        wanted = lead.exciter.wanted
        yield Figure("power.exciter.current", "current of the exciter, ignition on, engine still", "A",
                     known(lead.exciter.current_a), partial(_exciter, results, lead.exciter.circuit),
                     why_unknown="its loads' currents are not given")
        yield Figure("power.exciter.wanted", "least current that starts the field", "A", wanted.value,
                     partial(given, "I", "the smallest published", wanted.value, "A", wanted.source.line()))


def _lead_ohm(results: Results, returns: bool) -> float:
    network, solution = results.network, results.solution
    nodes = network.consumers.return_node if returns else network.consumers.supply_node
    ohm, tree = (solution.return_ohm, network.returns) if returns else (solution.supply_ohm, network.supply)
    words = branch_words(network, returns)
    parts = [(words[node], path_work.branch_resistance(results, int(ohm[:, node].argmax()), returns, node))
             for node in path_work.path(tree, int(nodes[network.alternator]))]
    return total("R", "the whole way, each branch at its hottest", parts, "ohm", "resistances in series add")


def _lead_drop(results: Results, returns: bool) -> float:
    resistance = _lead_ohm(results, returns)
    return float(apply(voltage_drop, current_a=battery_work.rated(results), resistance_ohm=resistance))


def _exciter(results: Results, circuit: str) -> float:
    network, parts = results.network, []
    number = network.circuit_ids.index(circuit)
    for consumer in np.flatnonzero((network.consumers.circuit == number) & (network.consumers.kind == 0)).tolist():
        current, at_v, exponent = reference(results, consumer)
        voltage = battery_work.open_circuit(results)
        drawn = apply(load_current, reference_current_a=current, voltage_v=voltage, reference_voltage_v=at_v,
                      exponent=exponent)
        parts.append((consumer_words(network, consumer), float(drawn)))
    return total("I", "its loads together", parts, "A")
