"""The car as a mechanic probes it: each holder, fuse, contact and wire of some circuits a branch of its own.

The tree of feeds and the tree of earths are built again, finer than the engine's, from the same resistances, so that a
fault can be put into any of these parts; the engine's solver then finds the voltages of all cases at once. Circuits
that are not asked about keep one branch each.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fuseplan.array_types import Flags, Ints
from fuseplan.bench.diagnosis_tree import (
    CONTACT,
    EARTH_RING,
    FUSE_SHARE,
    JOINT_SHARE,
    LENGTH_SHARE,
    NOTHING,
    CarModel,
    Element,
    Resistance,
    Tested,
    TreeSide,
    series,
)
from fuseplan.engine.assumed import STUD, contact_given, contact_taken, earth_joint_given, earth_joint_taken, joint_ohm
from fuseplan.engine.consumers import ALTERNATOR, COIL, UNSTATED
from fuseplan.engine.part import Part
from fuseplan.engine.part import Side as PartSide
from fuseplan.engine.results import Results
from fuseplan.engine.segments import joints_of
from fuseplan.plan.coils import WIRE_85, WIRE_86
from fuseplan.plan.parts import Fuse, Relay, Switch, Wire


def car_model(results: Results, circuits: Sequence[str], used: Flags, moved: dict[str, str] | None = None,
              refed: str | None = None) -> CarModel:
    """The network for some circuits.

    Args:
        circuits: those whose parts are elements
        used: consumers of the engine's network that are on in anything asked; others are left out (L,)
        moved: circuits whose loads hang on the wire of another: each with the one whose wire feeds it
        refed: circuit whose relay has the feeds of coil and contact swapped
    """
    return _Builder(results, tuple(circuits), used, moved or {}, refed).run()


class _Builder:
    def __init__(self, results: Results, circuits: tuple[str, ...], used: Flags, moved: dict[str, str],
                 refed: str | None) -> None:
        self.results, self.plan, self.circuits, self.moved = results, results.plan, circuits, moved
        self.refed = refed
        network = results.network
        self.r20 = {(*owner, place): float(ohm) for owner, place, ohm in
                    zip(network.segments.owner, network.segments.place, network.segments.r20_ohm, strict=True)}
        self.fuse = {row.owner: float(ohm) for row, ohm in zip(network.fuses, results.fuse_ohm, strict=True)}
        self.places = network.places
        self.supply, self.returns = TreeSide(), TreeSide()
        self.feeds: dict[str, int] = {}
        self.earths: dict[str, int] = {}
        self.ends: dict[tuple[str, int], int] = {}
        """Supply node of each load: its own wire's end, else that of the circuit's."""
        self.wire_end: dict[str, int] = {}
        self.backs: dict[tuple[str, int], int] = {}
        kinds = network.consumers.kind
        self.consumers = np.flatnonzero((used & (kinds != UNSTATED)) | (kinds == ALTERNATOR))

    def run(self) -> CarModel:
        plan, network = self.plan, self.results.network
        self._feed(self.places.feed_root)
        self._earth(self.places.earth_root)
        for name in plan.feed:
            self._feed(name)
        for name in plan.earth:
            self._earth(name)
        consumers = network.consumers
        supply_at, return_at = [], []
        for place, index in enumerate(self.consumers.tolist()):
            plus, minus = self._between(int(consumers.kind[index]), consumers.owner[index],
                                        int(consumers.number[index]))
            self.supply.consumers[plus].append(place)
            self.returns.consumers[minus].append(place)
            supply_at.append(plus)
            return_at.append(minus)
        supply, supply_final = self._tested(self.supply, supply_at)
        returns, return_final = self._tested(self.returns, return_at)
        nodes = {element: node for side in (supply, returns) for node, element in enumerate(side.elements)
                 if element is not None}
        laws = consumers.laws_of(self.consumers)
        alternator = np.flatnonzero(consumers.kind[self.consumers] == ALTERNATOR)
        every = slice(None)
        part = Part(every, laws, int(alternator[0]) if alternator.size else -1,
                    PartSide(supply.tree, every, every, supply.node),
                    PartSide(returns.tree, every, every, returns.node),
                    network.sense if network.sense < 0 else self._sensed(supply_final))
        return CarModel(self.results, self.circuits, supply, returns, self.consumers, part,
                        {name: int(supply_final[node]) for name, node in self.feeds.items()},
                        {name: int(return_final[node]) for name, node in self.earths.items()}, nodes)

    def _sensed(self, final: Ints) -> int:
        """Supply node of the feed the regulator senses."""
        assert self.plan.alternator is not None
        return int(final[self.feeds[self.plan.alternator.sense_feed or self.places.feed_root]])

    def _tested(self, side: TreeSide, at: list[int]) -> tuple[Tested, Ints]:
        tree, final = side.built()
        order = np.argsort(final)
        figures = np.array(side.parts, dtype=float).reshape(-1, 3)[order]
        ohm, copper, spread = (np.ascontiguousarray(column) for column in figures.T)
        return Tested(tree, tuple(side.element[node] for node in order.tolist()), ohm, copper, spread,
                      final[np.array(at, dtype=np.int64)]), final

    def _between(self, kind: int, owner: tuple[str, str], number: int) -> tuple[int, int]:
        """Supply and return node of a consumer."""
        plan = self.plan
        if kind == ALTERNATOR:
            alternator = plan.alternator
            assert alternator is not None
            node = self.feeds[self.places.feed_of(alternator.feed)]
            ohm = self._wire(owner, "cable", alternator.cable)
            ohm = series([ohm, self._fuse(owner, alternator.fuse), CONTACT])
            return (self.supply.add(node, Element(False, "alternator", "", "cable", 0), ohm),
                    self.earths[self.places.earth_of(alternator.earth)])
        if kind == COIL:
            relay = (plan.circuit if owner[0] == "circuit" else plan.feed)[owner[1]].relay
            assert relay is not None
            feed = plan.circuit[owner[1]].feed if owner == ("circuit", self.refed) else relay.coil_feed
            plus, minus = self.feeds[self.places.feed_of(feed)], self.earths[self.places.earth_of(relay.coil_earth)]
            is_element = owner[0] == "circuit" and owner[1] in self.circuits
            if relay.wire_86:
                plus = self.supply.add(plus, Element(False, *owner, "coil_86", 0) if is_element else None,
                                       series([self._wire(owner, WIRE_86, relay.wire_86), CONTACT]))
            if relay.wire_85:
                minus = self.returns.add(minus, Element(True, *owner, "coil_85", 0) if is_element else None,
                                         series([self._wire(owner, WIRE_85, relay.wire_85), CONTACT]))
            return plus, minus
        circuit = self.moved.get(owner[1], owner[1])
        self._circuit(circuit)
        self._circuit(owner[1])
        plus = self.ends[owner[1], number] if circuit == owner[1] else self.wire_end[circuit]
        return plus, self.backs[owner[1], number]

    # --- supply side -------------------------------------------------------------------------------------------

    def _feed(self, name: str) -> int:
        if name in self.feeds:
            return self.feeds[name]
        feed = self.plan.feed.get(name)
        if feed is None or feed.upstream is None:
            self.feeds[name] = self.supply.add(-1, None, NOTHING)
            return self.feeds[name]
        node = self._feed(self.places.feed_of(feed.upstream))
        owner = ("feed", name)
        wire = self._wire(owner, "wire", feed.wire)
        if not feed.wire:
            wire = series([wire, Resistance(STUD.ohm, 0.0, JOINT_SHARE * STUD.ohm)])
        self.feeds[name] = self._chain(node, owner, feed.fuse, feed.relay, feed.switch, wire)
        return self.feeds[name]

    def _chain(self, node: int, owner: tuple[str, str], fuse: Fuse | None, relay: Relay | None, switch: Switch | None,
               wire: Resistance) -> int:
        kind, name = owner
        steps: list[tuple[str, Resistance]] = []
        if fuse is not None:
            steps += [("holder", CONTACT), ("fuse", self._fuse(owner, fuse))]
        if relay is not None or switch is not None:
            steps.append(("contact", _contact(relay, switch)))
        steps.append(("wire", series([wire, CONTACT])))
        if kind == "circuit" and name not in self.circuits:
            return self.supply.add(node, None, series([each for _, each in steps]))
        for what, ohm in steps:
            node = self.supply.add(node, Element(False, kind, name, what, 0), ohm)
        return node

    def _circuit(self, name: str) -> None:
        if name in self.wire_end:
            return
        circuit, owner = self.plan.circuit[name], ("circuit", name)
        refined = name in self.circuits
        feed = circuit.relay.coil_feed if name == self.refed and circuit.relay is not None else circuit.feed
        node = self._chain(self.feeds[self.places.feed_of(feed)], owner, circuit.fuse, circuit.relay,
                           circuit.switch, self._wire(owner, "wire", circuit.wire))
        self.wire_end[name] = node
        common: int | None = None
        for number, load in enumerate(circuit.load):
            self.ends[name, number] = node
            if load.wire:
                ohm = series([self._wire(owner, f"load.{number}.wire", load.wire), CONTACT])
                self.ends[name, number] = self.supply.add(
                    node, Element(False, "circuit", name, "own_wire", number) if refined else None, ohm)
            earth = self.places.earth_of(load.earth or circuit.earth)
            back = self.earths[earth]
            shares = load.earth is None and bool(circuit.earth_wire)
            if shares:
                if common is None:
                    common = self.returns.add(back, Element(True, "circuit", name, "return", 0) if refined else None,
                                              series([self._wire(owner, "earth_wire", circuit.earth_wire), CONTACT]))
                back = common
            joint = earth_joint_given(load)
            if load.earth_wire:
                joint_or_wire = series([self._wire(owner, f"load.{number}.earth_wire", load.earth_wire), CONTACT])
            else:
                point = self.plan.earth.get(load.earth or circuit.earth or "")
                taken = None if shares else earth_joint_taken(load, point is not None and bool(point.engine))
                bolted = 0.0 if taken is None else taken.ohm
                joint_or_wire = Resistance(bolted, 0.0, JOINT_SHARE * bolted)
            if load.earth_wire or not shares or load.earth_resistance is not None:
                own = series([joint_or_wire, Resistance(joint, 0.0, JOINT_SHARE * joint)])
                back = self.returns.add(
                    back, Element(True, "circuit", name, "own_return", number) if refined else None, own)
            self.backs[name, number] = back

    # --- return side -------------------------------------------------------------------------------------------

    def _earth(self, name: str) -> int:
        if name in self.earths:
            return self.earths[name]
        earth = self.plan.earth.get(name)
        if earth is None or earth.upstream is None:
            self.earths[name] = self.returns.add(-1, None, NOTHING)
            return self.earths[name]
        node = self._earth(self.places.earth_of(earth.upstream))
        body = 0.0 if earth.resistance is None else float(earth.resistance)
        ohm = series([self._wire(("earth", name), "wire", earth.wire), Resistance(body, 0.0, JOINT_SHARE * body),
                      _contact(None, earth.switch), EARTH_RING])
        self.earths[name] = self.returns.add(node, Element(True, "earth", name, "strap", 0), ohm)
        return self.earths[name]

    # --- resistances -------------------------------------------------------------------------------------------

    def _fuse(self, owner: tuple[str, str], fuse: Fuse | None) -> Resistance:
        if fuse is None:
            return NOTHING
        ohm = self.fuse.get(owner, 0.0)
        return Resistance(ohm, 0.0, FUSE_SHARE * ohm)

    def _wire(self, owner: tuple[str, str], place: str, wire: Wire) -> Resistance:
        parts = []
        for number, segment in enumerate(wire):
            ohm = self.r20.get((*owner, f"{place}.{number}"), 0.0)
            parts.append(Resistance(ohm, ohm, LENGTH_SHARE * ohm))
            for _, joint in joints_of(segment):
                each = joint_ohm(joint)
                parts.append(Resistance(each, 0.0, JOINT_SHARE * each))
        return series(parts)


def _contact(relay: Relay | None, switch: Switch | None) -> Resistance:
    """The contact of a relay, else of a switch; nothing where there is neither."""
    taken = contact_taken(relay, switch)
    ohm = contact_given(relay, switch) + (0.0 if taken is None else taken.ohm)
    return Resistance(ohm, 0.0, JOINT_SHARE * ohm)
