"""One row of the test sheet as it is chosen, before anything is worked out for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from fuseplan.bench.plug_rows import PlugRow
from fuseplan.bench.points import Point, points
from fuseplan.checks.assessment import Assessment
from fuseplan.results.address import joined

Key = tuple[str, str]
"""Point and condition of a row."""


class Entry(NamedTuple):
    """One row as it is chosen.

    A row that finds a fault is required. One that only says where a fault is, or of which kind, is asked for when one
    of those that find it is not ok (`if_fails`), or when somebody sees something (`only`).
    """

    point: Point
    condition: str
    required: bool = True
    note: str = ""
    if_fails: tuple[Key, ...] = ()
    only: str = ""


def at(assessment: Assessment, *steps: str) -> Point | None:
    """The point at an address, given step by step; None where the plan has none there."""
    return points(assessment).get(joined(steps))


def taken(assessment: Assessment, condition: str, *ways: tuple[str, ...], required: bool = True, note: str = "",
          if_fails: tuple[Key, ...] = (), only: str = "") -> Iterator[Entry]:
    """Rows in one condition at those of the addresses that have a point, in their order; one that is required waits for
    nothing."""
    for steps in ways:
        point = at(assessment, *steps)
        if point is not None:
            yield Entry(point, condition, required, note, () if required else if_fails, "" if required else only)


def keys(condition: str, *ways: tuple[str, ...]) -> tuple[Key, ...]:
    """The rows at some addresses in one condition."""
    return tuple((joined(steps), condition) for steps in ways)


def plug_entries(assessment: Assessment, condition: str, rows: Iterator[PlugRow]) -> Iterator[Entry]:
    """Rows of plugs that have a point."""
    for row in rows:
        yield from taken(assessment, condition, row.steps, required=row.required, note=row.note)
