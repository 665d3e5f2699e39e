"""The next standard size that would pass, for the remedies: never a thinner answer than the guidance's own figures."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.checks.subjects import segment_path
from fuseplan.engine.fusing import ladder
from fuseplan.engine.results import Results
from fuseplan.errors import AmountError, TableError
from fuseplan.formulas.thermal import rise_factor
from fuseplan.guidance import Rated
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import conductors
from fuseplan.tables.insulations import INSULATIONS

ABOVE_AMBIENT_K = 20.0
"""Insulation named for a hot place stands this much more than the place has. Common practice, no source."""


def size_words(system: str, name: str) -> str:
    """A standard size as the plan writes it: ``2.5 mm2``, ``AWG 14``."""
    return f"{name} mm2" if system == "mm2" else f"{system} {name}"


def _ambient_factor(rated: Rated, ambient_c: float) -> float:
    return float(min(rise_factor(max(rated.max_c, ambient_c), ambient_c, rated.rise_k), rated.largest_factor))


def ampacity_of(results: Results, segment: int, size: WireSize) -> float:
    """Ampacity in A another size would have in the place of a segment, same insulation, ambient and neighbours; NaN
    where nothing is on file."""
    segments = results.network.segments
    old = segments.segment[segment].size
    insulation, ambient_c = segments.insulation[segment], float(segments.ambient_c[segment])
    was = None if old is None else results.guidance.ampacity(old, insulation)
    would = results.guidance.ampacity(size, insulation)
    if was is None or would is None:
        return math.nan
    alone = was.base_a * _ambient_factor(was, ambient_c)
    if alone <= 0:
        return math.nan
    group = float(results.segment_limit_a[segment]) / alone
    return would.base_a * _ambient_factor(would, ambient_c) * group


def size_that_carries(results: Results, segment: int, current_a: float, fuse: bool = False) -> str | None:
    """The thinnest standard size that carries a current in the place of a segment, or, with `fuse`, that a fuse of
    that rating guards; None where none is on file."""
    size = results.network.segments.segment[segment].size
    if size is None:
        return None
    try:
        names = conductors.standard_sizes(size.system)
        old_mm2 = conductors.conductor(size.system, size.name).area_mm2
    except TableError:
        return None
    for name in names:
        words = size_words(size.system, name)
        try:
            area = conductors.conductor(size.system, name).area_mm2
            if area < old_mm2:
                continue
            limit = ampacity_of(results, segment, WireSize.read(words))
        except (TableError, AmountError):
            continue
        if fuse:
            limit = float(results.guidance.largest_fuse_a(np.array([area]), np.array([limit]))[0])
        if limit >= current_a:
            return words
    return None


def size_of_area(results: Results, segment: int, area_mm2: float) -> str | None:
    """The thinnest standard size of at least an area, in the system of a segment's size."""
    size = results.network.segments.segment[segment].size
    if size is None:
        return None
    try:
        found = conductors.next_size(size.system, area_mm2)
    except TableError:
        return None
    return None if found is None else size_words(found.system, found.name)


def another_insulation(results: Results, segment: int) -> str | None:
    """What to do about a wire that bears nothing because its place is as hot as its insulation stands, or hotter: no
    size of it bears more. None where the place leaves it some current, or nothing is on file."""
    segments = results.network.segments
    if segment < 0 or not segments.ambient_c[segment] >= segments.max_c[segment]:
        return None
    ambient_c, max_c = float(segments.ambient_c[segment]), float(segments.max_c[segment])
    size = segments.segment[segment].size
    fits = sorted((entry.max_c, name) for name, entry in INSULATIONS.items()
                  if entry.max_c > ambient_c + ABOVE_AMBIENT_K
                  and (size is None or results.guidance.ampacity(size, name) is not None))
    named = f", such as {fits[0][1]}" if fits else ""
    return (f"no thickness helps: at {writing.burden(ambient_c, '°C')} {segments.insulation[segment]}, which stands "
            f"{writing.limit(max_c, '°C')}, bears no current; another insulation does{named}, or a cooler way")


def wire_field(results: Results, segment: int) -> str:
    """Path of the key that lets a wire bear more: its size, or its insulation where no size helps."""
    return segment_path(results, segment, "size" if another_insulation(results, segment) is None else "insulation")


def next_rating(kind: str, need_a: float) -> float | None:
    """The smallest rating sold in a type that is at least `need_a`."""
    return next((rating for rating in ladder(kind) if rating >= need_a), None)
