"""Earth points: what lands on each, in which order, how tight."""

from __future__ import annotations

from dataclasses import dataclass

from fuseplan.build.wires import Piece
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.conditions import title_of
from fuseplan.results.supply import EarthResult
from fuseplan.tables.building import Torque, torques

MOST_ON_STUD = 4
"""Wires on one stud at most (AC 21-99 section 2 chapter 13)."""

STACKING = ("Bare metal, no paint under the lug. Lugs lie on the bare face, the largest first, no washer between lug "
            "and face (a battery maker's manual); then washer, then nut. Star washers: some makers fit them under the "
            "lug to cut through paint, a fire-truck maker's guide forbids them at earths: follow the car maker. Grease "
            "after tightening.")
"""How lugs are stacked. The order by size is common practice, no source."""


@dataclass(frozen=True)
class EarthPoint:
    """One earth point."""

    result: EarthResult
    title: str
    landing: tuple[Piece, ...]
    """Wires that end on it, the thickest first: in this order they are stacked."""
    leaving: tuple[Piece, ...]
    """Its own strap or cable to the next point."""
    bodies: tuple[str, ...]
    """Loads that are earthed on it by their own body."""
    straps: tuple[Piece, ...]
    """Straps of other points that lead to it."""
    current_a: float | None
    """Largest current towards the battery in any condition."""
    torques: tuple[Torque, ...]
    """Published torques for its stud; none where no stud is stated."""

    @property
    def lugs(self) -> int:
        """Lugs on the stud, its own strap counted."""
        return len(self.landing) + len(self.leaving) + len(self.straps)


def earth_points(assessment: Assessment, found: tuple[Piece, ...]) -> tuple[EarthPoint, ...]:
    """All earth points from the battery outwards."""
    return tuple(_point(assessment, found, view) for view in assessment.earths)


def _point(assessment: Assessment, found: tuple[Piece, ...], view: EarthResult) -> EarthPoint:
    plan, name = assessment.plan, view.id
    straps = tuple(piece for piece in found if piece.owner[0] == "earth" and piece.owner[1] != name
                   and plan.earth[piece.owner[1]].upstream == name and piece.end.target.kind == "earth")
    landing = tuple(sorted(
        (piece for piece in found if piece.owner[0] == "circuit" and piece.end.target.kind == "earth"
         and _earth_of(assessment, piece) == name), key=lambda piece: -(piece.area_mm2 or 0.0)))
    bodies = []
    for circuit_name, circuit in plan.circuit.items():
        if circuit.out_of_scope is not None:
            continue
        for index, load in enumerate(circuit.load):
            shared = bool(circuit.earth_wire) and load.earth is None
            if (load.earth or circuit.earth) == name and not load.earth_wire and not shared:
                bodies.append(load.name or f"load {index + 1} of {title_of(plan, 'circuit', circuit_name)}")
    alternator = plan.alternator
    if alternator is not None and alternator.earth == name:
        bodies.append("alternator")
    currents = [each.largest_a for each in view.in_condition.values()]
    largest = None if any(each is None for each in currents) else max((abs(each or 0.0) for each in currents),
                                                                     default=None)
    stud = plan.earth[name].stud
    return EarthPoint(view, title_of(plan, "earth", name), landing,
                      tuple(piece for piece in found if piece.owner == ("earth", name)), tuple(bodies), straps, largest,
                      torques(stud) if stud is not None else ())


def _earth_of(assessment: Assessment, piece: Piece) -> str | None:
    """The earth point the last earth wire of a circuit or load ends on."""
    circuit = assessment.plan.circuit[piece.owner[1]]
    steps = piece.place.split(".")
    return circuit.load[int(steps[1])].earth or circuit.earth if steps[0] == "load" else circuit.earth
