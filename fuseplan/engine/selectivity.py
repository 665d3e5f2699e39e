"""Whether, of two devices in series, the one nearer the fault opens first whatever the fault current."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.clearing import greatest_time_s, least_time_s, let_through_a2s, limits
from fuseplan.engine.devices import Devices, Type
from fuseplan.engine.fault import Faults
from fuseplan.engine.network import Network
from fuseplan.quantities import writing
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables.distinct import distinct
from fuseplan.trace import bare

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
    lower_type: tuple[str, float] | None
    """Kind and rating in A; None where the rating or a fault current is not known."""
    upper_type: tuple[str, float] | None

    @property
    def why(self) -> str:
        """The answer's reason in words."""
        if self.lower_type is None or self.upper_type is None:
            return "a rating or a fault current is not known"
        return _why(self.lower_type, self.upper_type, ORDERS.index(self.answer), self.from_a)


_PARTS = 8
"""Parts into which the currents between two printed multiples are divided. The envelopes are straight lines there on
double logarithmic paper; a part with an end that is not sure is not sure."""


class _Profile(NamedTuple):
    """Where over the current the order of two devices is sure, at `edges`."""

    edges: Floats
    bad: Flags
    """Not sure there (E,)."""
    on_file: Flags
    """Something printed says so; otherwise nothing is on file (E,)."""
    next_edges: Floats
    turns: Flags
    """Sure there and not at the next edge: counted as not sure from the edge on (E,)."""
    next_on_file: Flags


def _sure(lower: tuple[str, float], upper: tuple[str, float], current_a: Floats) -> tuple[Flags, Flags]:
    """(the order is sure, what is printed of both bears on it) at each current."""
    holds, opens = least_time_s(*upper, current_a), greatest_time_s(*lower, current_a)
    melting = fuse_tables.melting_i2t_a2s(*upper)
    sure = opens < holds
    if melting is not None:
        sure |= let_through_a2s(*lower, current_a) <= UNHURT_SHARE * melting.value
    return sure, ~np.isnan(opens) & (~np.isnan(holds) | (melting is not None))


@lru_cache(maxsize=4096)
def _profile(lower: tuple[str, float], upper: tuple[str, float]) -> _Profile:
    steps = np.concatenate([found.curve.multiples * device[1] for device in (lower, upper)
                            if (found := limits(*device)) is not None])
    rows = distinct(steps)
    parts = (rows[:-1, None] * (rows[1:] / rows[:-1])[:, None] ** (np.arange(1, _PARTS) / _PARTS)).reshape(-1)
    edges = distinct(np.concatenate([rows, rows * (1 + _JUST), parts]))
    sure, on_file = _sure(lower, upper, edges)
    return _Profile(edges, ~sure, on_file, _next(edges, np.inf), sure & _next(~sure, False), _next(on_file, True))


def compare_many(lower: tuple[str, float], upper: tuple[str, float], low_a: Floats, high_a: Floats
                 ) -> tuple[Ints, Floats]:
    """Selectivity of two types, each (kind, rating in A), over many ranges of fault current.

    Args:
        low_a, high_a: smallest and largest fault current [A] (n,)
    Returns:
        (array (n,) of `ASSURED`, `NOT_ASSURED`, `UNKNOWN`, array (n,) of the current from which on [A])
    """
    count = len(low_a)
    if limits(*lower) is None or limits(*upper) is None:
        return np.full(count, UNKNOWN), np.full(count, np.nan)
    profile = _profile(lower, upper)
    sure, known = _sure(lower, upper, low_a)
    return _over_range(profile, sure, known, low_a, high_a)


def _over_range(profile: _Profile, sure: Flags, known: Flags, low_a: Floats, high_a: Floats) -> tuple[Ints, Floats]:
    """Answers from what holds at the low end (n,) and at the edges (E,) or (n, E)."""
    low, edges, on_file, next_on_file = low_a[:, None], profile.edges, profile.on_file, profile.next_on_file
    below = edges < high_a[:, None]
    inside = (edges > low) & below & profile.bad
    coming = (profile.next_edges > low) & below & profile.turns
    refuted = (~sure & known) | (inside & on_file).any(axis=1) | (coming & next_on_file).any(axis=1)
    silent = (~sure & ~known) | (inside & ~on_file).any(axis=1) | (coming & ~next_on_file).any(axis=1)
    reached = np.minimum(np.where(inside, edges, np.inf), np.where(coming, np.maximum(edges, low), np.inf))
    first = np.where(sure, reached.min(axis=1, initial=np.inf), low_a)
    answer = np.where(refuted, NOT_ASSURED, np.where(silent, UNKNOWN, ASSURED))
    return answer, np.where(np.isinf(first), np.nan, first)


def _next(values: NDArray[Any], last: Any) -> NDArray[Any]:
    """Of each edge what holds at the next one."""
    return np.append(values[1:], last)


def compare(lower_kind: str, lower_a: float, upper_kind: str, upper_a: float, low_a: float,
            high_a: float) -> tuple[Order, float, str]:
    """Selectivity of two devices, each a type and rating in A, over the fault currents from `low_a` to `high_a`: the
    answer, the current from which on it holds no more, and why."""
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
    return f"no published limits on file for {upper[0]} {writing.rating(upper[1])} above {writing.limit(first_a, 'A')}"


def compare_types(lower: list[Type], upper: list[Type], low_a: Floats, high_a: Floats) -> tuple[Ints, Floats]:
    """`compare_many` for pairs of different types at once: lists and arrays of one length."""
    types = tuple(dict.fromkeys([*lower, *upper]))
    place = {each: number for number, each in enumerate(types)}
    return _all_pairs(Devices(types, np.arange(len(types))), np.array([place[each] for each in lower], dtype=np.int64),
                      np.array([place[each] for each in upper], dtype=np.int64), low_a, high_a)


def _all_pairs(devices: Devices, lower: Ints, upper: Ints, low_a: Floats, high_a: Floats) -> tuple[Ints, Floats]:
    """The same by places in `devices.types`, -1 for a device that is not known."""
    answer, first = np.full(len(lower), UNKNOWN), np.full(len(lower), np.nan)
    on_file = np.array([*(limits(*each) is not None for each in devices.types), False])
    asked = np.flatnonzero(on_file[lower] & on_file[upper] & ~np.isnan(low_a))
    if asked.size:
        answer[asked], first[asked] = _on_file(devices, lower[asked], upper[asked], low_a[asked], high_a[asked])
    return answer, first


def _on_file(devices: Devices, lower: Ints, upper: Ints, low_a: Floats, high_a: Floats) -> tuple[Ints, Floats]:
    types = devices.types
    keys, which = np.unique(lower * len(types) + upper, return_inverse=True)
    profiles = _profiles(tuple((types[key // len(types)], types[key % len(types)]) for key in keys.tolist()))
    opens, heat = devices.clears(lower, low_a)
    holds, melting = devices.least_s(upper, low_a), devices.limits.melting_a2s[upper]
    sure = (opens < holds) | (heat <= UNHURT_SHARE * melting)
    known = ~np.isnan(opens) & (~np.isnan(holds) | ~np.isnan(melting))
    return _over_range(_Profile._make(each[which] for each in profiles), sure, known, low_a, high_a)


@lru_cache(maxsize=256)
def _profiles(pairs: tuple[tuple[Type, Type], ...]) -> _Profile:
    """The profiles of many pairs, one a row, padded with edges at no current."""
    found = [_profile(*each) for each in pairs]
    most = max(len(each.edges) for each in found)
    edges, next_edges = np.full((2, len(found), most), np.inf)
    bad, on_file, turns, next_on_file = np.zeros((4, len(found), most), dtype=bool)
    padded = _Profile(edges, bad, on_file, next_edges, turns, next_on_file)
    for row, each in enumerate(found):
        for whole, own in zip(padded, each, strict=True):
            whole[row, :len(own)] = own
    return padded


def pairs_of(network: Network, faults: Faults, devices: Devices) -> tuple[Pair, ...]:
    """Every device against the one above it, in the order of the devices."""
    if not network.fuses:
        return ()
    above = network.guard[network.supply.parent[network.fuse_node]]
    lower = np.flatnonzero((above >= 0) & (above != np.arange(len(above))) & (network.fuse_node != 0))
    upper = above[lower]
    low, high = bare(faults.fuse_far_a)[lower], bare(faults.prospective_a)[lower]
    of_lower, of_upper = devices.number[lower], devices.number[upper]
    answer, first = _all_pairs(devices, of_lower, of_upper, low, high)
    known = (of_lower >= 0) & (of_upper >= 0) & ~np.isnan(low)
    types: list[Type | None] = [*devices.types, None]
    return tuple(map(Pair, lower.tolist(), upper.tolist(), [ORDERS[code] for code in answer.tolist()], first.tolist(),
                     [types[number] for number in np.where(known, of_lower, -1).tolist()],
                     [types[number] for number in np.where(known, of_upper, -1).tolist()]))
