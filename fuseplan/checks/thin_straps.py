"""An earth strap that has most of the resistance of a short circuit's way: the one cause of every fuse behind it that
is too slow."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from fuseplan.checks.drop_fix import DropFix
from fuseplan.checks.fixes import size_of_copper
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.engine.fault import FarEnds, far_ends_of
from fuseplan.engine.results import Results
from fuseplan.engine.source import internal_ohm
from fuseplan.engine.warming import hot_ohm
from fuseplan.quantities import writing
from fuseplan.quantities.listing import all_of

TIMES = (2.0, 4.0, 8.0, 16.0, 32.0, 64.0)
"""How many times the copper a strap is tried with: the first that removes the fault is named."""


def thin_strap(results: Results, current_a: float, fails: Callable[[FarEnds], bool]) -> DropFix | None:
    """A thicker strap, where one has more resistance than all other wires and joints of a loop in which a short draws
    so much and it alone removes the fault; None where none does. `fails` tells whether the fault is still there at
    given currents."""
    network, segments = results.network, results.network.segments
    ohm, area = np.asarray(hot_ohm(network, results.faults.start_c)), segments.area_mm2
    straps: dict[str, list[int]] = defaultdict(list)
    for index, (kind, name) in enumerate(segments.owner):
        if kind == "earth":
            straps[name].append(index)
    loop = float(results.source.open_circuit_v[0]) / current_a
    wires = loop - internal_ohm(network.plan.battery, network.system_v, cold=True)
    for name, members in straps.items():
        own = float(ohm[members].sum())
        if not own > wires / 2 or name not in network.earth_node:
            continue
        thin, *others = sorted(members, key=lambda index: float(area[index]))
        for times in TIMES:
            size = size_of_copper(results, thin, times)
            # All of it that is thinner than what takes the place of its thinnest length.
            changed = [thin, *(index for index in others if area[index] < times * area[thin])]
            gain = float((ohm[changed] * (1.0 - area[changed] / (times * area[thin]))).sum())
            if size is not None and not fails(_far_ends(results, network.earth_node[name], gain)):
                has, of = writing.burden(float(ohm[changed].sum()), "ohm"), writing.burden(loop, "ohm")
                words = all_of([segment_words(results, index) for index in sorted(changed)])
                return DropFix(f"fit {network.stock.wire_words(size)} in place of {words}: "
                               f"{'it has' if len(changed) == 1 else 'they have'} {has} of the {of} of the loop",
                               tuple(segment_path(results, index, "size") for index in changed))
    return None


def _far_ends(results: Results, node: int, gain_ohm: float) -> FarEnds:
    """The smallest short-circuit currents with less resistance at an earth point."""
    given = results.network.returns_given.copy()
    given[node] -= gain_ohm
    return far_ends_of(replace(results.network, returns_given=given), results.source, results.solution,
                       results.fuse_ohm)
