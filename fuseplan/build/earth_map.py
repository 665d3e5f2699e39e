"""Earth points: what lands on each, in which order, how tight."""

from __future__ import annotations

from collections import defaultdict

from fuseplan.build.wires import Piece
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.coils import is_coil_wire, relay_of
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import title_of
from fuseplan.records import dataclass
from fuseplan.results.supply import EarthResult
from fuseplan.tables.building import Torque, torques

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
    """The wire of its own strap or cable to the next point that begins on it."""
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
    plan = assessment.plan
    landing: dict[str, list[Piece]] = defaultdict(list)
    leaving: dict[str, list[Piece]] = defaultdict(list)
    straps: dict[str, list[Piece]] = defaultdict(list)
    for piece in found:
        kind, name = piece.owner
        ends_there = piece.end.target.kind == "earth"
        if kind == "earth":
            if piece.start.target.kind == "earth":
                leaving[name].append(piece)
            if ends_there:
                straps[plan.earth[name].upstream or ""].append(piece)
        elif ends_there and (kind == "circuit" or is_coil_wire(piece.place)):
            landing[_earth_of(plan, piece) or ""].append(piece)
    bodies = _bodies(plan)
    return tuple(_point(assessment, view, landing[view.id], leaving[view.id], straps[view.id], bodies[view.id])
                 for view in assessment.earths)


def _point(assessment: Assessment, view: EarthResult, landing: list[Piece], leaving: list[Piece], straps: list[Piece],
           bodies: list[str]) -> EarthPoint:
    currents = [each.largest_a for each in view.in_condition.values()]
    largest = None if any(each is None for each in currents) else max((abs(each or 0.0) for each in currents),
                                                                      default=None)
    stud = assessment.plan.earth[view.id].stud
    return EarthPoint(view, title_of(assessment.plan, "earth", view.id),
                      tuple(sorted(landing, key=lambda piece: -(piece.area_mm2 or 0.0))), tuple(leaving), tuple(bodies),
                      tuple(straps), largest, torques(stud) if stud is not None else ())


def _bodies(plan: Plan) -> dict[str, list[str]]:
    """Loads without an earth wire, by the earth point their own body stands for."""
    found: dict[str, list[str]] = defaultdict(list)
    for name, circuit in plan.circuit.items():
        for index, load in enumerate(circuit.load if circuit.out_of_scope is None else ()):
            shared = bool(circuit.earth_wire) and load.earth is None
            if not load.earth_wire and not shared:
                words = load.name or f"load {index + 1} of {title_of(plan, 'circuit', name)}"
                found[load.earth or circuit.earth or ""].append(words)
    if plan.alternator is not None:
        found[plan.alternator.earth or ""].append(plan.alternator.machine)
    return found


def _earth_of(plan: Plan, piece: Piece) -> str | None:
    """The earth point the last earth wire of a circuit or load, or the wire from 85 of a relay, ends on."""
    if is_coil_wire(piece.place):
        relay = relay_of(plan, piece.owner)
        return None if relay is None else relay.coil_earth
    circuit = plan.circuit[piece.owner[1]]
    steps = piece.place.split(".")
    return circuit.load[int(steps[1])].earth or circuit.earth if steps[0] == "load" else circuit.earth
