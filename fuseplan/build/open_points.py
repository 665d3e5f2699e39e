"""What whoever builds the loom would still have to ask the plan's author."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from fuseplan.build.coil_gaps import coil_gaps
from fuseplan.build.ways import parted, parted_words
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing
from fuseplan.records import dataclass

if TYPE_CHECKING:
    from fuseplan.build.facts import BuildFacts
    from fuseplan.build.wires import Piece


@dataclass(frozen=True)
class OpenPoint:
    """One thing the plan does not say: about what, and what is missing."""

    subject: str
    words: str


def open_points(facts: BuildFacts) -> tuple[OpenPoint, ...]:
    """All of them: about the plan as a whole first, then wire by wire; nothing of feeds for which nothing is built
    yet."""
    return (*_whole(facts), *_relays(facts), *_boxes(facts), *_earths(facts), *_runs(facts), *_wires(facts))


def _whole(facts: BuildFacts) -> Iterator[OpenPoint]:
    plan = facts.assessment.plan
    if plan.vehicle.revision is None:
        yield OpenPoint("plan", "revision")
    if plan.vehicle.revision_date is None:
        yield OpenPoint("plan", "date of its revision")
    for name, circuit in plan.circuit.items():
        title = title_of(plan, "circuit", name)
        if circuit.out_of_scope is not None:
            yield OpenPoint(title, "out of scope: nothing is printed for it but that it is there")
            continue
        missing = facts.assessment.missing(name)
        if missing:
            yield OpenPoint(title, "not known: " + ", ".join(missing))
        gaps = facts.path(name).gaps
        if gaps:
            yield OpenPoint(title, "; ".join(gaps))
    for number, count in Counter(piece.number for piece in facts.pieces).items():
        if count > 1:
            yield OpenPoint(f"wire {number}", f"{count} wires have this number")
    for one, other in parted(facts.ways):
        yield OpenPoint(f"wire {one.piece.number}", parted_words(one, other))
    yield from _entered_twice(facts)


def _entered_twice(facts: BuildFacts) -> Iterator[OpenPoint]:
    """Pins on which both a circuit's wire and one entered at a pin end: it may be the same wire, which is then in every
    list twice. Where the plan says that several end there, nothing is asked."""
    for line in facts.pins:
        known = facts.assessment.plan.connector.get(line.connector)
        pin = None if known is None or line.pin is None else known.pin.get(line.pin)
        of_pins = [piece.number for piece, _ in line.ends if piece.draft is not None and piece.owner[0] == "connector"]
        others = [piece.number for piece, _ in line.ends if piece.draft is None]
        if line.pin is not None and of_pins and others and (pin is None or (pin.wires or 1) == 1):
            yield OpenPoint(f"{line.connector} pin {line.pin}", f"whether {' and '.join((*others, *of_pins))} are one "
                            "wire: both are in the lists until its other end is entered in the circuit too")


def _relays(facts: BuildFacts) -> Iterator[OpenPoint]:
    plan = facts.assessment.plan
    for fitted in facts.relays:
        if facts.is_idle(fitted.owner):
            continue
        if fitted.relay.socket is None:
            yield OpenPoint(fitted.title, "terminals of its relay socket")
        if fitted.relay.driver is None:
            yield OpenPoint(fitted.title, "what switches its relay's coil")
        if fitted.owner[0] == "feed":
            for gap in coil_gaps(plan, fitted.relay):
                yield OpenPoint(fitted.title, gap)
            if plan.feed[fitted.owner[1]].fuse is not None and fitted.relay.wire_before is None:
                yield OpenPoint(fitted.title, "whether its relay sits at the start or at the end of its wire")


def _boxes(facts: BuildFacts) -> Iterator[OpenPoint]:
    for box in facts.boxes:
        if box.columns is None:
            yield OpenPoint(box.title, "its rows and columns")
    seated = Counter(fuse.owner for box in facts.boxes for slot in box.slots for fuse in slot.fuses)
    for fuse in facts.fuses:
        if seated[fuse.owner] > 1:
            yield OpenPoint(fuse.title, f"which of {seated[fuse.owner]} fuse boxes its position {fuse.position} is in")
    for fuse in facts.loose_fuses:
        if facts.is_idle(fuse.owner):
            continue
        if fuse.position:
            yield OpenPoint(fuse.title, f"which fuse box has position {fuse.position}")
        elif not fuse.holder:
            yield OpenPoint(fuse.title, "position or holder of its fuse")


def _earths(facts: BuildFacts) -> Iterator[OpenPoint]:
    for point in facts.earths:
        if not point.torques and point.lugs:
            yield OpenPoint(point.title, "thread of its stud, for ring terminals and torque")


def _runs(facts: BuildFacts) -> Iterator[OpenPoint]:
    for bundle in facts.bundles:
        for holds, words in ((bundle.run.length is None, "length"), (bundle.run.sleeve is None, "sleeve"),
                             (bool(bundle.no_diameter), "outside diameter of " + ", ".join(bundle.no_diameter)),
                             (bool(bundle.no_jacket), "diameter over the jacket of " + ", ".join(bundle.no_jacket))):
            if holds:
                yield OpenPoint(f"run {bundle.title}", words)
    beside = [piece.number for piece in facts.needed if not piece.runs and (piece.draft is None or piece.is_cut)]
    if beside and not facts.bundles:
        yield OpenPoint("runs", f"none is entered: route of {writing.counted(len(beside), 'wire')}, and thickness "
                                "of the loom")
    elif beside:
        yield OpenPoint("runs", f"route of {writing.counted(len(beside), 'wire')} in no run: {', '.join(beside)}")


def _wires(facts: BuildFacts) -> Iterator[OpenPoint]:
    """Wire by wire; wires of looms of which the same is missing in one line."""
    alike: dict[str, list[str]] = defaultdict(list)
    for piece in facts.needed:
        of_wire = list(_of_wire(piece))
        if piece.draft is not None:
            lacking = dict.fromkeys(what for end in (piece.start, piece.end) for what in end.lacking)
            if of_wire or lacking:
                alike["; ".join((*of_wire, *lacking))].append(piece.number)
            continue
        words = [*of_wire, *(f"{what} at '{end.words}'" for end in (piece.start, piece.end) for what in end.lacking)]
        if words:
            yield OpenPoint(f"wire {piece.number}", "; ".join(words))
    for what, numbers in alike.items():
        yield OpenPoint(f"{'wire' if len(numbers) == 1 else 'wires'} {', '.join(numbers)}", what)


def _of_wire(piece: Piece) -> Iterator[str]:
    segment = piece.segment
    # A wire of a loom that stays as it is found is neither cut nor worked out with.
    if piece.draft is not None and not piece.is_cut:
        return
    for holds, words in ((segment.size is None, "size"), (piece.path_m is None, "length"),
                         (segment.insulation is None, "insulation"), (segment.colour is None, "colour"),
                         (segment.origin is None, "whether it is new, existing or from the donor")):
        if holds:
            yield words
    if piece.joints and segment.origin == "donor":
        yield "which part of it is new: it is from the donor, with a joint in it"
    for joint in piece.joints:
        if joint.place is None:
            yield "place of its joint"
        elif piece.path_m is not None and float(joint.place) > piece.path_m:
            yield "place of its joint: the one entered lies beyond its end"
