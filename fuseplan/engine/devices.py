"""The protective devices of a plan by type, their published limits laid out so that all are asked at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.assumed import fuse_resistance
from fuseplan.engine.clearing import OPEN_WITHIN_S, limits
from fuseplan.tables import fuses as fuse_tables

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Type = tuple[str, float]
"""Kind and rating in A."""


class Limits(NamedTuple):
    """Limits of T types from up to D documents with up to M printed multiples each, padded so that padding never
    answers; the rules are those of `clearing`. The last of the T is no device: NaN throughout."""

    rating_a: Floats
    multiples: Floats
    """(T, D, M)."""
    rows: Ints
    """Printed multiples with a greatest time (T, D)."""
    greatest_s: Floats
    """After so many multiples (T, D, M + 1)."""
    heat: Floats
    """The heat that bounds it there, in multiples of the rating squared (T, D, M + 1)."""
    least_at: Floats
    """Multiples with a least time (T, M)."""
    least_s: Floats
    """(T, M + 1)."""
    melting_a2s: Floats


@lru_cache(maxsize=256)
def _limits(types: tuple[Type, ...]) -> Limits:
    found = [limits(*each) for each in types]
    documents = max((len(each.greatest) for each in found if each), default=1)
    most = max((len(rows[0]) for each in found if each for rows in each.greatest), default=1)
    most = max(most, max((len(each.curve.multiples) for each in found if each), default=1))
    size = len(types) + 1
    out = Limits(
        rating_a=np.array([*(rating for _, rating in types), np.nan]),
        multiples=np.full((size, documents, most), np.inf),
        rows=np.zeros((size, documents), dtype=np.int64), greatest_s=np.full((size, documents, most + 1), np.nan),
        heat=np.full((size, documents, most + 1), np.nan), least_at=np.full((size, most), np.inf),
        least_s=np.full((size, most + 1), np.nan), melting_a2s=np.full(size, np.nan))
    for number, (each, kind) in enumerate(zip(found, types, strict=True)):
        melting = fuse_tables.melting_i2t_a2s(*kind)
        out.melting_a2s[number] = np.nan if melting is None else melting.value
        if each is None:
            continue
        # A document that is not there never is the slowest, unless there is none at all.
        out.greatest_s[number] = out.heat[number] = 0.0 if each.greatest else np.inf
        for document, (multiples, times) in enumerate(each.greatest):
            rows = len(multiples)
            out.rows[number, document] = rows
            out.multiples[number, document, :rows] = multiples
            out.greatest_s[number, document, : rows + 1] = np.append(np.inf, times)
            out.heat[number, document, : rows + 1] = np.append(np.inf, np.minimum.accumulate(times * multiples**2))
        known = ~np.isnan(each.curve.min_s)
        rows = int(known.sum())
        out.least_at[number, :rows] = each.curve.multiples[known]
        out.least_s[number, :rows] = each.curve.min_s[known]
    return out


class Devices(NamedTuple):
    """Protective devices by type."""

    types: tuple[Type, ...]
    """Distinct (kind, rating in A)."""
    number: Ints
    """Of each device its place in `types`, -1 without a rating (J,)."""

    @property
    def limits(self) -> Limits:
        """Published limits of the types, and of no device as the last one."""
        return _limits(self.types)

    def type_of(self, device: Ints) -> Ints:
        """Place in `types` of each device; -1 for no device (-1) and for one without a rating."""
        if not self.number.size:
            return np.full(np.shape(device), -1, dtype=np.int64)
        return np.where(device >= 0, self.number[device], -1)

    def cold_ohm(self, of: Callable[[str, float], float] = fuse_resistance) -> Floats:
        """Cold resistance of each device in ohm (J,), by `of` from kind and rating; 0 without a rating."""
        return np.array([*(of(*each) for each in self.types), 0.0])[self.number]

    def clears(self, of_type: Ints, current_a: Floats) -> tuple[Floats, Floats]:
        """(greatest opening time in s, most heat I²t let through in A²s) of types at currents in A, all (n,).

        NaN where nothing is on file or the current is not known, infinite where it may never open.
        """
        table, unknown = self.limits, ~np.isfinite(current_a)
        multiple = np.round(np.where(unknown, 0.0, current_a) / table.rating_a[of_type], 9)[:, None]
        place = (table.multiples[of_type] <= multiple[:, :, None]).sum(axis=2)
        step = np.take_along_axis(table.greatest_s[of_type], place[:, :, None], axis=2)[:, :, 0]
        heat = np.take_along_axis(table.heat[of_type], place[:, :, None], axis=2)[:, :, 0]
        line = _line(multiple, place, table.multiples[of_type], table.greatest_s[of_type], step)
        squared = np.maximum(multiple, 1e-12) ** 2
        by_heat = np.minimum(line, heat / squared)
        past = (place == table.rows[of_type]) & (table.rows[of_type] > 0) & ~_on_row(multiple, place,
                                                                                    table.multiples[of_type])
        time = np.where(past, by_heat, line)
        slow = time > OPEN_WITHIN_S
        unknown = unknown | ((past & slow).any(axis=1) & ~(~past & slow).any(axis=1))
        heat = by_heat.max(axis=1) * squared[:, 0] * table.rating_a[of_type] ** 2
        return np.where(unknown, np.nan, time.max(axis=1)), np.where(unknown, np.nan, heat)

    def least_s(self, of_type: Ints, current_a: Floats) -> Floats:
        """Least opening time in s of types at currents in A (n,); NaN where none is printed at or above."""
        table = self.limits
        multiple = np.round(current_a / table.rating_a[of_type], 9)
        at, times = table.least_at[of_type][:, None, :], table.least_s[of_type][:, None, :]
        place = (at <= multiple[:, None, None]).sum(axis=2)
        before = np.take_along_axis(times, np.maximum(place - 1, 0)[:, :, None], axis=2)[:, :, 0]
        exact = _on_row(multiple[:, None], place, at)
        behind = np.take_along_axis(times, place[:, :, None], axis=2)[:, :, 0]
        shifted = np.concatenate([np.full((*times.shape[:2], 1), np.nan), times], axis=2)
        outside = np.where(place == 0, behind, np.where(exact, before, np.nan))
        line = _line(multiple[:, None], place, at, shifted, outside)
        return np.where(np.isnan(multiple), np.nan, line[:, 0])


def _on_row(multiple: Floats, place: Ints, multiples: Floats) -> NDArray[np.bool_]:
    """Whether a multiple (n, 1) is the printed one it has reached (n, D)."""
    reached = np.take_along_axis(multiples, np.maximum(place - 1, 0)[:, :, None], axis=2)[:, :, 0]
    return np.asarray((place > 0) & (reached == multiple))


def _line(multiple: Floats, place: Ints, multiples: Floats, times: Floats, step: Floats) -> Floats:
    """Log-log interpolation (n, D) at multiples (n, 1) that have reached `place` of the printed ones (n, D, M), from
    the times after so many of them (n, D, M + 1); `step` past either end and on a row."""
    low_at = np.take_along_axis(multiples, np.maximum(place - 1, 0)[:, :, None], axis=2)[:, :, 0]
    high_at = np.take_along_axis(multiples, np.minimum(place, multiples.shape[2] - 1)[:, :, None], axis=2)[:, :, 0]
    low = np.take_along_axis(times, place[:, :, None], axis=2)[:, :, 0]
    high = np.take_along_axis(times, np.minimum(place + 1, times.shape[2] - 1)[:, :, None], axis=2)[:, :, 0]
    with np.errstate(all="ignore"):
        share = np.log(multiple / low_at) / np.log(high_at / low_at)
        line = np.clip(low * (high / low) ** share, np.minimum(low, high), np.maximum(low, high))
    inside = (place > 0) & (place < multiples.shape[2]) & np.isfinite(high_at) & (low_at < multiple)
    return np.where(inside, line, step)


def devices_of(by_kind: Mapping[str, Ints], rating_a: Floats) -> Devices:
    """Group devices: the numbers of those of each kind, and the rating of each (J,), NaN for an unknown one."""
    types: list[Type] = []
    number = np.full(len(rating_a), -1, dtype=np.int64)
    for kind, where in by_kind.items():
        own = rating_a[where]
        known = ~np.isnan(own)
        ratings = np.sort(own[known])
        ratings = ratings[np.append(True, ratings[1:] > ratings[:-1])[:len(ratings)]]
        number[where[known]] = len(types) + np.searchsorted(ratings, own[known])
        types += [(kind, rating) for rating in ratings.tolist()]
    return Devices(tuple(types), number)
