"""An earth strap that has most of the resistance of a short circuit's way: the one cause of every fuse behind it that
is too slow."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import copper_mm2, sizes_for
from fuseplan.checks.one_size import asked_too
from fuseplan.checks.rules.fuse_exceeds_strap import sizes_for_fuses
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.engine.fault import FarEnds, far_ends_of
from fuseplan.engine.results import Results
from fuseplan.engine.source import internal_ohm
from fuseplan.engine.stock import Size
from fuseplan.engine.warming import hot_ohm
from fuseplan.quantities import writing
from fuseplan.quantities.listing import all_of


def thin_strap(results: Results, current_a: float, fails: Callable[[FarEnds], bool]) -> Fix | None:
    """A thicker strap, where one has more resistance than all other wires and joints of a loop in which a short draws
    so much and it alone removes the fault, in the thinnest size that does, or where the size that a strap is to have
    for a fuse behind it removes it; None where none does. `fails` tells whether the fault is still there at given
    currents."""
    network, segments = results.network, results.network.segments
    ohm, per_m = np.asarray(hot_ohm(network, results.faults.start_c)), segments.r20_ohm_per_m
    straps: dict[str, list[int]] = defaultdict(list)
    for index, (kind, name) in enumerate(segments.owner):
        if kind == "earth":
            straps[name].append(index)
    loop = float(results.source.open_circuit_v[0]) / current_a
    wires = loop - internal_ohm(network.plan.battery, network.system_v, cold=True)
    asked = sizes_for_fuses(results)
    for name, members in straps.items():
        is_most, for_fuses = float(ohm[members].sum()) > wires / 2, {asked.get(each) for each in members} - {None}
        if not (is_most or for_fuses) or name not in network.earth_node:
            continue

        def thinner(size: Size, members: list[int] = members) -> list[int]:
            """The lengths a size takes the place of, the thinnest first."""
            return sorted((each for each in members if per_m[each] > size.ohm_per_m), key=lambda each: -per_m[each])

        def cures(size: Size, node: int = network.earth_node[name]) -> bool:
            changed = thinner(size)
            # Taken to get as hot as what it replaces: it stays cooler.
            gain = float((ohm[changed] * (1.0 - size.ohm_per_m / per_m[changed])).sum())
            return not fails(_far_ends(results, node, gain))

        thicker = [size for size in sizes_for(results, min(members, key=lambda each: -per_m[each]))
                   if thinner(size) and (is_most or size.words in for_fuses)]
        at = bisect_left(thicker, True, key=cures)
        if at < len(thicker):
            changed = thinner(thicker[at])
            size = max((asked_too(results, index, thicker[at].words) for index in changed), key=copper_mm2)
            has, of = writing.burden(float(ohm[changed].sum()), "ohm"), writing.burden(loop, "ohm")
            words = all_of([segment_words(results, index) for index in sorted(changed)])
            return Fix(f"fit {network.stock.wire_words(size)} in place of {words}: "
                       f"{'it has' if len(changed) == 1 else 'they have'} {has} of the {of} of the loop",
                       tuple(segment_path(results, index, "size") for index in changed),
                       sizes=tuple((index, size) for index in changed))
    return None


def _far_ends(results: Results, node: int, gain_ohm: float) -> FarEnds:
    """The smallest short-circuit currents with less resistance at an earth point."""
    given = results.network.returns_given.copy()
    given[node] -= gain_ohm
    return far_ends_of(replace(results.network, returns_given=given), results.source, results.solution,
                       results.fuse_ohm)
