"""The protective devices of a plan by type, their published limits laid out so that all are asked at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats, Ints
from fuseplan.engine.assumed import fuse_resistance
from fuseplan.engine.clearing import OPEN_WITHIN_S, least_heat_a2s, limits, smallest_heat_a2s
from fuseplan.tables import fuses as fuse_tables

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
    """After so many multiples (T, M + 1)."""
    least_s_before: Floats
    """That of the multiple before (T, M + 2), NaN before the first."""
    melting_a2s: Floats
    least_heat_a2s: Floats
    """On which it may open at any current past the last least time (T,)."""
    smallest_heat_a2s: Floats
    """Of all its printed least times (T,)."""


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
        least_s=np.full((size, most + 1), np.nan), least_s_before=np.full((size, most + 2), np.nan),
        melting_a2s=np.full(size, np.nan),
        least_heat_a2s=np.array([*(least_heat_a2s(*each) for each in types), np.nan]),
        smallest_heat_a2s=np.array([*(smallest_heat_a2s(*each) for each in types), np.nan]))
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
    out.least_s_before[:, 1:] = out.least_s
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
        multiple = np.round(np.where(unknown, 0.0, current_a) / table.rating_a[of_type], 9)
        printed = _Printed.of_types(table.multiples, of_type)
        place = printed.reached(multiple)
        step, heat = (printed.of(each, place) for each in (table.greatest_s, table.heat))
        rows = table.rows.T.take(of_type, axis=1)
        line = printed.line(multiple, place, table.greatest_s, step)
        squared = np.maximum(multiple, 1e-12) ** 2
        by_heat = np.minimum(line, heat / squared)
        past = (place == rows) & (rows > 0) & ~printed.on_row(multiple, place)
        time = np.where(past, by_heat, line)
        slow = time > OPEN_WITHIN_S
        unknown = unknown | ((past & slow).any(axis=0) & ~(~past & slow).any(axis=0))
        heat = by_heat.max(axis=0) * squared * table.rating_a[of_type] ** 2
        return np.where(unknown, np.nan, time.max(axis=0)), np.where(unknown, np.nan, heat)

    def least_s(self, of_type: Ints, current_a: Floats) -> Floats:
        """Least opening time in s of types at currents in A (n,); NaN where none is printed at or above."""
        table = self.limits
        multiple = np.round(current_a / table.rating_a[of_type], 9)
        printed = _Printed.of_types(table.least_at[:, None, :], of_type)
        before, behind = table.least_s_before[:, None, :], table.least_s[:, None, :]
        place = printed.reached(multiple)
        exact = np.where(printed.on_row(multiple, place), printed.of(before, place), np.nan)
        line = printed.line(multiple, place, before, np.where(place == 0, printed.of(behind, place), exact))
        return np.where(np.isnan(multiple), np.nan, line[0])


class _Printed(NamedTuple):
    """The printed multiples (T, D, M) that types (n,) are asked by."""

    multiples: Floats
    of_type: Ints
    row: Ints
    """Place of the first entry of each type's documents, in entries of a document (D, n)."""

    @classmethod
    def of_types(cls, multiples: Floats, of_type: Ints) -> _Printed:
        documents = multiples.shape[1]
        return cls(multiples, of_type, of_type * documents + np.arange(documents)[:, None])

    def reached(self, multiple: Floats) -> Ints:
        """How many of the printed multiples multiples (n,) have reached (D, n)."""
        return np.asarray((self.multiples.T.take(self.of_type, axis=2) <= multiple).sum(axis=0))

    def of(self, table: Floats, place: Ints) -> Floats:
        """The entries of a table (T, D, …) at places (D, n)."""
        return np.asarray(table.reshape(-1).take(self.row * table.shape[2] + place))

    def on_row(self, multiple: Floats, place: Ints) -> NDArray[np.bool_]:
        """Whether a multiple (n,) is the printed one it has reached (D, n)."""
        return np.asarray((place > 0) & (self.of(self.multiples, np.maximum(place - 1, 0)) == multiple))

    def line(self, multiple: Floats, place: Ints, times: Floats, step: Floats) -> Floats:
        """Log-log interpolation (D, n) at multiples (n,) that have reached `place` of the printed ones, from the
        times after so many of them (T, D, M + 1); `step` past either end and on a row."""
        most = self.multiples.shape[2]
        low_at = self.of(self.multiples, np.maximum(place - 1, 0))
        high_at = self.of(self.multiples, np.minimum(place, most - 1))
        # A short is past the last row most often, a surge before the first: few lie between two.
        inside = ((place > 0) & (place < most) & np.isfinite(high_at) & (low_at < multiple)).nonzero()
        few = self._replace(row=self.row[inside])
        low, high = (few.of(times, np.minimum(place[inside] + each, times.shape[2] - 1)) for each in (0, 1))
        low_at, high_at, line = low_at[inside], high_at[inside], step.copy()
        with np.errstate(all="ignore"):
            share = np.log(multiple[inside[1]] / low_at) / np.log(high_at / low_at)
            line[inside] = np.clip(low * (high / low) ** share, np.minimum(low, high), np.maximum(low, high))
        return line


def devices_of(by_kind: Mapping[str, Ints], rating_a: Floats) -> Devices:
    """Group devices: the numbers of those of each kind, and the rating of each (J,), NaN for an unknown one."""
    types: list[Type] = []
    number = np.full(len(rating_a), -1, dtype=np.int64)
    for kind, where in by_kind.items():
        own = rating_a[where].tolist()
        place = {rating: len(types) + at for at, rating in enumerate(sorted({each for each in own if each == each}))}
        number[where] = [place.get(each, -1) for each in own]
        types += [(kind, rating) for rating in place]
    return Devices(tuple(types), number)
