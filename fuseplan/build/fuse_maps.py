"""Fuse boxes as they look: what sits in each position, which ways are free, and which fuses sit elsewhere."""

from __future__ import annotations

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.boxes import Way, ways, why_not
from fuseplan.plan import fuse_boxes
from fuseplan.plan.conditions import title_of
from fuseplan.records import dataclass
from fuseplan.results.fuse import FuseResult
from fuseplan.tables import fuses as fuse_tables


@dataclass(frozen=True)
class FittedFuse:
    """One fuse, breaker or link."""

    owner: tuple[str, str]
    title: str
    """What it protects."""
    result: FuseResult
    position: str | None
    holder: str | None
    feed: str

    @property
    def kind_words(self) -> str:
        """Its type by its trade word."""
        return fuse_tables.fuse_kind(self.result.kind).words

    @property
    def colour(self) -> str:
        """Colour printed on the part, in words; empty where none is on file."""
        return self.result.colour or ""

    @property
    def colour_from_memory(self) -> bool:
        """Whether its colour word is on file from memory alone."""
        rating = self.result.rating_a
        found = None if rating is None else fuse_tables.colour(self.result.kind, rating)
        return found is not None and found.source.how == "memory"


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
    return tuple(
        FittedFuse(row.owner, "alternator cable" if row.owner[0] == "alternator" else
                   title_of(assessment.plan, *row.owner), FuseResult(assessment, index), row.fuse.position,
                   row.fuse.holder, network.places.source(row.owner))
        for index, row in enumerate(network.fuses))


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
