"""How long the rows of the test sheet take, so that somebody can say where to stop for today.

Judgement: nothing published was found.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.bench.sheet import SheetRow

MINUTES = {
    "cold_ohm": 0.5, "earth_ohm": 0.5, "all_earth_ohm": 10.0, "other_feeds_ohm": 1.0, "return_ohm": 0.5,
    "current": 0.5, "volts": 0.5, "load_v": 0.5,
    "return_mv": 0.5, "earth_mv": 0.5, "fuse_mv": 0.5, "holder_rise": 0.5, "off_v": 0.5, "reserve_v": 15.0}
"""Minutes of a row, its neighbours being read in the same place; others take `USUAL`."""
USUAL = 1.0
WAITS = {"heat": 20.0, "drain": 20.0}
"""Minutes to wait before the first row of a section: until joints are warm, until control units sleep."""


def minutes_left(section: str, rows: Iterable[SheetRow]) -> float:
    """Minutes that the required rows of a section still take; 0 where all are read."""
    unread = [row for row in rows if row.required and row.reading is None]
    return sum(MINUTES.get(row.point.what, USUAL) for row in unread) + (WAITS.get(section, 0.0) if unread else 0.0)


def time_words(minutes: float) -> str:
    """A time as it is said: ``about 40 min``, ``about 2.5 h``; empty for none."""
    if minutes <= 0:
        return ""
    if minutes <= 55:
        return f"about {writing.typed(5 * math.ceil(minutes / 5))} min"
    return f"about {writing.typed(math.ceil(minutes / 30) / 2)} h"
