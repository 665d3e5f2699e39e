"""How long a device takes to open where no printed limits answer: what its maker's sheet says, as the plan states it.

Above that multiple the law of `clearing` holds: the heat I²t a fuse needs until it opens does not grow with the
current. No type vouches for another: the slowest on file, a glass fuse, may take longer than a maxi at any current, and
of those not on file nothing says that they are quicker.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from fuseplan.array_types import Flags, Floats
from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.clearing import OPEN_WITHIN_S, greatest_time_s, least_fault_a
from fuseplan.plan.parts import Fuse

STATED_SOURCE = "its maker's sheet, as the plan states it in blows_at"


def may_be_stated(fuse: Fuse) -> bool:
    """Whether a multiple of its rating can say when a device blows: a fusible link has no rating."""
    return fuse.kind != "link"


def stated_multiple(fuse: Fuse) -> float | None:
    """The multiple of its rating from which on a device opens within `OPEN_WITHIN_S` where no printed limits answer;
    None where the plan does not state it."""
    return float(fuse.blows_at) if fuse.blows_at is not None and may_be_stated(fuse) else None


def fill(fuse_of: Callable[[int], Fuse], current_a: Floats, rating_a: Floats, opens_s: Floats, heat_a2s: Floats,
         loose: Flags | bool = False) -> tuple[Floats, Floats, Flags]:
    """Complete what printed limits say of devices at currents in A, all (n,).

    Args:
        fuse_of: the device of the current at a place
        current_a, rating_a: NaN where not known (n,)
        opens_s, heat_a2s: greatest opening time and most heat let through by printed limits; NaN where nothing is on
            file (n,)
        loose: where they are far above what it may be, so that what the plan states stands in their place (n,)
    Returns:
        Both completed, infinite below what the plan states; and where that was (n,).
    """
    asked = (np.isnan(opens_s) | loose) & np.isfinite(current_a) & np.isfinite(rating_a)
    if not asked.any():
        return opens_s, heat_a2s, asked
    opens_s, heat_a2s, filled = opens_s.copy(), heat_a2s.copy(), np.zeros(asked.shape, dtype=bool)
    for place in np.flatnonzero(asked).tolist():
        least, multiple = stated_multiple(fuse_of(place)), float(current_a[place] / rating_a[place])
        if least is None or (not np.isnan(opens_s[place]) and falls_short(multiple, least)):
            continue
        filled[place] = True
        if falls_short(multiple, least):
            opens_s[place] = heat_a2s[place] = np.inf
        else:
            heat = least**2 * OPEN_WITHIN_S
            opens_s[place], heat_a2s[place] = heat / multiple**2, heat * float(rating_a[place])**2
    return opens_s, heat_a2s, filled


def greatest_time_of(fuse: Fuse, rating_a: float, current_a: float) -> float:
    """Greatest opening time of one device in s at a current in A, by printed limits or else by what the plan
    states; NaN where neither answers, infinite where it may never open."""
    current, rating = np.array([current_a], dtype=float), np.array([rating_a], dtype=float)
    printed = greatest_time_s(fuse.kind, rating_a, current)
    return float(fill(lambda _: fuse, current, rating, printed, printed)[0][0])


def least_fault_of(fuse: Fuse, rating_a: float) -> float:
    """Smallest current in A at which one device is known to open within `OPEN_WITHIN_S`, by printed limits or else by
    what the plan states; NaN where neither answers."""
    printed = least_fault_a(fuse.kind, rating_a)
    least = stated_multiple(fuse)
    return printed if np.isfinite(printed) or least is None else least * rating_a
