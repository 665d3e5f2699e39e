"""What takes away a voltage drop, and where: the joint or the wire that loses most on the way to a load."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.fixes import size_of_copper
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.engine.assumed import joint_ohm
from fuseplan.engine.results import Results
from fuseplan.engine.wiring import joints_of
from fuseplan.quantities import writing

Floats = NDArray[np.float64]

MOST_TIMES = 4.0
"""Where most is lost elsewhere, a wire that would need more copper than this many times is not the one to change.
Common practice, no source."""


def own_segments(results: Results, consumer: int, on: Callable[[int], list[int]]) -> list[int]:
    """Segments of a load's own supply wire: the circuit's common one, and the load's behind it; `on` is that of
    `segments_on`."""
    network = results.network
    nodes = dict.fromkeys((int(network.circuit_node[network.consumers.circuit[consumer]]),
                           int(network.consumers.supply_node[consumer])))
    return [segment for node in nodes for segment in on(node)]


def less_drop(results: Results, own: list[int], consumer: int, corner: int, lost: float,
             most: float) -> tuple[str, tuple[str, ...]]:
    """The fix of a drop of `lost` V where `most` V are allowed, and the path of the key it is about: a joint, the
    circuit's thinnest wire, or the wire on the way to its feed that loses most.

    Parameters
    ----------
    own : list of int
        Segments of the circuit's own wire to the load.
    consumer, corner : int
        The load, and the end of the evidence; the condition is the one in which its drop is worst.
    """
    segments, drops = results.network.segments, results.drops
    solution = results.choices[int(drops.choice[corner, consumer])]
    row = corner * len(results.network.conditions) + int(drops.condition[corner, consumer])
    wire_v = float((solution.segment_a[row, own] * solution.segment_ohm[row, own]).sum()) if own else 0.0
    joint = _joint(results, own, solution.segment_a[row], lost)
    if joint is not None:
        return joint
    elsewhere = lost - wire_v
    # Through a better wire a load whose current rises with the voltage draws more, and loses more on the way.
    across = float(solution.across_v[row, consumer])
    rises = 1.0 + wire_v / across if across > 0 and results.network.consumers.exponent[consumer] > 0 else 1.0
    times = math.inf if elsewhere * rises >= most else wire_v * rises / (most - elsewhere * rises)
    if not own or math.isinf(times) or (times > MOST_TIMES and elsewhere > wire_v):
        return _shared(results, consumer, row, int(drops.choice[corner, consumer]), lost, most, wire_v)
    thin = min(own, key=lambda index: float(segments.area_mm2[index]))
    size = size_of_copper(results, thin, times)
    more = writing.burden(times, "factor")
    if size is None:
        fix = f"its wire needs {more} times the copper, more than is sold: shorten the run, or move the supply point " \
              "closer"
    elif len(own) == 1:
        fix = f"fit {size} at {segment_words(results, thin)}"
    else:
        fix = f"{more} times the copper: {size} at {segment_words(results, thin)} and the other segments alike"
    return fix, (segment_path(results, thin, "size"),)


def _joint(results: Results, own: list[int], current_a: Floats, lost: float) -> tuple[str, tuple[str, ...]] | None:
    """The fix where one joint loses more than all the rest of the way: no thicker wire takes that away."""
    segments = results.network.segments
    found = [(abs(float(current_a[index])) * joint_ohm(each), index, key)
             for index in own for key, each in joints_of(segments.segment[index])]
    volts, index, key = max(found, default=(0.0, -1, ""))
    if volts <= lost / 2:
        return None
    return (f"make the joint in {segment_words(results, index)} anew: {writing.burden(volts, 'V')} of the drop is in "
            "it", (segment_path(results, index, key),))


def _shared(results: Results, consumer: int, row: int, choice: int, lost: float, most: float,
            own_v: float) -> tuple[str, tuple[str, ...]]:
    """The fix where most is lost before the circuit begins, and the path of the wire it is about: of all wires on the
    way to its feed that which loses most, the same for every circuit behind it."""
    network, solution = results.network, results.choices[choice]
    wired = {node: name for name, node in network.feed_node.items() if name in results.plan.feed
             and results.plan.feed[name].wire}
    way, node = [], int(network.consumers.supply_node[consumer])
    while node > 0:
        if node in wired:
            way.append(node)
        node = int(network.supply.parent[node])
    own = f"only {writing.burden(own_v, 'V')} of the drop is in its own wire"
    if not way:
        return f"move the circuit to a supply point closer to the battery: {own}", ()
    worst = max(way, key=lambda each: abs(float(solution.supply_a[row, each] * solution.supply_ohm[row, each])))
    segments = network.segments
    found = [index for index, owner in enumerate(segments.owner) if owner == ("feed", wired[worst])
             and not segments.returns[index]]
    thin = min(found, key=lambda index: float(segments.area_mm2[index]))
    wire_v = float((solution.segment_a[row, found] * solution.segment_ohm[row, found]).sum())
    rest = lost - wire_v
    size = size_of_copper(results, thin, wire_v / (most - rest)) if rest < most else None
    words = segment_words(results, thin)
    fix = f"fit {size} at {words}" if size is not None else \
        f"a thicker wire at {words}, and one for the circuit, or a supply point closer to the battery"
    return f"{fix}: {own}, {writing.burden(wire_v, 'V')} in this one", (segment_path(results, thin, "size"),)
