"""Everything the solver and the demands need: the compiled plan, and what is looked up in it, once each."""

from __future__ import annotations

import math
from functools import cached_property, lru_cache
from typing import Any

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.assumed import drop_class_of
from fuseplan.engine.cases import Cases
from fuseplan.engine.compiled_plan import CompiledPlan
from fuseplan.engine.consumers import COIL, LOAD
from fuseplan.engine.intervals import Allowed, counted
from fuseplan.engine.missing import Unknown, leaves_unknown
from fuseplan.engine.names import Names, part_address
from fuseplan.engine.noting import Notes, of_circuits
from fuseplan.engine.on_together import OnTogether, on_together
from fuseplan.engine.part import Part, whole
from fuseplan.engine.starting_together import FeedFuses, Overlaps, SharedStarts, feed_fuses, overlaps, shared_starts
from fuseplan.engine.stock import AtHand
from fuseplan.plan import fuse_boxes
from fuseplan.plan.coils import is_coil_wire
from fuseplan.plan.fuse_boxes import BoxPlace
from fuseplan.plan.nets import Nets
from fuseplan.plan.parts import Load
from fuseplan.records import dataclass
from fuseplan.tables import fuses as fuse_tables
from fuseplan.trace import given

Rows = dict[str, tuple[Ints, Ints]]
"""Places of the rows of a few circuits in the network of the whole plan and in that of these circuits alone, by what
they are (`patching`)."""


@dataclass(frozen=True)
class Network(CompiledPlan):
    """The compiled plan with its look-ups. C conditions, S segments, L consumers, J fuses."""

    @cached_property
    def supply_base(self) -> Floats:
        """Resistance of each supply branch besides its wires and fuse (N,) [ohm]."""
        return self.supply_given + self.supply_taken

    @cached_property
    def returns_base(self) -> Floats:
        """The same for return branches (M,) [ohm]."""
        return self.returns_given + self.returns_taken

    @property
    def names(self) -> Names:
        """What its parts are called."""
        return Names(self)

    @cached_property
    def whole(self) -> Part:
        """It for the solver, with every consumer on."""
        return whole(self)

    @cached_property
    def bounds(self) -> Cases:
        """The currents at both ends of what is known of them."""
        return Cases(np.stack([self.consumers.reference_a, self.consumers.most_a]), len(self.conditions), True)

    @cached_property
    def condition_of_row(self) -> Ints:
        """Condition of each row of a solution at the bounds (R,)."""
        return np.tile(np.arange(len(self.conditions)), self.bounds.count)

    @cached_property
    def overlaps(self) -> Overlaps:
        """Loads whose surges overlap in the last fuse before them."""
        return overlaps(self)

    @cached_property
    def feed_fuses(self) -> FeedFuses:
        """The fuses of feeds that each load's surge passes."""
        return feed_fuses(self)

    @cached_property
    def shared_starts(self) -> SharedStarts:
        """Loads of several circuits that come on together behind a fuse of a feed."""
        return shared_starts(self)

    @cached_property
    def nets(self) -> Nets:
        """Which pins are joined."""
        return Nets(self.plan)

    @cached_property
    def stock(self) -> AtHand:
        """The parts at hand."""
        return AtHand(self.plan.stock)

    @cached_property
    def box_places(self) -> dict[str, tuple[BoxPlace, ...]]:
        """The positions of each fuse box."""
        return {name: fuse_boxes.places(box) for name, box in self.plan.fuse_box.items()}

    @cached_property
    def box_feeds(self) -> dict[str, tuple[str, ...]]:
        """The feeds of the buses of each fuse box."""
        return {name: fuse_boxes.feeds(box) for name, box in self.plan.fuse_box.items()}

    @cached_property
    def box_seats(self) -> dict[tuple[str, str], tuple[tuple[str, BoxPlace], ...]]:
        """Positions of the fuse boxes by (feed, position), each with its box."""
        found: dict[tuple[str, str], tuple[tuple[str, BoxPlace], ...]] = {}
        for name, places in self.box_places.items():
            for place in places:
                key = (place.feed, place.position)
                found[key] = (*found.get(key, ()), (name, place))
        return found

    @cached_property
    def drop_classes(self) -> list[str]:
        """Kind of each circuit whose drop limit holds (circuits)."""
        return [*of_circuits(self, _drop_class).values()]

    @cached_property
    def fuse_kinds(self) -> list[str]:
        """Type of each protective device (J)."""
        return [row.fuse.kind for row in self.fuses]

    @cached_property
    def fuses_by_kind(self) -> dict[str, Ints]:
        """Numbers of the protective devices of each type."""
        found: dict[str, list[int]] = {}
        for index, kind in enumerate(self.fuse_kinds):
            found.setdefault(kind, []).append(index)
        return {kind: np.array(indexes, dtype=np.int64) for kind, indexes in found.items()}

    @cached_property
    def entered_a(self) -> Floats:
        """Rating of each protective device as the plan enters it [A], NaN where it leaves it out (J,)."""
        found = np.array([math.nan if row.fuse.rating is None else row.fuse.rating for row in self.fuses], dtype=float)
        return np.asanyarray(given(found, "Iᵣ", "A", "rating in the plan", lambda index:
                                   f"the plan, {part_address(self.fuses[index].owner, 'fuse.rating')}"))

    @cached_property
    def holder_c(self) -> Floats:
        """Ambient of each protective device [°C] (J,)."""
        found = np.array([row.ambient_c for row in self.fuses], dtype=float)

        def words(index: int) -> str:
            row = self.fuses[index]
            return self.places.holder(row.owner, row.fuse).given_words("ambient at the holder")

        def cite(index: int) -> str:
            row = self.fuses[index]
            return self.places.holder(row.owner, row.fuse).cite(part_address(row.owner, "fuse"))

        return np.asanyarray(given(found, "Tₐ", "°C", words, cite))

    @cached_property
    def seated(self) -> Ints:
        """Protective devices that have a holder or a position in a fuse box."""
        return np.flatnonzero([row.fuse.holder is not None or row.fuse.position is not None for row in self.fuses])

    @cached_property
    def contacts_seen(self) -> dict[tuple[str, str, str], Any]:
        """What `relays.contact_in_place` has found so far, by kind and id of the relay's part and type of contact."""
        return {}

    @cached_property
    def notes(self) -> Notes:
        """What was noted so far of its circuits and fuses (`noting`)."""
        return {}

    @cached_property
    def alone(self) -> dict[tuple[str, ...], tuple[Network, Rows]]:
        """The network of the circuits edited last, compiled alone, and where its rows stand in this one, by their names
        (`patching`)."""
        return {}

    @cached_property
    def segments_of(self) -> dict[str, Ints]:
        """Numbers of the segments of each kind of owner, upwards."""
        found: dict[str, list[int]] = {}
        for index, (kind, _) in enumerate(self.segments.owner):
            found.setdefault(kind, []).append(index)
        return {kind: np.array(indexes, dtype=np.int64) for kind, indexes in found.items()}

    @cached_property
    def segments_of_part(self) -> dict[tuple[str, str], list[int]]:
        """Numbers of the segments of each circuit, feed, earth point and the alternator, upwards."""
        found: dict[tuple[str, str], list[int]] = {}
        for index, owner in enumerate(self.segments.owner):
            found.setdefault(owner, []).append(index)
        return found

    @cached_property
    def guarded_by_others(self) -> Ints:
        """Numbers of the segments whose fuse is another owner's: that of a feed, say, upwards."""
        owners = [row.owner for row in self.fuses]
        return np.array([index for index, (owner, guard) in enumerate(zip(
            self.segments.owner, self.segment_guard.tolist(), strict=True)) if guard >= 0 and owners[guard] != owner],
            dtype=np.int64)

    @cached_property
    def goes_on_from(self) -> Ints:
        """The segment nearer the battery that each supply segment goes on from, -1 for none (S,)."""
        segments, parent = self.segments, self.supply.parent.tolist()
        last, before, first = [-1] * self.supply.count, [-1] * segments.count, dict[int, int]()
        for index, (node, returns) in enumerate(zip(segments.branch.tolist(), segments.returns.tolist(), strict=True)):
            if not returns:
                before[index] = last[node]
                first.setdefault(node, index)
                last[node] = index
        for node, index in first.items():
            above = parent[node]
            while node != 0 and last[above] < 0 and above != 0:
                above = parent[above]
            before[index] = last[above] if node != 0 else -1
        return np.array(before, dtype=np.int64)

    @cached_property
    def current_known(self) -> Flags:
        """Circuits whose currents rest on no missing figure (circuits,)."""
        return self.lacking_not(Unknown.CURRENT)

    def segment_current_known(self, segment: int) -> bool:
        """Whether a segment is no wire of a circuit that lacks a current; that of its relay's coil is known."""
        kind, name = self.segments.owner[segment]
        return kind != "circuit" or is_coil_wire(self.segments.place[segment]) \
            or bool(self.current_known[self.circuit_number[name]])

    def lacking_not(self, what: Unknown) -> Flags:
        """Circuits that lack nothing a figure of their own needs (circuits,)."""
        known = np.ones(len(self.circuit_ids), dtype=bool)
        for name, missing in self.missing.items():
            known[self.circuit_number[name]] = not leaves_unknown(missing, what)
        return known

    @cached_property
    def circuit_number(self) -> dict[str, int]:
        """Number of each circuit."""
        return {name: number for number, name in enumerate(self.circuit_ids)}

    @cached_property
    def allowed(self) -> Allowed:
        """Conditions in which each consumer may be on, for each interval."""
        return Allowed(self.consumers.possible, self.duration_s)

    @cached_property
    def counted(self) -> Flags:
        """Consumers whose use counts in each interval (3, L)."""
        return counted(self.consumers.use)

    @cached_property
    def on_together(self) -> OnTogether:
        """Loads that count together over each interval."""
        return on_together(self)

    @cached_property
    def coils_wired(self) -> tuple[Flags, Flags]:
        """Relay coils that the plan gives a wire of their own to 86, and from 85 (L,)."""
        consumers = self.consumers
        coil = consumers.kind == COIL
        return (coil & ~np.isin(consumers.supply_node, [*self.feed_node.values()]),
                coil & ~np.isin(consumers.return_node, [*self.earth_node.values()]))

    @cached_property
    def load_consumers(self) -> Ints:
        """Numbers of the consumers that are loads."""
        return np.flatnonzero(self.consumers.kind == LOAD)

    @cached_property
    def loads(self) -> list[Load]:
        """The load each of `load_consumers` stands for, in the same order."""
        where, circuits = self.load_consumers, self.circuits
        return [circuits[circuit].load[number] for circuit, number in
                zip(self.consumers.circuit[where].tolist(), self.consumers.number[where].tolist(), strict=True)]


@lru_cache(maxsize=1024)
def printed_fuse_resistance(kind: str, rating_a: float) -> float:
    """Cold resistance in ohm as printed, for the most a short can draw; 0 where it is not printed."""
    if math.isnan(rating_a):
        return 0.0
    found = fuse_tables.cold_resistance_ohm(kind, rating_a)
    return 0.0 if found is None else found.value


def _drop_class(network: Network, number: int) -> str:
    return drop_class_of(network.circuits[number])
