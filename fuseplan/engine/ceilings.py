"""The most a wire may carry of which the set of limits has nothing on file: no more than the next printed wire that is
no worse. What exceeds that exceeds its own limit, whatever that is."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.conductor_rating import conductor_of
from fuseplan.engine.neighbours import counted
from fuseplan.engine.network import Network
from fuseplan.engine.still_wire import DISAGREES, balance_a
from fuseplan.engine.warming import loading_currents
from fuseplan.formulas.thermal import derated_ampacity
from fuseplan.limits import Ceiling
from fuseplan.trace import bare


class Ceilings(NamedTuple):
    """Of each segment without a limit on file (S,); NaN for the others, and where nothing bounds it."""

    ampacity_a: Floats
    fuse_a: Floats
    """The largest fuse for the wire is no larger."""
    words: dict[int, str]
    """In what the wire on file that the bound is of is better."""
    key: dict[int, str]
    """The key of the segment that has to change for it to be on file."""


def ceilings_of(network: Network, limit_a: Floats, largest_fuse_a: Floats) -> Ceilings:
    """The bounds of all segments, from their ampacities and largest fuses (S,), NaN where not on file."""
    segments, limit_set = network.segments, network.limit_set
    limit, largest = bare(limit_a), bare(largest_fuse_a)
    found = Ceilings(np.full(segments.count, np.nan), np.full(segments.count, np.nan), {}, {})
    asked = np.flatnonzero((np.isnan(limit) | np.isnan(largest)) & ~np.isnan(segments.area_mm2))
    if not asked.size:
        return found
    nominal = loading_currents(network)
    group = limit_set.group_factor(counted(segments, len(network.plan.run), nominal, limit_set))
    for index in asked.tolist():
        area = float(segments.area_mm2[index])
        if not np.isnan(limit[index]):
            found.fuse_a[index] = limit_set.most_fuse_a(area, float(limit[index]), float(segments.base_a[index]))
            found.words[index], found.key[index] = "the thinnest wire for which a fuse is printed", "size"
            continue
        size = segments.segment[index].size
        bound = None if size is None else limit_set.ceiling(size, segments.insulation[index])
        if bound is None:
            continue
        pairs = np.flatnonzero(segments.pair_segment == index)
        carrying = nominal[:, index] > 0
        factors = group[carrying] if carrying.any() else group
        if not len(factors):
            factors = np.ones((1, len(segments.pair_segment)))
        most = min(_alone_a(network, index, bound, float(segments.pair_ambient_c[pair])) * float(factors[:, pair].min())
                   for pair in pairs.tolist())
        found.ampacity_a[index] = most
        found.fuse_a[index] = limit_set.most_fuse_a(max(area, bound.area_mm2), most, bound.rated.base_a)
        found.words[index] = bound.words_at(max(float(segments.pair_ambient_c[pair]) for pair in pairs.tolist()))
        found.key[index] = bound.key
    return found


def _alone_a(network: Network, index: int, bound: Ceiling, ambient_c: float) -> float:
    """What the wire on file carries alone at an ambient in °C: nothing where that is as hot as it may get itself, less
    where a heat balance of the wire itself says so, as for wires with a limit."""
    if ambient_c >= bound.rated.max_c:
        return 0.0
    segments = network.segments
    size = segments.segment[index].size
    printed = float(derated_ampacity(bound.rated.base_a, bound.factor(ambient_c), 1.0))
    own = conductor_of(network.limit_set, str.__str__(size), segments.insulation[index])
    balance = balance_a(*map(float, (own.r20_ohm_per_m, own.area_mm2, own.diameter_mm)), segments.insulation[index],
                        ambient_c, float(bound.rated.max_c))
    return balance if balance < printed * (1.0 - DISAGREES) else printed
