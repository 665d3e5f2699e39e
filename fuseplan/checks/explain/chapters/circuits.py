"""How the figures of circuits are worked out: load currents, currents and voltages in each condition, drop, switch."""

from __future__ import annotations

from typing import Any

from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.engine.drops import SMALLEST_A
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.results import Results
from fuseplan.formulas.working import note
from fuseplan.quantities import writing
from fuseplan.results.circuit import CircuitInCondition, CircuitResult, LoadCurrent, RelayResult
from fuseplan.results.drop import DropResult
from fuseplan.trace import cited, given

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


def _load_v(part: CircuitInCondition, results: Results, number: int) -> Any:
    dead = given(0.0, "U", "V", "its feed or its relay's coil is dead in this state of the key",
                 "the plan, states in which its feeds are live")
    return results.solution.across_v[part.row, part.members[number]] if part.live else dead


works_out(CircuitInCondition.current_a,
          traced(lambda part, results: results.current_a(part.row, part.members), "A", "I"), _why)
works_out(CircuitInCondition.load_v, traced(_load_v, "V"), _why)


def _limit(drop: DropResult, results: Results) -> Any:
    use = drop.circuit.use_of(drop.load)
    assert drop.drop_class is not None
    found = results.limit_set.drop_limit(drop.drop_class, results.network.system_v, drop.lasts)
    assert found is not None
    leads = "for both leads together" if results.limit_set.drop_covers_return else \
        f"for the supply lead alone, counted from {drop.judged_from}"
    return cited(found, "ΔU", "V", f"limit of a '{drop.drop_class}' circuit at "
                                   f"{writing.stated(results.network.system_v, 'V')}, {use} use, {leads}")


works_out(DropResult.volts, traced(lambda drop, results: results.drops.total_v[0, drop.consumer], "V"))
works_out(DropResult.supply_v, traced(lambda drop, results: results.drops.supply_v[0, drop.consumer], "V"))
works_out(DropResult.return_v, traced(lambda drop, results: results.drops.return_v[0, drop.consumer], "V"))
works_out(DropResult.judged_v, traced(lambda drop, results: results.drops.out.volts[0, drop.consumer], "V"))
works_out(DropResult.limit_v, traced(_limit, "V"), "no kind of circuit is given, no limit for it is on file, or "
          f"the load draws less than {writing.stated(SMALLEST_A, 'A')}")


def _switch(part: RelayResult) -> float:
    note("w", "what follows for switch and relay", part.circuit.relay_need[1], "-",
         "published consumer rule of 10 A; 6 A is common practice, no source")
    return traced(lambda part, results: results.switching.switch_a[0, part.circuit.index], "A", "Iᵣ")(part)


works_out(RelayResult.plain_switch_a, _switch, _why)
