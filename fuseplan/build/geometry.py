"""The loom as a tree of runs laid out flat: where each place lies, to scale along the runs, and what runs through."""

from __future__ import annotations

import math
from collections.abc import Iterable

from fuseplan.build.bundles import Bundle
from fuseplan.build.ends import EndPoint
from fuseplan.build.ways import Way, ways
from fuseplan.build.wires import Piece
from fuseplan.grouping import grouped
from fuseplan.records import dataclass

UNKNOWN_M = 0.3
"""Length a run without one is drawn at."""
_TURNS_DEG = (0.0, 55.0, -55.0, 80.0, -80.0, 30.0, -30.0)
"""Directions branches leave in, against the way they come from; the longest goes straight on."""


@dataclass(frozen=True)
class LeavingEnd:
    """An end of a wire that leaves the loom."""

    piece: Piece
    end: EndPoint
    known: bool
    """It is this end of the wire; otherwise it may be the other one."""


@dataclass(frozen=True)
class LoomPlace:
    """A place where runs begin or end: x to the right, y upwards, in m on the drawing."""

    name: str
    x_m: float
    y_m: float
    ends: tuple[LeavingEnd, ...]
    """Wires that leave the loom here."""


@dataclass(frozen=True)
class LoomSection:
    """A run on the drawing."""

    bundle: Bundle
    start: LoomPlace
    end: LoomPlace
    to_scale: bool
    """Drawn as long as it is; a run without a length, or one that closes a ring, is not."""


@dataclass(frozen=True)
class LoomLayout:
    """The loom laid out flat; several trees stand below each other."""

    places: tuple[LoomPlace, ...]
    sections: tuple[LoomSection, ...]


def layout(bundles: tuple[Bundle, ...]) -> LoomLayout:
    """The runs of a plan laid out. A run that would close a ring is drawn between the places it joins."""
    beside = grouped((place, bundle) for bundle in bundles for place in (bundle.run.start, bundle.run.end))
    at: dict[str, tuple[float, float]] = {}
    laid: set[str] = set()
    below = 0.0
    for root in sorted(beside, key=lambda name: (-_wires(beside[name]), name)):
        if root in at:
            continue
        tree = _tree(root, beside, laid)
        left, top = min(x for x, _ in tree.values()), max(y for _, y in tree.values())
        at.update({name: (x - left, y - top + below) for name, (x, y) in tree.items()})
        below = min(y for _, y in (at[name] for name in tree)) - UNKNOWN_M
    leaving = _leaving(ways(bundles).values())
    places = {name: LoomPlace(name, x, y, leaving.get(name, ())) for name, (x, y) in at.items()}
    return LoomLayout(tuple(places.values()), tuple(
        LoomSection(bundle, places[bundle.run.start], places[bundle.run.end],
                    bundle.id in laid and bundle.run.length is not None) for bundle in bundles))


def _wires(found: list[Bundle]) -> int:
    return max((len(bundle.pieces) for bundle in found), default=0)


def _length(bundle: Bundle) -> float:
    return UNKNOWN_M if bundle.run.length is None else float(bundle.run.length)


def _tree(root: str, beside: dict[str, list[Bundle]], laid: set[str]) -> dict[str, tuple[float, float]]:
    """Positions of all places that runs join to a root; the runs used are added to `laid`."""
    at = {root: (0.0, 0.0)}
    waiting = [(root, 0.0)]
    while waiting:
        here, heading = waiting.pop(0)
        onward = sorted((bundle for bundle in beside[here] if bundle.id not in laid),
                        key=lambda each: (-_length(each), each.id))
        for number, bundle in enumerate(onward):
            there = bundle.run.end if bundle.run.start == here else bundle.run.start
            if there in at:
                continue
            laid.add(bundle.id)
            # Past the last direction on the list the branches are fanned out evenly.
            turn = _TURNS_DEG[number] if number < len(_TURNS_DEG) else 360.0 * number / len(onward)
            angle, (x, y) = heading + turn, at[here]
            at[there] = (x + _length(bundle) * math.cos(math.radians(angle)),
                         y + _length(bundle) * math.sin(math.radians(angle)))
            waiting.append((there, angle))
    return at


def _leaving(found: Iterable[Way]) -> dict[str, tuple[LeavingEnd, ...]]:
    """The ends of wires that leave the loom at each place."""
    ends = grouped((place, LeavingEnd(way.piece, end, way.directed)) for way in found for place, end in way.ends)
    return {place: tuple(members) for place, members in ends.items()}
