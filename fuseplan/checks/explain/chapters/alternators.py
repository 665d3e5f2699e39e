"""How the figures of the alternator and its cable are worked out."""

from __future__ import annotations

import numpy as np

from fuseplan.checks.explain import battery_work, path_work
from fuseplan.checks.explain.demand_work import reference
from fuseplan.checks.explain.steps import given, total
from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.engine.results import Results
from fuseplan.formulas.drop import voltage_drop
from fuseplan.formulas.load import load_current
from fuseplan.formulas.working import apply
from fuseplan.results.charging import AlternatorResult, CableResult, ExciterResult, OutputPoint
from fuseplan.results.naming import branch_words, consumer_words
from fuseplan.tables.load import Cited

SILENT = "the alternator cable is not given"


def _fact(name: str) -> Cell:
    return lambda part, results: getattr(results.power.alternator, name)


def _point(value: float, unit: str, symbol: str, part: OutputPoint) -> float:
    return given(symbol, "a point of the curve the output is read from", value, unit,
                 part.solved.results.power.alternator.machine.basis)


works_out(AlternatorResult.pulley_ratio, traced(_fact("pulley_ratio"), "-"))
works_out(AlternatorResult.highest_rotor_rpm, traced(_fact("highest_rotor_rpm"), "r/min"))
works_out(AlternatorResult.highest_engine_rpm, traced(_fact("highest_engine_rpm"), "r/min"))
works_out(AlternatorResult.efficiency, traced(_fact("efficiency"), "-"))
works_out(AlternatorResult.fuel_share, traced(_fact("fuel_share"), "-"))
works_out(OutputPoint.rotor_rpm, lambda part: _point(part.rotor_rpm, "r/min", "n", part))
works_out(OutputPoint.output_a, lambda part: _point(part.output_a, "A", "I", part))


def _cable_ohm(part: CableResult, returns: bool) -> float:
    results = part.solved.results
    network, solution = results.network, results.solution
    nodes = network.consumers.return_node if returns else network.consumers.supply_node
    ohm, tree = (solution.return_ohm, network.returns) if returns else (solution.supply_ohm, network.supply)
    words = branch_words(network, returns)
    parts = [(words[node], path_work.branch_resistance(results, int(ohm[:, node].argmax()), returns, node))
             for node in path_work.path(tree, int(nodes[network.alternator]))]
    return total("R", "the whole way, each branch at its hottest", parts, "ohm", "resistances in series add")


def _cable_drop(part: CableResult, returns: bool) -> float:
    resistance = _cable_ohm(part, returns)
    return float(apply(voltage_drop, current_a=battery_work.rated(part.solved.results), resistance_ohm=resistance))


def permitted(words: str, found: Cited[float] | None) -> float:
    """A limit on a voltage, as a step."""
    assert found is not None
    return given("U", f"{words}, scaled to the system voltage", found.value, "V", found.source.line())


works_out(CableResult.supply_ohm, lambda part: _cable_ohm(part, False), SILENT)
works_out(CableResult.return_ohm, lambda part: _cable_ohm(part, True), SILENT)
works_out(CableResult.supply_drop_v, lambda part: _cable_drop(part, False), SILENT)
works_out(CableResult.return_drop_v, lambda part: _cable_drop(part, True), SILENT)
works_out(CableResult.limit_ohm, lambda part: given("R", "largest resistance of the alternator cable", part.limit_ohm,
                                                        "ohm", part.limit_ohm_source))
works_out(CableResult.limit_v, lambda part: permitted("largest drop of the alternator cable", part.cable.limit_v),
          "no limit is on file")
works_out(CableResult.return_limit_v,
          lambda part: permitted("largest drop of the way back", part.cable.return_limit_v))


def _exciter(part: ExciterResult) -> float:
    results: Results = part.solved.results
    network, parts = results.network, []
    number = part.solved.circuit_index[part.circuit]
    for consumer in np.flatnonzero((network.consumers.circuit == number) & (network.consumers.kind == 0)).tolist():
        current, at_v, exponent = reference(results, consumer)
        voltage = battery_work.open_circuit(results)
        drawn = apply(load_current, reference_current_a=current, voltage_v=voltage, reference_voltage_v=at_v,
                      exponent=exponent)
        parts.append((consumer_words(network, consumer), float(drawn)))
    return total("I", "its loads together", parts, "A")


works_out(ExciterResult.current_a, _exciter, "its loads' currents are not given")
works_out(ExciterResult.wanted_a, lambda part: given("I", "the smallest published", part.wanted_a, "A", part.source))
