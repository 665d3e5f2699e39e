"""The positions of a fuse box: in which row and column each sits, what it takes, which feed its bus is."""

from __future__ import annotations

import re

from fuseplan.plan.model import BoxPosition, FuseBox
from fuseplan.records import dataclass

_NUMBER_AT_END = re.compile(r"(.*?)([0-9]{1,9})", re.DOTALL)


@dataclass(frozen=True)
class BoxPlace:
    """One position of a fuse box."""

    position: str
    part: BoxPosition
    """What it takes, with what holds for the whole box filled in."""
    feed: str
    row: int | None
    """From 1 at the top; None where the plan does not say how the box looks, or the position lies outside its rows."""
    column: int | None
    """From 1 at the left."""


def places(box: FuseBox) -> tuple[BoxPlace, ...]:
    """The positions of a box, row by row, then those outside the rows."""
    numbered = counted(box.numbered, (box.rows or 0) * (box.columns or 0))
    names = dict.fromkeys((*numbered, *box.position))
    inside = len(numbered) or (len(names) if box.columns is not None and box.rows is None
                               else (box.rows or 0) * (box.columns or 0))
    return tuple(_place(box, name, index if index < inside else None) for index, name in enumerate(names))


def _place(box: FuseBox, name: str, index: int | None) -> BoxPlace:
    part = box.position.get(name, BoxPosition())
    if part.largest is None or part.kind is None:
        part = part.model_copy(update={"largest": part.largest if part.largest is not None else box.largest,
                                       "kind": part.kind if part.kind is not None else box.kind})
    if index is None or box.columns is None:
        return BoxPlace(name, part, box.feed, None, None)
    row, column = divmod(index, box.columns)
    feed = box.row_feed[row] if row < len(box.row_feed) else box.feed
    return BoxPlace(name, part, feed, row + 1, column + 1)


def counted(first: str | None, count: int) -> tuple[str, ...]:
    """Names counted on from the first: F1, F2 …; none without a number at its end."""
    found = None if first is None else _NUMBER_AT_END.fullmatch(first)
    if found is None:
        return ()
    before, number = found.groups()
    return tuple(before + str(int(number) + step).zfill(len(number)) for step in range(count))


def feeds(box: FuseBox) -> tuple[str, ...]:
    """The feeds of a box's buses: those of its positions; without positions all that are named."""
    return tuple(dict.fromkeys(place.feed for place in places(box))) or \
        tuple(dict.fromkeys((*box.row_feed, box.feed)))


def rows(box: FuseBox) -> int | None:
    """Rows of a box; None where the plan does not say how it looks."""
    if box.columns is None:
        return None
    return box.rows or -(-len(places(box)) // box.columns) or None
