"""How long a protective device may take to open, and how much heat it may let through meanwhile.

Only printed limits answer. Between two printed multiples both envelopes are interpolated on double logarithmic paper.
Above the last printed multiple of a document, and for the heat let through anywhere, one law of physics is added: the
heat I²t a fuse needs until it opens does not grow with the current, because there is less time to lose it (derived, no
table prints it). The heat so bounded is that of the slowest fuse the document admits, several times the melting I²t:
room for the arc. Past the end of a document's rows that bound is taken where it proves that the fuse opens within five
seconds; where it does not, nothing is on file. That of a row of a minute or more is not taken either where it does not
prove that the wires withstand it.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables.load import Source
from fuseplan.tables.time_current import between_rows

OPEN_WITHIN_SOURCE = "5 s: the time to which the adiabatic limit of a wire holds, IEC 60364-4-43, from memory"
OPEN_WITHIN_S = 5.0
"""A short at the far end must be cleared within this time; the adiabatic limit of a wire holds up to it
(IEC 60364-4-43, from memory). Past the last printed row of a document its heat counts only where it proves this."""


SLOW_S = 60.0
"""A fuse that may take this long loses most of what heats it: the heat until then is far above what it lets through in
a short, and proves a wire safe, never damaged. Common practice, no source."""


class Limits(NamedTuple):
    """Opening limits of one device. Per document: printed multiples with a greatest time, and those times."""

    greatest: tuple[tuple[Floats, Floats], ...]
    curve: fuse_tables.TimeCurrent
    sources: tuple[Source, ...]


@lru_cache(maxsize=1024)
def limits(kind: str, rating_a: float) -> Limits | None:
    """Published limits of a type and rating; None where none are on file."""
    worst = fuse_tables.time_current(kind, rating_a)
    if worst is None:
        return None
    rows = []
    for document in fuse_tables.time_current_documents(kind):
        curve = fuse_tables.time_current(kind, rating_a, document)
        if curve is None:
            continue
        printed = ~np.isnan(curve.max_s)
        if printed.any():
            rows.append((curve.multiples[printed], curve.max_s[printed]))
    return Limits(tuple(rows), worst, worst.sources)


@lru_cache(maxsize=1024)
def loose_above(kind: str, rating_a: float) -> float:
    """The multiple of its rating above which what bounds a device is the heat of a row slower than `SLOW_S`; infinite
    where none does."""
    found = limits(kind, rating_a)
    return min((float(multiples[-1]) for multiples, times in (() if found is None else found.greatest)
                if times[np.argmin(times * multiples**2)] > SLOW_S), default=np.inf)


def _greatest(current_a: Floats, rating_a: float, found: Limits, by_heat: bool) -> Floats:
    """Greatest opening time by the worst document; infinite below its first printed multiple, NaN past its last one
    where the heat proves nothing."""
    multiple = np.round(np.asarray(current_a, dtype=float) / rating_a, 9)
    out = np.zeros(np.shape(multiple)) if found.greatest else np.full(np.shape(multiple), np.inf)
    silent, slow = np.zeros((2, *np.shape(multiple)), dtype=bool)
    for multiples, times in found.greatest:
        place = np.searchsorted(multiples, multiple, side="right")
        line = np.where(place == 0, np.inf, between_rows(multiple, multiples, times))
        heat = np.minimum.accumulate(times * multiples**2)
        law = np.append(np.inf, heat)[place] / np.maximum(multiple, 1e-12) ** 2
        past = multiple > multiples[-1]
        bound = np.where(past | by_heat, np.minimum(line, law), line)
        silent |= past & (bound > OPEN_WITHIN_S)
        slow |= ~past & (bound > OPEN_WITHIN_S)
        out = np.maximum(out, bound)
    return np.where(silent & ~slow, np.nan, out)


def greatest_time_s(kind: str, rating_a: float, current_a: Floats) -> Floats:
    """Greatest opening time in s at currents in A; NaN where nothing is on file, infinite where it may never open."""
    found = limits(kind, rating_a)
    if found is None:
        return np.full(np.shape(current_a), np.nan)
    return _greatest(current_a, rating_a, found, by_heat=False)


_MULTIPLES = np.linspace(1.0, 20.0, 1901)


@lru_cache(maxsize=1024)
def least_fault_a(kind: str, rating_a: float) -> float:
    """Smallest current in A at which a device is known to open within `OPEN_WITHIN_S`; NaN where none is printed."""
    asked = _MULTIPLES * rating_a
    enough = asked[greatest_time_s(kind, rating_a, asked) <= OPEN_WITHIN_S]
    return float(enough[0]) if enough.size else np.nan


def least_time_s(kind: str, rating_a: float, current_a: Floats) -> Floats:
    """Least opening time in s at currents in A; NaN where nothing is printed at or above the multiple."""
    found = limits(kind, rating_a)
    if found is None:
        return np.full(np.shape(current_a), np.nan)
    multiple = np.asarray(current_a, dtype=float) / rating_a
    return np.asarray(np.where(found.curve.min_known(multiple), found.curve.opening_min_s(multiple), np.nan))


@lru_cache(maxsize=1024)
def least_heat_a2s(kind: str, rating_a: float) -> float:
    """Heat in A²s on which a device may open at any current above the last multiple with a least time: that of this
    row, as the heat it needs does not grow with the current; NaN where no least time is on file."""
    heats = _least_heats(kind, rating_a)
    return float(heats[-1]) if heats.size else np.nan


@lru_cache(maxsize=1024)
def smallest_heat_a2s(kind: str, rating_a: float) -> float:
    """Smallest heat in A²s of any printed least time: less than each melting I²t on file is. It stands in for the
    melting I²t of a type and rating of which none is; NaN where no least time is on file."""
    heats = _least_heats(kind, rating_a)
    return float(heats.min()) if heats.size else np.nan


def _least_heats(kind: str, rating_a: float) -> Floats:
    """Heat at each printed least time, by rising multiples [A²s]."""
    found = limits(kind, rating_a)
    if found is None:
        return np.zeros(0)
    printed = np.isfinite(found.curve.min_s)
    return np.asarray((found.curve.multiples[printed] * rating_a) ** 2 * found.curve.min_s[printed])


def let_through_a2s(kind: str, rating_a: float, current_a: Floats) -> Floats:
    """Most heat I²t in A²s the device may let through at currents in A; NaN where nothing is on file, infinite where it
    may never open."""
    found = limits(kind, rating_a)
    if found is None:
        return np.full(np.shape(current_a), np.nan)
    current = np.asarray(current_a, dtype=float)
    return np.asarray(current**2 * _greatest(current, rating_a, found, by_heat=True))
