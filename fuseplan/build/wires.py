"""Every wire of the plan as a piece to cut, label and terminate: one record a segment."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

from fuseplan.build.cutting import Cut, cut, termination_m
from fuseplan.build.ends import Device, EndPoint, Target, Targets, end_point
from fuseplan.build.loom_pieces import Draft, drafts, twists_of
from fuseplan.build.numbers import Owner, numbers_of
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.conductor_rating import WEAKEST
from fuseplan.engine.segments import joints_of
from fuseplan.engine.wiring import along, length_of
from fuseplan.errors import TableError
from fuseplan.formulas.building import twist_length
from fuseplan.grouping import grouped
from fuseplan.plan.coils import WIRE_85, WIRE_86, is_coil_wire
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Joint, Relay, Segment, Wire
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.conductors import conductor
from fuseplan.tables.insulations import outside_diameter_mm
from fuseplan.tables.load import Source

_TO_CUT = ("new", None)


@dataclass(frozen=True)
class Piece:
    """One segment of the plan as a wire in the hand."""

    number: str
    made: bool
    """The number is made here: the plan has none."""
    owner: Owner
    place: str
    """Where in its part of the plan: ``wire.0``, ``load.1.earth_wire.0``."""
    segment: Segment
    returns: bool
    area_mm2: float | None
    outside_mm: float | None
    outside_source: Source | None
    start: EndPoint
    end: EndPoint
    path_m: float | None
    cuts: tuple[Cut, ...]
    """The lengths cut, joints in the wire between them; none where it is not cut or its length is not known."""
    draft: Draft | None = None
    """What it is made from where it is a wire of a loom in no circuit."""

    @property
    def size(self) -> str:
        """Size as entered, as it is printed."""
        return "size not stated" if self.segment.size is None else writing.wire_size(self.segment.size)

    @property
    def insulation(self) -> str:
        """Insulation as entered, or that it is not stated."""
        return self.segment.insulation or "not stated"

    @property
    def colour(self) -> str:
        """Colour as entered, or that it is not stated."""
        return self.segment.colour or "not stated"

    @property
    def is_cut(self) -> bool:
        """It is new; a wire whose origin is not stated counts as new."""
        return self.segment.origin in _TO_CUT

    @property
    def signal(self) -> str:
        """What a wire of a loom in no circuit does; empty where that is not known, and for wires of circuits."""
        return "" if self.draft is None else self.draft.signal

    @property
    def cut_m(self) -> float | None:
        """All it takes from the reel [m]; None where that is not known, or it is not cut."""
        return sum(each.cut_m for each in self.cuts) if self.cuts else None

    @property
    def label(self) -> str:
        """What its labels say."""
        return self.segment.label or self.number

    @property
    def runs(self) -> tuple[str, ...]:
        """Ids of the runs it lies in, in order."""
        return self.segment.along or ()

    @property
    def joints(self) -> tuple[Joint, ...]:
        """Joints in it, as far as their place is known in order from its start."""
        found = [joint for _, joint in joints_of(self.segment)]
        return tuple(sorted(found, key=lambda each: math.inf if each.place is None else float(each.place)))

    @property
    def key(self) -> tuple[Owner, str]:
        """What no other wire has."""
        return self.owner, self.place


def pieces(assessment: Assessment) -> tuple[Piece, ...]:
    """All wires of a plan: alternator cable, feeds, earths, circuits, then those of the looms that are in no circuit,
    in the order of the plan. Circuits out of scope have none; a wire of a loom is left out where it is not decided
    what becomes of it, or where it is cut off or left over."""
    found = tuple(_Builder(assessment.plan).all())
    numbers = {piece.key: piece.number for piece in found}
    return tuple(replace(piece, start=_meeting(piece, piece.start, numbers), end=_meeting(piece, piece.end, numbers))
                 for piece in found)


def left_out(assessment: Assessment) -> tuple[Piece, ...]:
    """The wires of the looms that `pieces` leaves out."""
    builder = _Builder(assessment.plan)
    return tuple(builder.of_loom(each) for each in drafts(assessment.plan, builder.targets, settled=False))


def _meeting(piece: Piece, end: EndPoint, numbers: Mapping[tuple[Owner, str], str]) -> EndPoint:
    return replace(end, meets=tuple(numbers[piece.owner, place] for place in end.target.others))


class _Builder:
    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.targets = Targets(plan)

    def all(self) -> Iterator[Piece]:
        plan, targets = self.plan, self.targets
        if plan.alternator is not None:
            yield from self.wire(("alternator", ""), "cable", plan.alternator.cable, False, *targets.alternator_ends())
        for name, feed in plan.feed.items():
            if feed.wire:
                start, end, device = targets.feed_ends(name)
                yield from self.wire(("feed", name), "wire", feed.wire, False, start, end, device)
            yield from self.coil(("feed", name), feed.relay)
        for name, earth in plan.earth.items():
            if earth.wire:
                yield from self.wire(("earth", name), "wire", earth.wire, True, targets.earth(name),
                                     targets.earth(earth.upstream))
        for name, circuit in plan.circuit.items():
            if circuit.out_of_scope is None:
                yield from self.circuit(name)
        yield from map(self.of_loom, drafts(plan, targets, settled=True))

    def of_loom(self, draft: Draft) -> Piece:
        """A wire of a loom that is in no circuit."""
        made = self.piece(draft.owner, draft.place, draft.segment, draft.number, draft.made, draft.returns, draft.start,
                          draft.end, lay_factor(self.plan, draft))
        return replace(made, draft=draft, outside_mm=draft.outside_mm or made.outside_mm,
                       outside_source=None if draft.outside_mm is not None else made.outside_source)

    def circuit(self, name: str) -> Iterator[Piece]:
        circuit, targets, owner = self.plan.circuit[name], self.targets, ("circuit", name)
        start, device = targets.circuit_start(name)
        yield from self.wire(owner, "wire", circuit.wire, False, start, targets.behind(name), device)
        last = f"wire.{len(circuit.wire) - 1}"
        common = device.out if device is not None and device.before >= len(circuit.wire) else \
            Target("wire", "", (last,)) if circuit.wire else start
        for index, load in enumerate(circuit.load):
            yield from self.wire(owner, f"load.{index}.wire", load.wire, False, common, targets.load(name, index))
        yield from self.wire(owner, "earth_wire", circuit.earth_wire, True, targets.before_earth(name),
                             targets.earth(circuit.earth))
        for index, load in enumerate(circuit.load):
            shared = bool(circuit.earth_wire) and load.earth is None
            end = Target("wire", "", ("earth_wire.0",)) if shared else targets.earth(load.earth or circuit.earth)
            yield from self.wire(owner, f"load.{index}.earth_wire", load.earth_wire, True, targets.load(name, index),
                                 end)
        yield from self.coil(owner, circuit.relay)

    def coil(self, owner: Owner, relay: Relay | None) -> Iterator[Piece]:
        if relay is None or not (relay.wire_86 or relay.wire_85):
            return
        supply, earth = self.targets.coil_ends(owner, relay)
        yield from self.wire(owner, WIRE_86, relay.wire_86, False, *supply)
        yield from self.wire(owner, WIRE_85, relay.wire_85, True, *earth)

    def wire(self, owner: Owner, before: str, wire: Wire, returns: bool, start: Target, end: Target,
             device: Device | None = None) -> Iterator[Piece]:
        numbers = numbers_of(owner, before, wire)
        for index, (segment, (number, made)) in enumerate(zip(wire, numbers, strict=True)):
            ahead = Target("wire", "", (f"{before}.{index - 1}",)) if index else start
            behind = Target("wire", "", (f"{before}.{index + 1}",)) if index + 1 < len(wire) else end
            if device is not None:
                ahead = device.out if device.before == index else ahead
                behind = device.into if device.before == index + 1 else behind
            yield self.piece(owner, f"{before}.{index}", segment, number, made, returns, ahead, behind)

    def piece(self, owner: Owner, place: str, segment: Segment, number: str, made: bool, returns: bool, start: Target,
              end: Target, lay: float = 1.0) -> Piece:
        area, outside, source = _measures(segment)
        size = writing.UNKNOWN if segment.size is None else writing.wire_size(segment.size)
        path, is_cut = self.path_m(segment), segment.origin in _TO_CUT
        return Piece(number, made, owner, place, segment, returns, area, outside, source,
                     end_point(start, segment.start, size, is_cut, self.targets.contact(segment.start)),
                     end_point(end, segment.end, size, is_cut, self.targets.contact(segment.end)), path,
                     _cuts(segment, path * lay) if path is not None and is_cut else ())

    def path_m(self, segment: Segment) -> float | None:
        """The way it lies [m], as the currents and drops are worked out with."""
        if segment.length is not None:
            return float(segment.length)
        if not segment.along or any(length_of(self.plan, run) is None for run in segment.along):
            return None
        return along(self.plan, segment.along)


def lay_factor(plan: Plan, draft: Draft) -> float:
    """By how much a wire is longer than its way: one of a twisted pair goes round the other. 1 for a wire by itself,
    and for one whose diameter or twists are not known."""
    outside, twists = draft.outside_mm or _measures(draft.segment)[1], twists_of(plan, draft)
    return 1.0 if outside is None or twists is None else float(twist_length(outside / 1000.0, twists))


def _measures(segment: Segment) -> tuple[float | None, float | None, Source | None]:
    """Cross-section in mm², outside diameter in mm, and where that is from."""
    if segment.size is None:
        return None, None, None
    try:
        found = conductor(segment.size.system, segment.size.name)
    except TableError:
        return None, None, None
    if found.outside_diameter_mm is not None:
        return found.area_mm2, found.outside_diameter_mm, found.source
    try:
        outside = outside_diameter_mm(found.area_mm2, segment.insulation or WEAKEST)
    except TableError:
        outside = None
    return found.area_mm2, None if outside is None else outside.value, None if outside is None else outside.source


def _cuts(segment: Segment, path_m: float) -> tuple[Cut, ...]:
    """The lengths between its joints; a joint whose place is not known, or lies beyond its end, counts as at its end:
    there the whole wire is one length and the other a stub of nothing but its terminations. A joint at an end
    that is made into a splice parts nothing: it is that splice."""
    places = sorted(path_m if joint.place is None else min(float(joint.place), path_m)
                    for _, joint in joints_of(segment) if end_joined(segment, joint, path_m) is None)
    bounds = [0.0, *places, path_m]
    start, end, between = termination_m(segment.start), termination_m(segment.end), termination_m(None)
    last = len(bounds) - 2
    return tuple(cut(bounds[at + 1] - bounds[at], start if at == 0 else between, end if at == last else between)
                 for at in range(last + 1))


def end_joined(segment: Segment, joint: Joint, path_m: float | None) -> str | None:
    """The splice a joint is, where it stands at an end of the segment that is made into one; None for a joint on the
    way."""
    if joint.place is None:
        return None
    place = float(joint.place)
    if place == 0.0 and segment.start is not None and segment.start.splice is not None:
        return segment.start.splice
    if path_m is not None and place >= path_m and segment.end is not None:
        return segment.end.splice
    return None


def by_owner(found: tuple[Piece, ...]) -> dict[Owner, list[Piece]]:
    """Wires of each part, those of its relay's coil not among them."""
    return grouped((piece.owner, piece) for piece in found if not is_coil_wire(piece.place))


def coils_by_owner(found: tuple[Piece, ...]) -> dict[Owner, list[Piece]]:
    """The wires of the coil of each part's relay, those to 86 first."""
    return grouped((piece.owner, piece) for piece in found if is_coil_wire(piece.place))
