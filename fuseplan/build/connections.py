"""Connectors and splices: which wire is in which pin, and which wires are joined where."""

from __future__ import annotations

from collections import defaultdict

from fuseplan.build.ends import EndPoint
from fuseplan.build.loom_pieces import joins
from fuseplan.build.numbers import Owner
from fuseplan.build.terminals import barrel_area_mm2
from fuseplan.build.wires import Piece, end_joined
from fuseplan.plan.model import Plan
from fuseplan.records import dataclass


@dataclass(frozen=True)
class PinLine:
    """One pin of a connector and the wires in it; a pin of the plan without a wire has none."""

    connector: str
    title: str
    pin: str | None
    ends: tuple[tuple[Piece, EndPoint], ...]

    def barrel_mm2(self, end: EndPoint) -> float | None:
        """Area the terminal of an end must take: all wires on its side of the pin together; None where one size is not
        known. A wire of a circuit that goes on in another behind the plug is on the other side. The wires of a loom
        are all on one side, and one of a circuit beside them counts with them."""
        return _barrel(self._beside(end))

    def shares(self, end: EndPoint) -> bool:
        """Whether an end shares its terminal with another wire."""
        return len(self._beside(end)) > 1

    def _beside(self, end: EndPoint) -> list[Piece]:
        """The wires in the terminal of an end, its own among them."""
        own = next(piece for piece, each in self.ends if each is end)
        return [piece for piece, each in self.ends if own.draft is not None or piece.draft is not None
                or (each is piece.start) == (end is own.start)]


@dataclass(frozen=True)
class SpliceLine:
    """Wires joined to each other: at a splice the plan names, at a joint in a wire, or end to end without more said."""

    name: str
    pieces: tuple[Piece, ...]
    method: str
    sleeve: str
    place_m: float | None
    """Distance from the start of the wire it is in."""
    barrel_mm2: float | None
    planned: bool = False
    """The plan joins wires of two looms here."""

    @property
    def is_there(self) -> bool:
        """It joins nothing but wires of a loom as it is found: no new joint."""
        return not self.planned and all(
            piece.segment.origin == "existing" or (piece.draft is not None and not piece.is_cut)
            for piece in self.pieces)


def pin_lines(plan: Plan, found: tuple[Piece, ...]) -> tuple[PinLine, ...]:
    """Pins by connector: those of connectors in the plan in its order, then what ends of wires name besides."""
    inside: dict[str, dict[str | None, list[tuple[Piece, EndPoint]]]] = {
        name: {pin: [] for pin in connector.pin} for name, connector in plan.connector.items()}
    for piece in found:
        for end in (piece.start, piece.end):
            if end.connector is not None:
                inside.setdefault(end.connector, {}).setdefault(end.pin, []).append((piece, end))
    lines = []
    for name, pins in inside.items():
        known = plan.connector.get(name)
        title = name if known is None or known.name is None or known.name == name else f"{name}: {known.name}"
        lines += [PinLine(name, title, pin, tuple(ends)) for pin, ends in pins.items()]
    return tuple(lines)


def splice_lines(plan: Plan, found: tuple[Piece, ...]) -> tuple[SpliceLine, ...]:
    """All joints between and in wires. A wire that is joined to that of another pin is so before that pin."""
    named: dict[str, list[Piece]] = defaultdict(list)
    ending: dict[tuple[str | None, str | None], list[Piece]] = defaultdict(list)
    for piece in found:
        for end in (piece.start, piece.end):
            ending[end.connector, end.pin].append(piece)
            if end.splice is not None:
                named[end.splice].append(piece)
    planned = joins(plan)
    for name, far in planned.items():
        if far is not None and name in named:
            named[name] += [piece for piece in ending[far.connector, far.pin] if piece not in named[name]]
    lines = [_named(name, pieces, name in planned) for name, pieces in named.items()]
    for piece in found:
        inside = [joint for joint in piece.joints if end_joined(piece.segment, joint, piece.path_m) is None]
        for number, joint in enumerate(inside, 1):
            more = f".{number}" if len(inside) > 1 else ""
            lines.append(SpliceLine(
                f"in {piece.number}{more}", (piece,), joint.method or "not stated", joint.sleeve or "not stated",
                None if joint.place is None else float(joint.place), _barrel([piece, piece])))
    lines += _end_to_end(found)
    return tuple(lines)


def _named(name: str, pieces: list[Piece], planned: bool) -> SpliceLine:
    """A splice the plan names; how it is made is said by a joint at that end of one of its wires."""
    made = next((joint for piece in pieces for joint in piece.joints
                 if end_joined(piece.segment, joint, piece.path_m) == name), None)
    method, sleeve = (None, None) if made is None else (made.method, made.sleeve)
    return SpliceLine(name, tuple(pieces), method or "not stated", sleeve or "not stated", None, _barrel(pieces),
                      planned)


def _end_to_end(found: tuple[Piece, ...]) -> list[SpliceLine]:
    """Ends that meet the ends of other wires and name neither splice nor connector; each meeting once. A wire that is
    not made, as its feed hands out nothing, is joined to none."""
    places = {piece.key: piece for piece in found}
    seen: dict[tuple[Owner, str], list[set[tuple[Owner, str]]]] = defaultdict(list)
    lines = []
    for piece in found:
        for end in (piece.start, piece.end):
            if not end.meets or end.splice is not None or end.connector is not None:
                continue
            keys = [key for key in (piece.key, *((piece.owner, place) for place in end.target.others)) if key in places]
            together = set(keys)
            if len(keys) < 2 or any(together <= other for other in seen[piece.key]):
                continue
            for key in keys:
                seen[key].append(together)
            pieces = tuple(places[key] for key in keys)
            lines.append(SpliceLine(" – ".join(each.number for each in pieces), pieces, "not stated", "not stated",
                                    None, _barrel(list(pieces))))
    return lines


def _barrel(pieces: list[Piece]) -> float | None:
    areas = [piece.area_mm2 for piece in pieces]
    if not areas or any(area is None for area in areas):
        return None
    return barrel_area_mm2(tuple(area for area in areas if area is not None))
