"""How long a device takes to open where no printed limits answer: what its maker's sheet says, as the plan states it;
else no longer than the slowest type on file, at currents at which that one opens in time.

Above such a multiple the law of `clearing` holds: the heat I²t a fuse needs until it opens does not grow with the
current. Below it nothing is known.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.clearing import OPEN_WITHIN_S, greatest_time_s, least_fault_a, limits
from fuseplan.plan.parts import Fuse

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

_SLOWEST, _ITS_RATING_A = "maxi", 40.0
"""The slowest type of vehicle fuse with printed opening times: a high-current blade; the limits of one rating hold for
all of them."""
NO_FUSES = ("link",)
"""Devices that a rating does not describe: nothing is taken for them."""


class Bound(NamedTuple):
    """What is known of a device without printed limits: from this multiple of its rating on it opens within `time_s`,
    less at more current."""

    multiple: float
    time_s: float
    words: str
    source: str


@cache
def assumed_bound() -> Bound:
    """From where on the slowest type on file opens in time, taken for a type without printed times."""
    found = limits(_SLOWEST, _ITS_RATING_A)
    least_a = least_fault_a(_SLOWEST, _ITS_RATING_A)
    if found is None or not np.isfinite(least_a):
        raise LookupError(f"no opening times of a {_SLOWEST} fuse are on file")
    return Bound(least_a / _ITS_RATING_A, OPEN_WITHIN_S,
                 f"no times of its type on file: taken to be no slower than {_SLOWEST}, the slowest type on file",
                 "; ".join(each.line() for each in found.sources))


def bound(fuse: Fuse) -> Bound | None:
    """What is known of a device where no printed limits answer; None where nothing is."""
    if fuse.kind in NO_FUSES:
        return None
    if fuse.blows_at is not None:
        return Bound(float(fuse.blows_at), OPEN_WITHIN_S, "from its maker's sheet, as the plan states it",
                     "the plan, blows_at")
    return assumed_bound()


def fill(fuses: Sequence[Fuse], current_a: Floats, rating_a: Floats, opens_s: Floats, heat_a2s: Floats
         ) -> tuple[Floats, Floats, Flags]:
    """Complete what printed limits say of devices at currents in A, all (n,).

    Parameters
    ----------
    fuses : sequence of Fuse
        The device of each current.
    current_a, rating_a : array (n,)
        NaN where not known.
    opens_s, heat_a2s : array (n,)
        Greatest opening time and most heat let through by printed limits; NaN where nothing is on file.

    Returns
    -------
    tuple of arrays
        Both completed: infinite below what a plan states, still NaN below what is taken; and where that was (n,).
    """
    asked = np.isnan(opens_s) & np.isfinite(current_a) & np.isfinite(rating_a)
    if not asked.any():
        return opens_s, heat_a2s, asked
    opens_s, heat_a2s, filled = opens_s.copy(), heat_a2s.copy(), np.zeros(asked.shape, dtype=bool)
    for place in np.flatnonzero(asked).tolist():
        found, multiple = bound(fuses[place]), float(current_a[place] / rating_a[place])
        if found is not None and not falls_short(multiple, found.multiple):
            heat = found.multiple**2 * found.time_s
            opens_s[place], heat_a2s[place] = heat / multiple**2, heat * float(rating_a[place])**2
        elif found is not None and fuses[place].blows_at is not None:
            opens_s[place] = heat_a2s[place] = np.inf
        filled[place] = not np.isnan(opens_s[place])
    return opens_s, heat_a2s, filled


def greatest_time_of(fuse: Fuse, rating_a: float, current_a: float) -> float:
    """Greatest opening time of one device in s at a current in A, by printed limits or else by `bound`; NaN where
    nothing answers, infinite where it may never open."""
    current, rating = np.array([current_a], dtype=float), np.array([rating_a], dtype=float)
    printed = greatest_time_s(fuse.kind, rating_a, current)
    return float(fill([fuse], current, rating, printed, printed)[0][0])


def least_fault_of(fuse: Fuse, rating_a: float) -> float:
    """Smallest current in A at which one device is known to open within `OPEN_WITHIN_S`, by printed limits or else by
    `bound`; NaN where nothing answers."""
    printed = least_fault_a(fuse.kind, rating_a)
    found = bound(fuse)
    return printed if np.isfinite(printed) or found is None else found.multiple * rating_a
