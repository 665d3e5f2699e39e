"""A plan's wires as one harness: those of its circuits, feeds and earths, and those found in its looms."""

from __future__ import annotations

from typing import Literal

from fuseplan.build.ends import EndPoint
from fuseplan.build.wires import Piece, left_out, pieces
from fuseplan.checks.assessment import Assessment
from fuseplan.exchange.harness import Contact, Harness, HarnessConnector, HarnessSegment, HarnessWire, Usage
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import title_of
from fuseplan.quantities.decimals import rounded
from fuseplan.records import dataclass

_NUMBERED: dict[str, str] = {"relay": "", "switch": "2", "alternator": "B+", "fuse": "2", "feed": "1", "earth": "1",
                             "load": "+"}
"""Cavity a wire takes where its end has no pin: of a switch or fuse the outgoing side."""
_STUDS = ("feed", "earth", "alternator")


@dataclass(frozen=True)
class _Side:
    """One end of a piece."""

    number: str
    side: Literal["start", "end"]


def harness_of(assessment: Assessment) -> Harness:
    """The harness of an assessed plan. An end the plan does not state is open; a size a table knows is given in mm²."""
    return _Making(assessment).harness()


class _Making:
    def __init__(self, assessment: Assessment) -> None:
        self.plan: Plan = assessment.plan
        self.pieces = (*pieces(assessment), *left_out(assessment))
        self.by_number = {piece.number: piece for piece in self.pieces}
        self.joints = _joints(self.pieces, self.by_number)
        self.made: dict[str, tuple[Usage, dict[str, None], str]] = {}
        """Connection points: what they are, their cavities, and what they are called."""

    def harness(self) -> Harness:
        plan = self.plan
        for name, connector in plan.connector.items():
            self.made[name] = ("connector", dict.fromkeys(connector.pin), connector.name or "")
        wires = [*map(self.wire, self.pieces)]
        mates = {name: connector.mates for name, connector in plan.connector.items()}
        connectors = tuple(HarnessConnector(name, words, usage, tuple(cavities), mates.get(name))
                           for name, (usage, cavities, words) in self.made.items())
        segments = tuple(HarnessSegment(name, run.start, run.end, None if run.length is None else float(run.length),
                                        run.sleeve or "") for name, run in plan.run.items())
        changes = tuple({key: value for key, value in (
            ("date", each.date), ("what", each.what), ("why", each.why), ("who", each.who)) if value}
            for each in plan.change)
        return Harness(plan.vehicle.name or "plan", plan.vehicle.revision or "", tuple(wires), connectors, segments,
                       changes)

    def wire(self, piece: Piece) -> HarnessWire:
        segment = piece.segment
        ends = (self.contact(piece, piece.start, "start"), self.contact(piece, piece.end, "end"))
        kind, name = piece.owner
        return HarnessWire(
            piece.number, _rounded(piece.area_mm2), segment.insulation or "", _colours(segment.colour),
            piece.outside_mm if piece.draft is None else piece.draft.outside_mm, _rounded(piece.path_m),
            piece.signal if piece.draft is not None else title_of(self.plan, kind, name) if name else kind,
            tuple(end for end in ends if end is not None), piece.runs)

    def contact(self, piece: Piece, end: EndPoint, side: Literal["start", "end"]) -> Contact | None:
        """Where an end goes; None where the plan does not say."""
        target = end.target
        if end.connector is not None:
            # A part in words without a terminal is a stud, so that a description read in goes out as it came.
            is_stud = end.pin is None and end.connector not in self.plan.connector
            return self.at(end.connector, "1", "ring terminal") if is_stud else \
                self.at(end.connector, end.pin or "?", "connector")
        if end.splice is not None:
            return self.at(f"splice {end.splice}", "1", "splice")
        if target.kind == "wire":
            joint = self.joints.get(_Side(piece.number, side))
            return None if joint is None else self.at(joint, "1", "splice", target.words)
        if target.kind == "unknown":
            return None
        cavity = target.pin or ("31" if target.kind == "load" and piece.returns else _NUMBERED[target.kind])
        return self.at(target.words, cavity or "1", "ring terminal" if target.kind in _STUDS else "connector")

    def at(self, name: str, cavity: str, usage: Usage, words: str = "") -> Contact:
        self.made.setdefault(name, (usage, {}, words))[1].setdefault(cavity)
        return Contact(name, cavity)


def _joints(found: tuple[Piece, ...], by_number: dict[str, Piece]) -> dict[_Side, str]:
    """Name of the joint at each end that is joined to other wires without a splice of its own name."""
    group: dict[_Side, _Side] = {}

    def root(side: _Side) -> _Side:
        while group.setdefault(side, side) != side:
            side = group[side]
        return side

    for piece in found:
        for side in ("start", "end"):
            for number in getattr(piece, side).meets:
                other = by_number[number]
                for far in ("start", "end"):
                    if piece.number in getattr(other, far).meets:
                        group[root(_Side(piece.number, side))] = root(_Side(number, far))
                        break
    members: dict[_Side, list[str]] = {}
    for each in list(group):
        members.setdefault(root(each), []).append(each.number)
    names = {first: "joint of " + ", ".join(sorted(set(numbers))) for first, numbers in members.items()}
    return {each: names[root(each)] for each in list(group)}


def _rounded(value: float | None) -> float | None:
    """A length in m or an area in mm² to a tenth of a millimetre, or of a thousandth of a square millimetre."""
    return None if value is None else rounded(value, 4, "stated")


def _colours(colour: str | None) -> tuple[str, ...]:
    """Base colour and tracers of a colour in pairs of letters; any other text whole."""
    text = (colour or "").strip()
    if text.isalpha() and text.isascii() and len(text) % 2 == 0 and len(text) <= 8:
        return tuple(text[start:start + 2].upper() for start in range(0, len(text), 2))
    return (text,) if text else ()
