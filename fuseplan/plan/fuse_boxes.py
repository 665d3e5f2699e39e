"""Fuse boxes as tables of the plan file, and their positions: in which row and column each sits, what it takes, which
feed its bus is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated

from pydantic import Field

from fuseplan.plan.part import Name, Part, Text
from fuseplan.plan.ranges import BusCurrent, LargestFuse
from fuseplan.plan.words import FuseKind
from fuseplan.quantities.amounts import Between
from fuseplan.records import dataclass

_NUMBER_AT_END = re.compile(r"(.*?)([0-9]{1,9})", re.DOTALL)


class BoxPosition(Part):
    """One position of a fuse box."""

    largest: LargestFuse | None = Field(None, description="largest fuse the position takes")
    kind: Text | None = Field(None, description="fuse type it takes")
    rating: BusCurrent | None = Field(None, description="what the feed of the position may carry")


class FuseBox(Part):
    """A fuse box with its positions.

    `position` lists positions one by one, in the order in which they stand; `numbered` numbers rows × columns of them
    in one go. Both together: the table says what is different about one position, or adds one outside the rows.
    """

    name: Text | None = None
    feed: Name = Field(description="feed of its bus")
    row_feed: tuple[Name, ...] = Field((), description="feed of each row, where the rows have buses of their own; left "
                                       "out: the box's feed")
    rating: BusCurrent | None = Field(None, description="what the bus may carry, each bus by itself")
    rows: Annotated[int, Between(1, 50)] | None = Field(None, strict=True, description="rows of positions, as the box "
                                                        "looks when the lid is off")
    columns: Annotated[int, Between(1, 50)] | None = Field(None, strict=True, description="positions in a row")
    numbered: Name | None = Field(None, description="first position, such as F1: the others are counted on from it, "
                                  "row by row")
    largest: LargestFuse | None = Field(None, description="largest fuse each position takes")
    kind: FuseKind | None = Field(None, description="fuse type each position takes")
    position: Mapping[Name, BoxPosition] = Field(default_factory=dict, description="its positions")
    spare: Annotated[int, Between(0, 100)] | None = Field(None, strict=True, description="spare ways wanted")


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
