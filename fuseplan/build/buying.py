"""What must be bought: wire by size, insulation and colour, fuses with spares, relays, terminals, and the rest.

What the plan does not say stands in the list as that, so that a shop list never looks complete when it is not.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from fuseplan.build.marks import cable_marks
from fuseplan.build.terminals import holder_words
from fuseplan.grouping import grouped
from fuseplan.quantities import writing
from fuseplan.quantities.decimals import steps
from fuseplan.records import dataclass
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables.building import heat_shrink

if TYPE_CHECKING:
    from fuseplan.build.facts import BuildFacts
    from fuseplan.build.fuse_maps import AnyFuse
    from fuseplan.build.wires import Piece

WASTE = 0.10
"""Wire and terminals bought beyond the count: 10 to 20 %, common practice from memory."""
SPARES = 1
"""Spare fuses of each type and rating at least: a state's equipment specification; 49 CFR 393.95(b)."""
_WIRE_STEP_M = 0.5
_JOINT_MM = 20.0
"""Length of the joint itself under its heat-shrink tube. Our guess."""

BASIS = (f"Wire: cut lengths plus {writing.stated(WASTE, 'share')} (from memory: 10 to 20 % is usual), rounded up to "
         f"half a metre. Terminals and joints: plus {writing.stated(WASTE, 'share')}. Fuses: at least {SPARES} spare "
         "of each type and rating. Wires that are in the car or in the donor loom already are not in the list; fuses, "
         "holders and relays are, whether or not the car has them.")
"""What the list says about its counts."""


@dataclass(frozen=True)
class BuyLine:
    """One thing to buy."""

    group: str
    item: str
    net: float | None
    """What the plan takes; None where that is not known."""
    buy: float | None
    unit: str
    """m, or empty for pieces."""
    used: tuple[str, ...]
    """Where: numbers of wires, titles of circuits, positions."""
    proposed: bool = False
    """Its rating is proposed, not entered."""
    in_stock: bool = False
    """The plan lists the size, rating or contact as at hand; how much of it, it does not say."""


def buy_list(facts: BuildFacts) -> tuple[BuyLine, ...]:
    """Everything to buy, group by group."""
    found = (*_wire(facts), *_cables(facts), *_fuses(facts), *_holders(facts), *_relays(facts),
             *_terminals(facts.needed), *_sleeves(facts), *_joints(facts), *_labels(facts))
    order = list(dict.fromkeys(line.group for line in found))
    return tuple(sorted(found, key=lambda line: order.index(line.group)))


def _up(value: float, step: float) -> float:
    return steps(value, step) * step


def _counted(group: str, item: str, used: list[str], waste: float = 0.0, spares: int = 0,
             proposed: bool = False, in_stock: bool = False) -> BuyLine:
    net = float(len(used))
    return BuyLine(group, item, net, _up(net * (1.0 + waste), 1.0) + spares, "", _each(used), proposed, in_stock)


def _each(used: list[str]) -> tuple[str, ...]:
    """Places named once, with how often where that is more than once."""
    return tuple(name if count == 1 else f"{name} ({count} ×)" for name, count in Counter(used).items())


def wire_item(piece: Piece) -> str:
    """A wire as a shop is asked for it: ``2.5 mm², xlpe125, RDYE``; of a shielded cable it says so."""
    insulation = piece.segment.insulation or "insulation not stated"
    cable = f", {piece.draft.cable}" if piece.draft is not None and piece.draft.cable else ""
    return f"{piece.size}, {insulation}, {piece.segment.colour or 'colour not stated'}{cable}"


def _wire(facts: BuildFacts) -> Iterator[BuyLine]:
    stock = facts.assessment.results.network.stock
    items = grouped((wire_item(piece), piece) for piece in facts.needed
                    if piece.is_cut and piece.key not in facts.cable_of)
    for item, members in sorted(items.items(), key=lambda each: (each[1][0].area_mm2 or 0.0, each[0])):
        lengths = [piece.cut_m for piece in members]
        known = [length for length in lengths if length is not None]
        numbers = tuple(piece.number for piece in members)
        size = members[0].segment.size
        at_hand = size is not None and stock.lists_wires and stock.has_wire(size)
        if known:
            net = sum(known)
            yield BuyLine("Wire", item, net, _up(net * (1.0 + WASTE), _WIRE_STEP_M), "m",
                          tuple(piece.number for piece in members if piece.cut_m is not None), in_stock=at_hand)
        if len(known) < len(lengths):
            yield BuyLine("Wire", f"{item}: length not known", None, None, "m",
                          tuple(number for number, length in zip(numbers, lengths, strict=True) if length is None),
                          in_stock=at_hand)


def _cables(facts: BuildFacts) -> Iterator[BuyLine]:
    for item, members in sorted(grouped((line.item, line) for line in facts.cables).items()):
        net = sum(line.cut_m for line in members if line.cut_m is not None)
        if net:
            yield BuyLine("Cable", item, net, _up(net * (1.0 + WASTE), _WIRE_STEP_M), "m",
                          tuple(line.name for line in members if line.cut_m is not None))
        if unknown := tuple(line.name for line in members if line.cut_m is None):
            yield BuyLine("Cable", f"{item}: length not known", None, None, "m", unknown)


def fuse_item(fuse: AnyFuse) -> str:
    """A fuse as a shop is asked for it: ``mini blade fuse 15 A, blue``."""
    rating, colour = fuse.rating_a, f", {fuse.colour}" if fuse.colour else ""
    return f"{fuse.kind_words} {writing.rating(rating)}{colour}" if rating is not None else \
        f"{fuse.kind_words}, rating not known"


def _fuses(facts: BuildFacts) -> Iterator[BuyLine]:
    fuses: tuple[AnyFuse, ...] = (*facts.fuses, *facts.far_fuses)
    items = grouped((fuse_item(fuse), fuse) for fuse in fuses if not facts.is_idle(fuse.owner))
    order, stock = list(fuse_tables.KINDS), facts.assessment.results.network.stock
    for item, members in sorted(items.items(), key=lambda each: (order.index(each[1][0].kind),
                                                                 each[1][0].rating_a or math.inf)):
        used = [fuse.position or fuse.title for fuse in members]
        rating_a = members[0].rating_a
        if rating_a is None:
            yield BuyLine("Fuses", item, None, None, "", tuple(used))
        else:
            yield _counted("Fuses", item, used, spares=SPARES, proposed=any(not fuse.entered for fuse in members),
                           in_stock=rating_a in stock.listed(members[0].kind))


def _holders(facts: BuildFacts) -> Iterator[BuyLine]:
    for box in facts.boxes:
        kinds = Counter(slot.way.part.kind or "type not stated" for slot in box.slots)
        ways = ", ".join(f"{count} ways {kind}" for kind, count in kinds.items()) or "positions not stated"
        yield _counted("Holders", f"fuse box: {ways}", [box.title])
    loose: tuple[AnyFuse, ...] = (*facts.loose_fuses, *facts.far_fuses)
    holders = grouped((holder_words(fuse.holder) if fuse.holder else f"holder for {fuse.kind_words}, not stated which",
                       fuse.title) for fuse in loose if not facts.is_idle(fuse.owner))
    yield from (_counted("Holders", item, used) for item, used in holders.items())


def _relays(facts: BuildFacts) -> Iterator[BuyLine]:
    relays: dict[tuple[str, str], list[str]] = defaultdict(list)
    stock = facts.assessment.results.network.stock
    sockets: dict[str, list[str]] = defaultdict(list)
    for fitted in facts.relays:
        if facts.is_idle(fitted.owner):
            continue
        words = fitted.contact.words if fitted.contact is not None else "not on file"
        suppression = fitted.relay.suppression
        coil = "coil suppression not stated" if suppression is None else \
            "no coil suppression" if suppression == "none" else f"coil with {suppression}"
        item = f"{fitted.relay.contact.replace('_', ' ')}: {words}, {coil}"
        relays[fitted.relay.contact, item].append(fitted.title)
        terminals = fitted.relay.socket
        sockets[f"relay socket with {terminals.replace('_', ' ')} terminals" if terminals else
                "relay socket, terminals not stated"].append(fitted.title)
    yield from (_counted("Relays", item, used, in_stock=stock.lists_relays and stock.has_relay(contact))
                for (contact, item), used in relays.items())
    yield from (_counted("Relays", item, used) for item, used in sockets.items())


def _terminals(pieces: tuple[Piece, ...]) -> Iterator[BuyLine]:
    ends = [(end, piece.number) for piece in pieces if piece.is_cut for end in (piece.start, piece.end)]
    known = grouped((end.crimped.part, number) for end, number in ends if end.crimped.known)
    unknown = [number for end, number in ends if not end.crimped.known and "terminal" in end.lacking]
    yield from (_counted("Terminals", item, used, waste=WASTE) for item, used in sorted(known.items()))
    if unknown:
        yield BuyLine("Terminals", "terminals the plan does not name", float(len(unknown)), None, "", _each(unknown))


def _sleeves(facts: BuildFacts) -> Iterator[BuyLine]:
    for bundle in facts.bundles:
        inside = bundle.sleeve_inside_mm
        least = "inside diameter not known" if inside is None else f"inside at least {writing.burden(inside, 'mm')}"
        length = None if bundle.run.length is None else float(bundle.run.length)
        if bundle.run.sleeve:
            yield BuyLine("Sleeve", f"{bundle.run.sleeve}, {least}", length,
                          None if length is None else _up(length * (1.0 + WASTE), _WIRE_STEP_M), "m", (bundle.title,))
        if bundle.run.hole is not None:
            hole = writing.stated(float(bundle.run.hole) * 1000.0, "mm")
            over = "not known" if bundle.thickest_mm is None else writing.burden(bundle.thickest_mm, "mm")
            yield _counted("Grommets", f"grommet for a hole of {hole}, bundle {over}", [bundle.title])
        if bundle.clips is not None and bundle.pieces:
            yield BuyLine("Clips", f"clip for a bundle of {writing.burden(bundle.thickest_mm, 'mm')}",
                          float(bundle.clips), float(bundle.clips), "", (bundle.title,))


def _joints(facts: BuildFacts) -> Iterator[BuyLine]:
    joints: dict[str, list[str]] = defaultdict(list)
    shrink: dict[str, list[str]] = defaultdict(list)
    wider = heat_shrink("supplied diameter").value[0]
    shorter, overlap = heat_shrink("shortens").value[1], heat_shrink("overlap").value[1]
    tube_mm = (2.0 * overlap + _JOINT_MM) / (1.0 - shorter)
    for splice in facts.splices:
        if splice.is_there:
            continue
        barrel = "size not known" if splice.barrel_mm2 is None else \
            f"for {writing.burden(splice.barrel_mm2, 'barrel mm2')}"
        joints[f"joint, method: {splice.method}, {barrel}"].append(splice.name)
        widest = [piece.outside_mm for piece in splice.pieces]
        known = [each for each in widest if each is not None]
        size = f"{writing.burden(max(known) * wider, 'mm')} before shrinking" if len(known) == len(widest) and known \
            else "diameter not known"
        if splice.sleeve == "not stated":
            shrink[f"heat-shrink tube with adhesive, {size}, {writing.burden(tube_mm, 'mm')} long"].append(splice.name)
        else:
            shrink[f"{splice.sleeve}, {size}"].append(splice.name)
    yield from (_counted("Joints", item, used, waste=WASTE) for item, used in sorted(joints.items()))
    yield from (_counted("Heat-shrink", item, used, waste=WASTE) for item, used in sorted(shrink.items()))


def _labels(facts: BuildFacts) -> Iterator[BuyLine]:
    pieces = facts.needed
    marks = [cable_marks(piece, facts.cable_of.get(piece.key)) for piece in pieces]
    known = [each for each in marks if each is not None]
    if known:
        yield BuyLine("Labels", "wire labels", float(sum(known)), float(sum(known)), "",
                      (writing.counted(len(known), "wire"),))
    if len(known) < len(marks):
        yield BuyLine("Labels", "wire labels of wires whose length is not known", None, None, "", tuple(
            piece.number for piece, each in zip(pieces, marks, strict=True) if each is None))
