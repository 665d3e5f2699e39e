"""The figures of one circuit."""

from __future__ import annotations

import math
from collections.abc import Mapping

from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.missing import Unknown, leaves_unknown
from fuseplan.engine.relays import need
from fuseplan.plan.model import Circuit
from fuseplan.plan.words import USES, CircuitRole, Use
from fuseplan.results import short_circuit
from fuseplan.results.coil import CoilResult, coil_result
from fuseplan.results.drop import DropResult
from fuseplan.results.fuse import FuseResult, fuse_result
from fuseplan.results.naming import condition_words
from fuseplan.results.part import Part, entry, figure, part
from fuseplan.results.segment import SegmentResult, segment_results
from fuseplan.results.short_circuit import ShortCircuit
from fuseplan.results.solved_plan import SolvedPlan, known


class LoadCurrent(Part):
    """The loads of a circuit that are on together: the current its fuse, wire, switch and relay are chosen for."""

    circuit: CircuitResult

    @property
    def solved(self) -> SolvedPlan:
        """The solved plan it belongs to."""
        return self.circuit.solved

    @figure("load current over 5 s", unit="A", side="burden", key="5s")
    def five_s(self) -> float | None:
        return self._over(FIVE_S)

    @figure("load current over 5 min", unit="A", side="burden", key="5min")
    def five_min(self) -> float | None:
        return self._over(FIVE_MIN)

    @figure("continuous load current", unit="A", side="burden")
    def continuous(self) -> float | None:
        return self._over(CONTINUOUS)

    def _over(self, interval: int) -> float | None:
        return known(self.circuit.demand_a(interval)) if self.circuit.has_figures else None


class CircuitInCondition(Part):
    """A circuit in one condition."""

    circuit: CircuitResult
    row: int

    @property
    def called(self) -> str:
        return condition_words(self.circuit.solved.results.network, self.row)

    @property
    def members(self) -> list[int]:
        """Numbers of its loads' consumers."""
        return self.circuit.solved.consumers_of.get(self.circuit.index, [])

    @figure("current", unit="A", side="burden", from_network=True)
    def current_a(self) -> float | None:
        if not self.circuit.has_figures:
            return None
        solution = self.circuit.solved.results.solution
        return known(sum(solution.consumer_a[self.row, member] for member in self.members))

    @figure("voltage across", unit="V", side="limit",
            each=lambda view: (view.circuit.solved.results.network.names.consumer(each) for each in view.members))
    def load_v(self) -> list[float | None]:
        results = self.circuit.solved.results
        solution, consumers = results.solution, results.network.consumers
        if not self.live:
            return [0.0 for _ in self.members]
        return [known(solution.supply_v[self.row, consumers.supply_node[member]]
                      - solution.return_v[self.row, consumers.return_node[member]])
                if results.known.consumer[member] else None for member in self.members]

    @entry("its feed, and its relay's coil, are live")
    def live(self) -> bool:
        network = self.circuit.solved.results.network
        return bool(network.circuit_live[self.circuit.index, network.state[self.row]])


class RelayResult(Part):
    """Whether a relay is needed, and why."""

    circuit: CircuitResult

    @entry("a relay is needed")
    def needed(self) -> bool | None:
        return self.circuit.relay_need[0] if self.circuit.has_figures else None

    @entry("why, or why not")
    def why(self) -> str | None:
        return self.circuit.relay_need[1] if self.circuit.has_figures else None

    @figure("rating a plain switch would need", unit="A", side="burden")
    def plain_switch_a(self) -> float | None:
        if not self.circuit.has_figures:
            return None
        return known(self.circuit.solved.results.switching.switch_a[0, self.circuit.index])


class CircuitResult(Part):
    """One circuit."""

    solved: SolvedPlan
    index: int

    @property
    def called(self) -> str:
        return self.name

    @property
    def circuit(self) -> Circuit:
        """As it stands in the plan."""
        return self.solved.results.network.circuits[self.index]

    @entry("name in the plan")
    def id(self) -> str:
        return self.solved.results.network.circuit_ids[self.index]

    @entry("name in words")
    def name(self) -> str:
        return self.circuit.name or self.id

    def use_of(self, load: int) -> Use:
        """How long one of its loads is on at a time, as it was taken; as stated where no figures are given."""
        members = self.solved.consumers_of.get(self.index)
        if members is None:
            return self.circuit.load[load].use or "continuous"
        return USES[int(self.solved.results.network.consumers.use[members[load]])]

    @entry("what the circuit is for, where stated")
    def role(self) -> CircuitRole | None:
        return self.circuit.role

    @entry("the feed it comes from")
    def feed(self) -> str | None:
        return self.circuit.feed

    @entry("sizes of its supply wire, thinnest first")
    def wire(self) -> str:
        sizes = dict.fromkeys(str(view.size) for view in sorted(
            (view for view in self.segments if view.side == "supply" and view.size is not None),
            key=lambda view: view.size_mm2 or 0.0))
        return " + ".join(sizes)

    @entry("the earth point it returns to")
    def earth(self) -> str | None:
        return self.circuit.earth

    @entry("what the plan leaves out that its figures need")
    def missing(self) -> tuple[str, ...]:
        return tuple(each.words for each in self.solved.lacks(self.id))

    @part("load current over three intervals")
    def load_current_a(self) -> LoadCurrent:
        return LoadCurrent(self)

    @part("the circuit in each condition")
    def in_condition(self) -> Mapping[str, CircuitInCondition]:
        return {name: CircuitInCondition(self, row) for row, name in enumerate(self.solved.condition_ids)}

    @part("voltage drop; null where the circuit is never on, or a resistance is not known")
    def drop(self) -> DropResult | None:
        results = self.solved.results
        worst = int(results.drops.worst_load[self.index])
        if worst < 0 or self.missing or not results.known.circuit[self.index] \
                or math.isnan(results.drops.total_v[0, worst]):
            return None
        return DropResult(self, worst)

    @part("its fuse, breaker or link")
    def fuse(self) -> FuseResult | None:
        return fuse_result(self.solved, ("circuit", self.id))

    @part("its wires, the supply side first")
    def segments(self) -> tuple[SegmentResult, ...]:
        return segment_results(self.solved, ("circuit", self.id))

    @part("relay or plain switch")
    def relay(self) -> RelayResult:
        return RelayResult(self)

    @part("the coil of its relay")
    def coil(self) -> CoilResult | None:
        return coil_result(self.solved, ("circuit", self.id), self.circuit.relay)

    @part("short circuit")
    def fault(self) -> ShortCircuit:
        return short_circuit.of_circuit(self.solved, self.index, self.solved.segments_of.get(("circuit", self.id), ()),
                                        self.has_figures and not self.missing)

    @property
    def current_known(self) -> bool:
        """No current is missing that its own rests on."""
        return not leaves_unknown(self.solved.lacks(self.id), Unknown.CURRENT)

    @property
    def has_figures(self) -> bool:
        """Its current is known, and it is in scope."""
        return self.current_known and self.circuit.out_of_scope is None

    def demand_a(self, interval: int, bound: int = 0) -> float:
        """Demand over one interval [A]."""
        return float(self.solved.results.demands.circuit[bound, interval, self.index])

    @property
    def load_interval(self) -> int:
        """The interval the circuit is chosen for: continuous, else 5 min, else 5 s."""
        return next((each for each in (CONTINUOUS, FIVE_MIN, FIVE_S) if self.demand_a(each) > 0), CONTINUOUS)

    @property
    def load_a(self) -> float | None:
        """The load current over that interval [A]."""
        return self.demand_a(self.load_interval) if self.has_figures else None

    @property
    def is_unfused(self) -> bool:
        """No fuse of its own or upstream protects it."""
        network = self.solved.results.network
        return self.circuit.out_of_scope is None and int(network.guard[network.circuit_node[self.index]]) < 0

    @property
    def relay_need(self) -> tuple[bool, str]:
        """Whether a relay is needed, and why."""
        return need(self.solved.results.network, self.solved.results.switching, self.index)
