"""How the figures of cranking are worked out."""

from __future__ import annotations

from fuseplan.checks.explain import battery_work, path_work
from fuseplan.checks.explain.chapters.alternators import permitted
from fuseplan.checks.explain.demand_work import reference
from fuseplan.checks.explain.steps import given, solved
from fuseplan.checks.explain.working import works_out
from fuseplan.engine.cranking import starter_consumer
from fuseplan.engine.results import Results
from fuseplan.formulas.battery import terminal_voltage
from fuseplan.formulas.drop import voltage_drop
from fuseplan.formulas.load import load_current, power_from_current
from fuseplan.formulas.working import apply
from fuseplan.results.cranking import CrankConsumer, CrankingResult, PieceResult
from fuseplan.results.solved_plan import SolvedPlan

SILENT = "no starter is on while cranking, and the engine's size is not given"
NO_STARTER = "the plan has no starter"
NO_INRUSH = "the starter's inrush is not given"


def _row(solved_plan: SolvedPlan) -> int:
    return solved_plan.results.power.cranking.condition


def _starter(results: Results) -> int:
    return starter_consumer(results.network, results.power.cranking.condition)


def _battery_v(part: CrankingResult, corner: int) -> float:
    results = part.solved.results
    if _starter(results) >= 0:
        return battery_work.bus(results, results.solution, _row(part.solved) + corner * len(results.network.conditions))
    emf, ohm = battery_work.open_circuit(results), battery_work.internal(results, True)
    return float(apply(terminal_voltage, emf_v=emf, internal_ohm=ohm, current_a=_by_size(results)))


def _by_size(results: Results) -> float:
    cranking = results.power.cranking
    return given("I", cranking.basis, float(cranking.current_a[0]), "A", cranking.basis)


def _starter_a(part: CrankingResult) -> float:
    results, row = part.solved.results, _row(part.solved)
    starter = _starter(results)
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


def _starter_v(part: CrankingResult) -> float:
    results = part.solved.results
    return path_work.load_voltage(results, results.solution, _row(part.solved), _starter(results))


def _starter_w(part: CrankingResult) -> float:
    current = _starter_a(part)
    return float(apply(power_from_current, current_a=current, voltage_v=_starter_v(part)))


def _lost(part: CrankingResult, returns: bool) -> float:
    results = part.solved.results
    nodes = results.network.consumers.return_node if returns else results.network.consumers.supply_node
    return path_work.drop_along(results, results.solution, _row(part.solved), returns, int(nodes[_starter(results)]))


def _dip(solved_plan: SolvedPlan, words: str, value: float | None, unit: str) -> float:
    assert value is not None
    network, starter = solved_plan.results.network, _starter(solved_plan.results)
    load = network.circuits[int(network.consumers.circuit[starter])].load[int(network.consumers.number[starter])]
    given("m", "switch-on current of the starter as a multiple of its running one", float(load.inrush or 1.0), "-",
          f"the plan, circuit.{network.consumers.owner[starter][1]}")
    return given("U" if unit == "V" else "I", f"{words}, the network solved with that multiple of the starter's "
                                              "current",
                 value, unit, "solved once more for the first instant of cranking, as every condition is")


works_out(CrankingResult.battery_limit_v,
          lambda part: permitted("least voltage of the battery post while cranking", part.facts.battery_limit))
works_out(CrankingResult.battery_v, lambda part: _battery_v(part, 0), SILENT)
works_out(CrankingResult.battery_upper_v, lambda part: _battery_v(part, 1), SILENT)
works_out(CrankingResult.current_a, _starter_a, SILENT)
works_out(CrankingResult.starter_v, _starter_v, NO_STARTER)
works_out(CrankingResult.starter_w, _starter_w, NO_STARTER)
works_out(CrankingResult.supply_drop_v, lambda part: _lost(part, False), NO_STARTER)
works_out(CrankingResult.return_drop_v, lambda part: _lost(part, True), NO_STARTER)
works_out(CrankingResult.dip_battery_v,
          lambda part: _dip(part.solved, "voltage of the battery post", part.dip_battery_v, "V"), NO_INRUSH)
works_out(CrankingResult.dip_current_a,
          lambda part: _dip(part.solved, "current of the starter", part.dip_current_a, "A"), NO_INRUSH)


def _volts(part: CrankConsumer) -> float:
    results = part.solved.results
    return path_work.load_voltage(results, results.solution, _row(part.solved), part.facts.consumer)


works_out(CrankConsumer.volts, _volts)
works_out(CrankConsumer.dip_v, lambda part: _dip(part.solved, f"voltage across {part.called}", part.dip_v, "V"),
          NO_INRUSH)
works_out(CrankConsumer.limit_v,
          lambda part: permitted(f"least voltage at which {part.called} works", part.facts.limit),
          "no limit is on file for it")


def _piece_ohm(part: PieceResult) -> float:
    return path_work.branch_resistance(part.solved.results, _row(part.solved), part.side == "return", part.facts.node)


def _piece_v(part: PieceResult) -> float:
    solution = part.solved.results.solution
    current = solution.return_a if part.side == "return" else solution.supply_a
    amperes = solved("I", f"current of {part.called}", float(current[_row(part.solved), part.facts.node]), "A",
                     solution)
    return float(apply(voltage_drop, current_a=amperes, resistance_ohm=_piece_ohm(part)))


works_out(PieceResult.resistance_ohm, _piece_ohm)
works_out(PieceResult.drop_v, _piece_v)
