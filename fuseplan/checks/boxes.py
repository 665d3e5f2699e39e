"""Fuse boxes: which way holds what, which way a circuit may take, and how many are free."""

from __future__ import annotations

import math
from collections.abc import Iterator

from fuseplan.checks.subjects import owner_words
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_fuses
from fuseplan.engine.results import Results
from fuseplan.plan.fuse_boxes import BoxPosition, FuseBox
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.fuses import kind_words


@dataclass(frozen=True)
class Way:
    """One position of a fuse box and the devices in it."""

    box: str
    position: str
    feed: str
    """Feed of the bus it is on."""
    part: BoxPosition
    devices: tuple[int, ...]
    """Numbers of the protective devices; more than one is a conflict."""

    @property
    def is_free(self) -> bool:
        """Whether no fuse is in it."""
        return not self.devices


@dataclass(frozen=True)
class Answer:
    """Whether a device may be fitted in a position."""

    way: Way
    why_not: str | None
    """None where it may."""


def ways(results: Results, box_id: str) -> tuple[Way, ...]:
    """The positions of a fuse box in the order of the plan."""
    seated = seats(results)
    return tuple(Way(box_id, place.position, place.feed, place.part, seated.get((place.feed, place.position), ()))
                 for place in results.network.box_places[box_id])


def seats(results: Results) -> dict[tuple[str, str], tuple[int, ...]]:
    """The devices in each position that is named, by (feed they are taken from, position), fuse box or none."""
    found: dict[tuple[str, str], tuple[int, ...]] = {}
    for index, key in of_fuses(results.network, _seat, "fuse position").items():
        found[key] = (*found.get(key, ()), index)
    return found


def _seat(network: Network, device: int) -> tuple[str, str] | None:
    """Feed and position of a device; None for one without a position."""
    owner, fuse, _ = network.fuses[device]
    return None if fuse.position is None else (network.places.source(owner), fuse.position)


def seated(results: Results) -> dict[int, Way]:
    """The way each device sits in that names a position of a fuse box on its feed."""
    held = {(way.feed, way.position): way
            for box in reversed([*results.plan.fuse_box]) for way in reversed(ways(results, box))}
    return {index: held[key] for key, devices in seats(results).items() if key in held for index in devices}


def boxes_at(results: Results, index: int) -> Iterator[tuple[str, FuseBox]]:
    """The fuse boxes with a bus on the feed a device is taken from."""
    feed = results.network.places.source(results.network.fuses[index].owner)
    feeds = results.network.box_feeds
    return ((name, box) for name, box in results.plan.fuse_box.items() if feed in feeds[name])


def why_not(results: Results, index: int, way: Way) -> str | None:
    """Why a device may not sit in a way: its type, its rating, or its load; None where it may."""
    row, part = results.network.fuses[index], way.part
    rating, demand = float(results.fusing.rating_a[index]), lasting_a(results, index)
    if part.kind is not None and part.kind != row.fuse.kind:
        return wrong_kind(part.kind, row.fuse.kind)
    if part.largest is not None and exceeds(rating, part.largest):
        return too_large(rating, part.largest)
    if part.rating is not None and exceeds(demand, part.rating):
        return too_much(demand, part.rating)
    return None


def wrong_kind(takes: str, kind: str) -> str:
    """That a way takes another type of fuse."""
    return f"it takes {kind_words(takes)}s, not {kind_words(kind)}s"


def too_large(rating_a: float, largest_a: float) -> str:
    """That a rating is more than a way takes."""
    return f"it takes at most {writing.rating(largest_a)}, not {writing.rating(rating_a)}"


def too_much(demand_a: float, rated_a: float) -> str:
    """That a load is more than the supply of a way is rated for."""
    return f"its supply is rated for {writing.rating(rated_a)}, the load draws {writing.burden(demand_a, 'A')}"


def lasting_a(results: Results, index: int, bound: int = 0) -> float:
    """What a device carries for minutes [A]."""
    demand = results.demands.supply[bound, :, results.network.fuse_node[index]]
    return float(max(demand[FIVE_MIN], demand[CONTINUOUS]))


def answers(results: Results, index: int) -> tuple[Answer, ...]:
    """Every way on a device's feed, and whether it may take it; free ways that fit come first, the smallest first."""
    feed = results.network.places.source(results.network.fuses[index].owner)
    found = []
    for box_id, _ in boxes_at(results, index):
        for way in ways(results, box_id):
            if way.feed != feed:
                continue
            reason = why_not(results, index, way)
            others = [device for device in way.devices if device != index]
            if reason is None and others:
                reason = f"{owner_words(results, results.network.fuses[others[0]].owner)} is there"
            found.append(Answer(way, reason))
    return tuple(sorted(found, key=lambda each: (each.why_not is not None, _largest(each.way))))


def _largest(way: Way) -> float:
    return math.inf if way.part.largest is None else float(way.part.largest)


def free(results: Results, box_id: str) -> int:
    """Number of free ways."""
    return sum(way.is_free for way in ways(results, box_id))
