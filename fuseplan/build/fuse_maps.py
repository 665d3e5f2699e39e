"""Fuse boxes as they look: what sits in each position, which ways are free, and which fuses sit elsewhere."""

from __future__ import annotations

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.boxes import Way, ways, why_not
from fuseplan.plan import fuse_boxes
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import owner_title, title_of
from fuseplan.records import dataclass
from fuseplan.results.fuse import FuseResult
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables.load import Cited


@dataclass(frozen=True)
class AnyFuse:
    """One fuse, breaker or link, wherever it sits."""

    owner: tuple[str, str]
    title: str
    """What it protects; of one at a second battery that."""
    kind: str
    rating_a: float | None
    """As entered or proposed; None where it is neither."""
    entered: bool
    position: str | None
    holder: str | None

    @property
    def kind_words(self) -> str:
        """Its type by its trade word."""
        return fuse_tables.fuse_kind(self.kind).words

    @property
    def colour(self) -> str:
        """Colour printed on the part, in words; empty where none is on file."""
        found = self._colour
        return "" if found is None else found.value

    @property
    def colour_from_memory(self) -> bool:
        """Whether its colour word is on file from memory alone."""
        found = self._colour
        return found is not None and found.source.how == "memory"

    @property
    def _colour(self) -> Cited[str] | None:
        return None if self.rating_a is None else fuse_tables.colour(self.kind, self.rating_a)


@dataclass(frozen=True)
class FittedFuse(AnyFuse):
    """One between the battery and what is fed from it."""

    result: FuseResult
    feed: str


@dataclass(frozen=True)
class Slot:
    """One position of a box."""

    way: Way
    row: int | None
    column: int | None
    fuses: tuple[FittedFuse, ...]
    """More than one is a conflict."""
    wrong: str
    """Why what sits there may not; empty where nothing stands against it."""


@dataclass(frozen=True)
class BoxMap:
    """One fuse box."""

    id: str
    title: str
    rows: int | None
    columns: int | None
    """None where the plan does not say how the box looks."""
    slots: tuple[Slot, ...]
    feeds: tuple[str, ...]

    @property
    def free(self) -> tuple[Slot, ...]:
        """Its ways without a fuse."""
        return tuple(slot for slot in self.slots if not slot.fuses)


def fitted_fuses(assessment: Assessment) -> tuple[FittedFuse, ...]:
    """All protective devices of the plan, from the battery outwards."""
    network = assessment.results.network
    found = []
    for index, row in enumerate(network.fuses):
        title = owner_title(assessment.plan, row.owner) if row.owner[0] == "alternator" else \
            title_of(assessment.plan, *row.owner)
        result = FuseResult(assessment, index)
        found.append(FittedFuse(row.owner, title, result.kind, result.rating_a, result.entered, row.fuse.position,
                                row.fuse.holder, result, network.places.source(row.owner)))
    return tuple(found)


def far_fuses(plan: Plan) -> tuple[AnyFuse, ...]:
    """The fuses at second batteries, circuit by circuit; those of circuits out of scope are not among them."""
    found = []
    for name, circuit in plan.circuit.items():
        fuse = None if circuit.second_battery is None else circuit.second_battery.fuse
        if fuse is not None and circuit.out_of_scope is None:
            found.append(AnyFuse(("circuit", name), f"second battery of {title_of(plan, 'circuit', name)}", fuse.kind,
                                 None if fuse.rating is None else float(fuse.rating), True, fuse.position, fuse.holder))
    return tuple(found)


def box_maps(assessment: Assessment, fitted: tuple[FittedFuse, ...]) -> tuple[BoxMap, ...]:
    """The fuse boxes in the order of the plan, with all protective devices where they sit."""
    network = assessment.results.network
    found = []
    for name, box in assessment.plan.fuse_box.items():
        places = network.box_places[name]
        slots = []
        for place, way in zip(places, ways(assessment.results, name), strict=True):
            reasons = [reason for device in way.devices if (reason := why_not(assessment.results, device, way))]
            if len(way.devices) > 1:
                reasons.append("more than one fuse is entered for it")
            slots.append(Slot(way, place.row, place.column, tuple(fitted[device] for device in way.devices),
                              "; ".join(reasons)))
        found.append(BoxMap(name, box.name or name.replace("_", " "), fuse_boxes.rows(box), box.columns, tuple(slots),
                            network.box_feeds[name]))
    return tuple(found)


def outside_boxes(fitted: tuple[FittedFuse, ...], boxes: tuple[BoxMap, ...]) -> tuple[FittedFuse, ...]:
    """Fuses that sit in no position of a box: in holders of their own, bolted in, or not said where."""
    seated = {fuse.owner for box in boxes for slot in box.slots for fuse in slot.fuses}
    return tuple(fuse for fuse in fitted if fuse.owner not in seated)
