"""Which pins are joined: by a wire, a splice, two halves of a connector plugged together, or a join that is planned."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from fuseplan.plan.coils import coil_wires
from fuseplan.plan.looms import Connector, Pin
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.parts import Segment, Wire, WireEnd
from fuseplan.plan.plain_names import out_of_scope_named
from fuseplan.quantities.wire_size import WireSize
from fuseplan.records import dataclass


class PinId(NamedTuple):
    """A pin by its connector's id and its own number."""

    connector: str
    pin: str

    @property
    def words(self) -> str:
        """As it is shown: ``ecu pin 7``."""
        return f"{self.connector} pin {self.pin}"

    @property
    def path(self) -> tuple[str | int, ...]:
        """Where it stands in the plan."""
        return ("connector", self.connector, "pin", self.pin)

    def of(self, plan: Plan) -> Pin:
        """The pin itself, as a plan has it; KeyError where it is gone."""
        return plan.connector[self.connector].pin[self.pin]


@dataclass(frozen=True)
class CircuitEnd:
    """One end of a segment on a pin.

    Attributes:
        owner: kind and id of the part the wire belongs to
        place: which wire of it: ``wire``, ``earth_wire``, ``load.1.wire``, ``relay.wire_86``
        number: place of the segment in that wire, from 0
        side: ``start`` or ``end``
    """

    owner: tuple[str, str]
    place: str
    number: int
    side: str
    segment: Segment


def pins_of(plan: Plan) -> Iterator[tuple[PinId, Connector, Pin]]:
    """Every pin of the plan, in its order."""
    for name, connector in plan.connector.items():
        for number, pin in connector.pin.items():
            yield PinId(name, number), connector, pin


def wires_of_circuit(circuit: Circuit) -> Iterator[tuple[str, Wire]]:
    """Place and segments of every wire of a circuit, its loads and its relay's coil."""
    yield "wire", circuit.wire
    yield "earth_wire", circuit.earth_wire
    for number, load in enumerate(circuit.load):
        yield f"load.{number}.wire", load.wire
        yield f"load.{number}.earth_wire", load.earth_wire
    yield from coil_wires(circuit.relay)


def wires_of(plan: Plan, circuits: Iterable[str] | None = None) -> Iterator[tuple[tuple[str, str], str, Wire]]:
    """Owner, place and segments of every wire of feeds, earths, circuits, loads, relay coils, the alternator, and of
    looms as far as it is not entered at a pin; of all circuits, or of some alone."""
    if plan.alternator is not None:
        yield ("alternator", "alternator"), "cable", plan.alternator.cable
    for name, feed in plan.feed.items():
        yield ("feed", name), "wire", feed.wire
        for place, wire in coil_wires(feed.relay):
            yield ("feed", name), place, wire
    for name, earth in plan.earth.items():
        yield ("earth", name), "wire", earth.wire
    for name in plan.circuit if circuits is None else circuits:
        for place, wire in wires_of_circuit(plan.circuit[name]):
            yield ("circuit", name), place, wire
    for name, loom in plan.loom.items():
        yield ("loom", name), "wire", loom.wire


def circuit_ends(plan: Plan) -> dict[PinId, list[CircuitEnd]]:
    """The ends of segments on each pin of the plan that has any."""
    found: dict[PinId, list[CircuitEnd]] = defaultdict(list)
    for owner, place, wire in wires_of(plan):
        for number, segment in enumerate(wire):
            for side, end in (("start", segment.start), ("end", segment.end)):
                at = pin_at(plan, end)
                if at is not None:
                    found[at].append(CircuitEnd(owner, place, number, side, segment))
    return dict(found)


def pin_at(plan: Plan, end: WireEnd | None) -> PinId | None:
    """The pin an end names; None where it names a part in words, or no pin."""
    if end is None or end.connector is None or end.pin is None:
        return None
    connector = plan.connector.get(end.connector)
    return None if connector is None or end.pin not in connector.pin else PinId(end.connector, end.pin)


def end_words(plan: Plan, end: WireEnd) -> str:
    """An end of a wire in words: ``ecu pin 7``, or as the plan names a part."""
    at = pin_at(plan, end)
    return at.words if at is not None else " ".join(each for each in (end.connector, end.pin) if each) or "not said"


def mates_of(plan: Plan) -> dict[str, str]:
    """The connector each one plugs into, whichever of the two says so; the first where several do."""
    found: dict[str, str] = {}
    for name, connector in plan.connector.items():
        if connector.mates is not None and connector.mates != name:
            found[name] = connector.mates
    for name, mate in list(found.items()):
        found.setdefault(mate, name)
    return found


@dataclass(frozen=True)
class Net:
    """Pins joined to one another.

    Attributes:
        pins: in the order of the plan
        splices: splices on the way
        parts: what else its wires go to, in words
        ends: ends of circuits' segments on its pins
    """

    pins: tuple[PinId, ...]
    splices: tuple[str, ...]
    parts: tuple[str, ...]
    ends: tuple[CircuitEnd, ...]


class Nets:
    """All nets of a plan. A wire that is cut off or left over joins nothing."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._up: dict[object, object] = {}
        self._parts: dict[PinId, list[str]] = defaultdict(list)
        self._mates = mates_of(plan)
        self.ends = circuit_ends(plan)
        self.wires: dict[PinId, list[PinId]] = defaultdict(list)
        """Other ends of the wires in each pin, from whichever end they are entered."""
        self._join_all()
        found: dict[object, list[PinId]] = defaultdict(list)
        for at, _, _ in pins_of(plan):
            found[self._root(at)].append(at)
        splices: dict[object, list[str]] = defaultdict(list)
        for name in splices_of(plan):
            splices[self._root(("splice", name))].append(name)
        self._nets: dict[PinId, Net] = {}
        for root, pins in found.items():
            net = Net(tuple(pins), tuple(splices.get(root, ())),
                      tuple(dict.fromkeys(words for at in pins for words in self._parts.get(at, ()))),
                      tuple(end for at in pins for end in self.ends.get(at, ())))
            self._nets.update(dict.fromkeys(pins, net))

    def of(self, at: PinId) -> Net:
        """The net a pin is on."""
        return self._nets[at]

    def off_limits(self, at: PinId) -> str:
        """What on a pin's net is neither probed nor spliced here, as it is marked or named so, or may fire an airbag:
        ``connector 'belt', marked pretensioner``; empty where nothing is. The half it is plugged into counts whatever
        is entered of that."""
        net, plan = self.of(at), self.plan
        plugs = dict.fromkeys(name for pin in net.pins for name in (pin.connector, self._mates.get(pin.connector))
                              if name is not None)
        circuits = dict.fromkeys(end.owner[1] for end in net.ends if end.owner[0] == "circuit")
        parts: list[tuple[str, str, Connector | Circuit]] = [
            *(("connector", name, plan.connector[name]) for name in plugs),
            *(("circuit", name, plan.circuit[name]) for name in circuits)]
        for kind, name, part in parts:
            if part.out_of_scope is not None:
                return f"{kind} '{name}', marked {part.out_of_scope.replace('_', ' ')}"
        spoken = [(f"{kind} '{name}', by its name", out_of_scope_named(text))
                  for kind, name, part in parts for text in (name, part.name) if text]
        fired = [(f"{pin.words}, by its function", out_of_scope_named(pin.of(plan).function or "")) for pin in net.pins]
        spoken += [each for each in fired if each[1] in ("airbag", "pretensioner")]
        return next((f"{what} {of.replace('_', ' ')}" for what, of in spoken if of is not None), "")

    def _root(self, node: object) -> object:
        here = node
        while (up := self._up.get(here, here)) != here:
            here = up
        self._up[node] = here
        return here

    def _join(self, one: object, other: object) -> None:
        first, second = self._root(one), self._root(other)
        if first != second:
            self._up[second] = first

    def _wire(self, at: PinId, end: WireEnd | None) -> None:
        if end is None:
            return
        other = pin_at(self.plan, end)
        if other is None:
            if end.connector or end.pin:
                self._parts[at].append(end_words(self.plan, end))
            return
        self._link(at, other)

    def _link(self, at: PinId, other: PinId) -> None:
        self._join(at, other)
        for near, far in ((at, other), (other, at)):
            if far not in self.wires[near]:
                self.wires[near].append(far)

    def _join_all(self) -> None:
        plan, mates = self.plan, self._mates
        for at, _, pin in pins_of(plan):
            if pin.fate in GONE:
                continue
            self._wire(at, pin.other_end)
            if pin.fate == "join":
                self._wire(at, pin.join_to)
            if pin.splice is not None:
                self._join(at, ("splice", pin.splice))
            mate = mates.get(at.connector)
            if mate is not None and at.pin in plan.connector[mate].pin:
                self._join(at, PinId(mate, at.pin))
        for _, _, wire in wires_of(plan):
            for segment in wire:
                start, end = pin_at(plan, segment.start), pin_at(plan, segment.end)
                if start is not None and end is not None and start != end:
                    self._link(start, end)
                for near, far in ((start, segment.end), (end, segment.start)):
                    if near is not None and far is not None and far.splice is not None:
                        self._join(near, ("splice", far.splice))
                for near, here in ((start, segment.start), (end, segment.end)):
                    if near is not None and here is not None and here.splice is not None:
                        self._join(near, ("splice", here.splice))
                if segment.start is not None and segment.end is not None and \
                        segment.start.splice is not None and segment.end.splice is not None:
                    self._join(("splice", segment.start.splice), ("splice", segment.end.splice))


GONE = ("cut_and_insulate", "spare")
"""Fates of a wire that joins nothing any more."""


@dataclass(frozen=True)
class SpliceWire:
    """One wire at a splice: its size, and where in the plan it stands."""

    size: WireSize | None
    path: tuple[str | int, ...]


def splices_of(plan: Plan) -> Mapping[str, list[SpliceWire]]:
    """The wires at each splice, in the order of the plan; wires that are cut off or left over are not among them.

    A wire that is entered both at its pin and as a segment of a circuit counts once.
    """
    found: dict[str, list[SpliceWire]] = defaultdict(list)
    counted: set[tuple[str, PinId | None]] = set()
    for owner, place, wire in wires_of(plan):
        for number, segment in enumerate(wire):
            for here, far in ((segment.start, segment.end), (segment.end, segment.start)):
                if here is not None and here.splice is not None:
                    counted.add((here.splice, pin_at(plan, far)))
                    where = (owner[0],) if owner[0] == "alternator" else owner
                    steps = (int(each) if each.isdigit() else each for each in place.split("."))
                    found[here.splice].append(SpliceWire(segment.size, (*where, *steps, number)))
    for at, _, pin in pins_of(plan):
        if pin.splice is not None and pin.fate not in GONE and (pin.splice, at) not in counted:
            found[pin.splice].append(SpliceWire(pin.size, at.path))
    return dict(found)
