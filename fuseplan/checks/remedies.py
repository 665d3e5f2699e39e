"""The next standard size that would pass, for the remedies: never a thinner answer than the guidance's own figures."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.engine.fusing import ladder
from fuseplan.engine.results import Results
from fuseplan.errors import AmountError, TableError
from fuseplan.formulas.thermal import rise_factor
from fuseplan.guidance import Rated
from fuseplan.tables import conductors
from fuseplan.units import WireSize


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


def next_rating(kind: str, need_a: float) -> float | None:
    """The smallest rating sold in a type that is at least `need_a`."""
    return next((rating for rating in ladder(kind) if rating >= need_a), None)
