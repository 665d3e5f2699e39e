"""How the figures of circuits are worked out: load currents, currents and voltages in each condition, drop, switch."""

from __future__ import annotations

from fuseplan.checks.explain import path_work
from fuseplan.checks.explain.demand_work import load_demand
from fuseplan.checks.explain.steps import given, total
from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.solve import Solution
from fuseplan.formulas.relay import switch_rating
from fuseplan.formulas.working import apply, note
from fuseplan.quantities import writing
from fuseplan.results.circuit import CircuitInCondition, CircuitResult, DropResult, LoadCurrent, RelayResult
from fuseplan.results.naming import consumer_words
from fuseplan.tables import relays as relay_tables

STOP = ("stop: this program gives no figures for such a circuit; the maker's procedure holds, and a qualified person "
        "does the work")


def _why(part: LoadCurrent | CircuitInCondition | RelayResult) -> str:
    return why_unknown(part.circuit)


def why_unknown(circuit: CircuitResult) -> str:
    """Why figures of a circuit are not known; nothing where all it rests on is."""
    if circuit.circuit.out_of_scope is not None:
        return STOP
    if circuit.missing:
        return f"not known: {', '.join(circuit.missing)} missing"
    unknown = circuit.unknown if isinstance(circuit, JudgedCircuit) else ()
    return f"not known: {'; '.join(unknown)}" if unknown else ""


def _over(interval: int) -> Cell:
    return lambda part, results: results.demands.circuit[0, interval, part.circuit.index]


works_out(LoadCurrent.five_s, traced(_over(FIVE_S), "A", "I"), _why)
works_out(LoadCurrent.five_min, traced(_over(FIVE_MIN), "A", "I"), _why)
works_out(LoadCurrent.continuous, traced(_over(CONTINUOUS), "A", "I"), _why)


def _current(part: CircuitInCondition) -> float:
    return path_work.circuit_current(part.circuit.solved.results, part.row, part.circuit.index)


def _load_v(part: CircuitInCondition, number: int) -> float:
    results = part.circuit.solved.results
    if not part.live:
        return given("U", "its feed or its relay's coil is dead in this state of the key", 0.0, "V",
                     "the plan, states in which its feeds are live")
    return path_work.load_voltage(results, results.solution, part.row, part.members[number])


works_out(CircuitInCondition.current_a, _current, _why)
works_out(CircuitInCondition.load_v, _load_v, _why)


def _solution(drop: DropResult) -> tuple[Solution, int]:
    """The solution and row the worst drop comes from."""
    results = drop.circuit.solved.results
    return results.choices[int(results.drops.choice[0, drop.consumer])], drop.row


def _lost(drop: DropResult) -> float:
    return path_work.both_drops(drop.circuit.solved.results, *_solution(drop), drop.consumer)


def _lost_on(drop: DropResult, returns: bool) -> float:
    results = drop.circuit.solved.results
    nodes = results.network.consumers.return_node if returns else results.network.consumers.supply_node
    return path_work.drop_along(results, *_solution(drop), returns, int(nodes[drop.consumer]))


def _limit(drop: DropResult) -> float:
    results, use = drop.circuit.solved.results, drop.circuit.circuit.load[drop.load].use
    assert drop.drop_class is not None
    found = results.limit_set.drop_limit(drop.drop_class, results.network.system_v, drop.lasts)
    assert found is not None
    leads = "for both leads together" if results.limit_set.drop_covers_return else "for the supply lead alone"
    return given("ΔU", f"limit of a '{drop.drop_class}' circuit at "
                       f"{writing.stated(results.network.system_v, 'V')}, {use} use, {leads}",
                 found.value, "V", found.source.line())


works_out(DropResult.volts, _lost)
works_out(DropResult.supply_v, lambda drop: _lost_on(drop, False))
works_out(DropResult.return_v, lambda drop: _lost_on(drop, True))
works_out(DropResult.limit_v, _limit, "no kind of circuit is given, or no limit for it is on file")


def _switch(part: RelayResult) -> float:
    circuit, parts = part.circuit, []
    results = circuit.solved.results
    network = results.network
    for consumer in circuit.solved.consumers_of.get(circuit.index, []):
        current = load_demand(results, consumer, FIVE_S)
        cited = relay_tables.switch_factor(network.consumers.load_kind[consumer], network.system_v)
        factor = given("F", f"factor of a {network.consumers.load_kind[consumer]} load", cited.value, "-",
                       cited.source.line())
        parts.append((consumer_words(network, consumer), float(apply(switch_rating, current_a=current, factor=factor))))
    note("w", "what follows for switch and relay", circuit.relay_need[1], "-",
         "published consumer rule of 10 A; 6 A is common practice, no source")
    return total("Iᵣ", "the ratings its loads ask for together", parts, "A", "AC 43.13-1B table 11-4")


works_out(RelayResult.plain_switch_a, _switch, _why)
