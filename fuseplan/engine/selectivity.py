"""Whether, of two devices in series, the one nearer the fault opens first whatever the fault current."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.clearing import Devices, greatest_time_s, least_time_s, let_through_a2s, limits
from fuseplan.engine.fault import Faults
from fuseplan.engine.network import Network
from fuseplan.tables import fuses as fuse_tables

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Order = Literal["assured", "not assured", "unknown"]
ASSURED, NOT_ASSURED, UNKNOWN = range(3)
ORDERS: tuple[Order, ...] = ("assured", "not assured", "unknown")

UNHURT_SHARE = 0.48
"""The lower device must open before the upper has taken more than this share of its typical melting I²t: what a
fuse bears a hundred times by the published pulse chart, so that the upper one is not worn."""
_JUST = 1e-6
"""Just above a printed multiple, relatively: finer than any rating, coarser than the rounding of a multiple."""


class Pair(NamedTuple):
    """A device and the one above it."""

    lower: int
    upper: int
    answer: Order
    from_a: float
    """Fault current from which it is not assured, or not known [A]; NaN otherwise."""
    why: str


class _Profile(NamedTuple):
    """Where over the current the order of two devices is sure; both envelopes change at `edges` only."""

    edges: Floats
    bad: Flags
    """Not sure from this edge on (E,)."""
    on_file: Flags
    """Something printed says so; otherwise nothing is on file (E,)."""


def _sure(lower: tuple[str, float], upper: tuple[str, float], current_a: Floats) -> tuple[Flags, Flags]:
    """(the order is sure, something printed of the upper device bears on it) at each current."""
    holds = least_time_s(*upper, current_a)
    melting = fuse_tables.melting_i2t_a2s(*upper)
    sure = greatest_time_s(*lower, current_a) < np.nan_to_num(holds, nan=0.0)
    if melting is not None:
        sure |= let_through_a2s(*lower, current_a) <= UNHURT_SHARE * melting.value
    return sure, ~np.isnan(holds) | (melting is not None)


@lru_cache(maxsize=4096)
def _profile(lower: tuple[str, float], upper: tuple[str, float]) -> _Profile:
    # Between two neighbouring edges neither the least time nor the let-through changes, and the greatest time does not
    # rise: what is sure just at an edge stays sure up to the next one.
    steps = np.concatenate([found.curve.multiples * device[1] for device in (lower, upper)
                            if (found := limits(*device)) is not None])
    edges = np.unique(np.concatenate([steps, steps * (1 + _JUST)]))
    sure, on_file = _sure(lower, upper, edges)
    return _Profile(edges, ~sure, on_file)


def compare_many(lower: tuple[str, float], upper: tuple[str, float], low_a: Floats, high_a: Floats
                 ) -> tuple[Ints, Floats]:
    """Selectivity of two types, each (kind, rating in A), over many ranges of fault current.

    Parameters
    ----------
    low_a, high_a : array (n,)
        Smallest and largest fault current [A].

    Returns
    -------
    (array (n,) of `ASSURED`, `NOT_ASSURED`, `UNKNOWN`, array (n,) of the current from which on [A])
    """
    count = len(low_a)
    if limits(*lower) is None or limits(*upper) is None:
        return np.full(count, UNKNOWN), np.full(count, np.nan)
    edges, bad, on_file = _profile(lower, upper)
    sure, known = _sure(lower, upper, low_a)
    inside = (edges > low_a[:, None]) & (edges < high_a[:, None])
    refuted = (~sure & known) | (inside & bad & on_file).any(axis=1)
    silent = (~sure & ~known) | (inside & bad & ~on_file).any(axis=1)
    first = np.where(sure, np.where(inside & bad, edges, np.inf).min(axis=1, initial=np.inf), low_a)
    answer = np.where(refuted, NOT_ASSURED, np.where(silent, UNKNOWN, ASSURED))
    return answer, np.where(np.isinf(first), np.nan, first)


def compare(lower_kind: str, lower_a: float, upper_kind: str, upper_a: float, low_a: float,
            high_a: float) -> tuple[Order, float, str]:
    """Selectivity of two devices over the fault currents from `low_a` to `high_a`: (answer, from which current on, why)."""
    lower, upper = (lower_kind, lower_a), (upper_kind, upper_a)
    answer, first = compare_many(lower, upper, np.array([low_a]), np.array([high_a]))
    return ORDERS[int(answer[0])], float(first[0]), _why(lower, upper, int(answer[0]), float(first[0]))


def _why(lower: tuple[str, float], upper: tuple[str, float], answer: int, first_a: float) -> str:
    if answer == ASSURED:
        return "the lower opens before the upper over the whole range"
    if answer == NOT_ASSURED:
        return "the published bands of the two overlap"
    silent = next((kind for kind, rating in (lower, upper) if limits(kind, rating) is None), None)
    if silent is not None:
        return f"no published limits on file for {silent} fuses"
    return f"no published limits on file for {upper[0]} {upper[1]:g} A above {first_a:.0f} A"


def pairs_of(network: Network, faults: Faults, devices: Devices) -> tuple[Pair, ...]:
    """Every device against the one above it, in the order of the devices."""
    if not network.fuses:
        return ()
    above = network.guard[network.supply.parent[network.fuse_node]]
    lower = np.flatnonzero((above >= 0) & (above != np.arange(len(above))) & (network.fuse_node != 0))
    upper = above[lower]
    low, high = faults.fuse_far_a[lower], faults.prospective_a[lower]
    of_lower, of_upper = devices.number[lower], devices.number[upper]
    known = (of_lower >= 0) & (of_upper >= 0) & ~np.isnan(low)
    answer, first = np.full(len(lower), UNKNOWN), np.full(len(lower), np.nan)
    key = of_lower * (len(devices.types) + 1) + of_upper
    asked = np.flatnonzero(known)
    asked = asked[np.argsort(key[asked], kind="stable")]
    for places in np.split(asked, np.flatnonzero(np.diff(key[asked])) + 1):
        if places.size:
            types = devices.types[int(of_lower[places[0]])], devices.types[int(of_upper[places[0]])]
            answer[places], first[places] = compare_many(*types, low[places], high[places])
    rows = zip(lower.tolist(), upper.tolist(), answer.tolist(), first.tolist(), known.tolist(), strict=True)
    return tuple(
        Pair(below, over, ORDERS[code], start,
             _why(devices.types[devices.number[below]], devices.types[devices.number[over]], code, start)
             if known_pair else "a rating or a fault current is not known")
        for below, over, code, start, known_pair in rows)
