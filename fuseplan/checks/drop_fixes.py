"""What takes away voltage drops, and where: the joint or the wire that is the cause of each.

The cause is found from the network. A drop that is mostly in a circuit's own wire is cured there. Of the feeds and
straps that several circuits share, that which improved alone cures most of the rest is their cause, and one size of it
cures them all. Only what neither cures asks for both.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.fixes import copper_mm2, size_of_copper
from fuseplan.checks.subjects import segment_path, segment_words, segments_on
from fuseplan.engine.assumed import joint_ohm
from fuseplan.engine.results import Results
from fuseplan.engine.segments import joints_of
from fuseplan.quantities import writing

Floats = NDArray[np.float64]
Key = tuple[str, str, bool]
"""Owner of a wire, and whether it is on the earth side."""

MOST_TIMES = 4.0
"""Where most is lost elsewhere, a wire that would need more copper than this many times is not the one to change.
Common practice, no source."""
LARGEST_TIMES = 6.0
"""No wire is proposed with more copper than this many times for a drop, 4 mm² for 0.75, nor named by a check that needs
more, of which it names the next size up: its contacts take no more, and the run is too long, or the supply point too
far. Common practice, no source."""
MOST_STEPS = 2
"""A circuit's own wire grows by no more sizes than this for a drop that most arises elsewhere. Common practice, no
source."""
MARGIN = 1.01
"""Copper above what is just enough: through a better wire the neighbours draw a little more too."""
SPARE_SHARE = 0.25
"""Where a wire alone is not enough, or needs much more copper, the neighbours draw so much more that a drop is to fall
by this share more than is asked."""


class Lack(NamedTuple):
    """A load that loses too much on a part of its way."""

    consumer: int
    bound: int
    choice: int
    row: int
    """Solution and row in which it is worst."""
    lost_v: float
    most_v: float
    """What it loses on that part, and what it may lose there."""
    origin: int
    """Supply node that part begins at; 0 is the battery post."""
    supply: bool = True
    returns: bool = False
    """The sides that part lies on."""


class DropFix(NamedTuple):
    """A fix of a drop."""

    words: str
    fields: tuple[str, ...]
    """Keys it is about, the cause first."""
    values: tuple[tuple[str, str], ...] = ()
    """What to enter, by key."""


class _Wire(NamedTuple):
    """The wire of one part on the way, and what it loses."""

    segments: tuple[int, ...]
    volts: float
    is_own: bool


class _Way(NamedTuple):
    """The wires on the way of a lack, and how much more a load draws once it loses less."""

    wires: dict[Key, _Wire]
    rises: float


def drop_fixes(results: Results, lacks: Sequence[Lack]) -> list[DropFix]:
    """A fix for each of some lacks, those of one cause with one and the same change of it."""
    on = {returns: segments_on(results, returns) for returns in (False, True)}
    ways = [_way(results, each, on) for each in lacks]
    found: dict[int, DropFix] = {}
    for number, (lack, way) in enumerate(zip(lacks, ways, strict=True)):
        fix = _joint(results, lack, way) or _own_wire(results, lack, way)
        if fix is not None:
            found[number] = fix
    sizes: dict[Key, float] = {}
    for bound in (0, 1):
        left = [number for number, lack in enumerate(lacks) if lack.bound == bound and number not in found]
        for key, members, times in _shared_causes(results, lacks, ways, left):
            sizes[key] = max(times, sizes.get(key, 0.0))
            for number in members:
                found[number] = _shared_fix(results, ways[number], key, times)
    return [found[number] if number in found else _both(results, lack, way, sizes)
            for number, (lack, way) in enumerate(zip(lacks, ways, strict=True))]


NAMED = 2
"""So many wires are named in one fix."""


def together(fixes: Sequence[DropFix]) -> DropFix:
    """What mends several loads of one circuit, the worst first: all of it has to be done."""
    first, *others = dict.fromkeys(fixes)
    values: dict[str, str] = {}
    for path, size in (each for fix in fixes for each in fix.values):
        values[path] = max(values.get(path, size), size, key=copper_mm2)
    # What is to be done stands before the colon, the figures behind it: the same is said once.
    said = {first.words.partition(":")[0]: first}
    for fix in others:
        if fix.fields[:1] != first.fields[:1]:
            said.setdefault(fix.words.partition(":")[0], fix)
    more = list(said.values())[1:]
    words = "; and ".join([first.words, *(fix.words for fix in more[:NAMED - 1])])
    if len(more) >= NAMED:
        words += f"; and the wires of {len(more) - NAMED + 1} more of its loads"
    return DropFix(words, tuple(dict.fromkeys(path for fix in fixes for path in fix.fields)),
                   tuple(values.items()) if all(fix.values for fix in fixes) else ())


def _way(results: Results, lack: Lack, on: Mapping[bool, Callable[[int], list[int]]]) -> _Way:
    network, solution = results.network, results.choices[lack.choice]
    consumers, owners = network.consumers, network.segments.owner
    mine = network.circuit_ids[int(consumers.circuit[lack.consumer])]
    members: dict[Key, list[int]] = defaultdict(list)
    ends = ((network.supply, int(consumers.supply_node[lack.consumer]), False, lack.supply, lack.origin),
            (network.returns, int(consumers.return_node[lack.consumer]), True, lack.returns, 0))
    for tree, node, returns, wanted, origin in ends:
        while wanted and node not in (0, origin):
            for index in on[returns](node):
                members[(*owners[index], returns)].append(index)
            node = int(tree.parent[node])
    wires = {key: _Wire(tuple(each), _volts(solution.segment_a, solution.segment_ohm, lack.row, each),
                        key[:2] == ("circuit", mine)) for key, each in members.items()}
    across = float(solution.across_v[lack.row, lack.consumer])
    gained = lack.lost_v - lack.most_v
    rises = 1.0 + gained / across if across > 0 and consumers.exponent[lack.consumer] > 0 else 1.0
    return _Way(wires, rises)


def _volts(current_a: Floats, ohm: Floats, row: int, segments: Iterable[int]) -> float:
    numbers = list(segments)
    return float(np.abs(current_a[row, numbers] * ohm[row, numbers]).sum())


def _times(lack: Lack, way: _Way, volts: float) -> float:
    """How many times the copper a part of the way needs to cure a lack alone; infinite where it cannot."""
    elsewhere = (lack.lost_v - volts) * way.rises
    return math.inf if elsewhere >= lack.most_v else MARGIN * volts * way.rises / (lack.most_v - elsewhere)


def _sized(results: Results, wire: _Wire, times: float) -> dict[int, str] | None:
    """The size of each segment with so many times the copper; None where one of them is not sold."""
    found = {index: size_of_copper(results, index, times) for index in wire.segments}
    return None if None in found.values() else {index: size for index, size in found.items() if size is not None}


def _change(results: Results, wire: _Wire, sizes: Mapping[int, str], times: float
            ) -> tuple[str, tuple[str, ...], tuple[tuple[str, str], ...]]:
    """The change of one part's wire: in words, the key of its thinnest segment first, and what to enter."""
    area = results.network.segments.area_mm2
    thin = min(wire.segments, key=lambda index: float(area[index]))
    keys = tuple((segment_path(results, index, "size"), size) for index, size in
                 sorted(sizes.items(), key=lambda each: each[0] != thin))
    at = f"{results.network.stock.wire_words(sizes[thin])} at {segment_words(results, thin)}"
    words = f"fit {at}" if len(wire.segments) == 1 else \
        f"{writing.burden(times, 'factor')} times the copper: {at} and the other segments alike"
    return words, (keys[0][0],), keys


def _joint(results: Results, lack: Lack, way: _Way) -> DropFix | None:
    """The fix where one joint loses more than all the rest of the way: no thicker wire takes that away."""
    solution, segments = results.choices[lack.choice], results.network.segments
    found = [(abs(float(solution.segment_a[lack.row, index])) * joint_ohm(each), index, key)
             for wire in way.wires.values() for index in wire.segments
             for key, each in joints_of(segments.segment[index])]
    volts, index, key = max(found, default=(0.0, -1, ""))
    if volts <= lack.lost_v / 2:
        return None
    return DropFix(f"make the joint in {segment_words(results, index)} anew: {writing.burden(volts, 'V')} of the drop "
                   "is in it", (segment_path(results, index, key),))


def _own(way: _Way) -> _Wire | None:
    """The circuit's own wire, of both sides where both are judged: the one that loses more."""
    return max((wire for wire in way.wires.values() if wire.is_own), key=lambda wire: wire.volts, default=None)


def _own_wire(results: Results, lack: Lack, way: _Way) -> DropFix | None:
    """The circuit's own wire, where that loses more than any wire it shares and cures the lack."""
    own = _own(way)
    shared = max((wire.volts for wire in way.wires.values() if not wire.is_own), default=0.0)
    if own is None or own.volts < shared:
        return None
    times = _times(lack, way, own.volts)
    sizes = _sized(results, own, times) if times <= (MOST_TIMES if shared else LARGEST_TIMES) else None
    if sizes is None:
        return None
    return DropFix(*_change(results, own, sizes, times))


def _shared_causes(results: Results, lacks: Sequence[Lack], ways: Sequence[_Way], left: list[int]
                   ) -> list[tuple[Key, list[int], float]]:
    """The shared wires that are the cause of what is left, each with the lacks it alone cures and its copper as a
    multiple of what it has; the one that cures most first."""
    found: list[tuple[Key, list[int], float]] = []
    waiting = list(left)
    while waiting:
        cured: dict[Key, dict[int, float]] = defaultdict(dict)
        for number in waiting:
            for key, wire in ways[number].wires.items():
                times = math.inf if wire.is_own else _times(lacks[number], ways[number], wire.volts)
                if times <= MOST_TIMES and _sized(results, wire, times) is not None:
                    cured[key][number] = times
        if not cured:
            break
        key = max(cured, key=lambda each: (len(cured[each]), sum(ways[number].wires[each].volts
                                                                 for number in cured[each])))
        found.append((key, list(cured[key]), max(cured[key].values())))
        waiting = [number for number in waiting if number not in cured[key]]
    return found


def _shared_fix(results: Results, way: _Way, key: Key, times: float) -> DropFix:
    wire, own = way.wires[key], _own(way)
    sizes = _sized(results, wire, times)
    assert sizes is not None
    words, fields, values = _change(results, wire, sizes, times)
    mine, here = (writing.burden(each.volts if each is not None else 0.0, "V") for each in (own, wire))
    return DropFix(f"{words}: only {mine} of the drop is in its own wire, {here} in this one", fields, values)


def few_steps(results: Results, segment: int, size: str, steps: int = MOST_STEPS) -> bool:
    """Whether a size is at most some sizes above that of a segment, in those taken for its system."""
    own = results.network.segments.segment[segment].size
    if own is None:
        return True
    area = float(results.network.segments.area_mm2[segment]) * 1.0001
    above = [each for each in results.network.stock.sizes(own.system) if each.area_mm2 > area]
    return len(above) < steps or copper_mm2(size) <= above[steps - 1].area_mm2 * 1.0001


def _few(results: Results, sizes: Mapping[int, str]) -> bool:
    return all(few_steps(results, segment, size) for segment, size in sizes.items())


def _both(results: Results, lack: Lack, way: _Way, sizes: Mapping[Key, float]) -> DropFix:
    """The fix where no wire alone is enough: the shared one that loses most, and the circuit's own for the rest."""
    own = _own(way)
    shared = {key: wire for key, wire in way.wires.items() if not wire.is_own}
    lack = lack._replace(most_v=lack.most_v - SPARE_SHARE * (lack.lost_v - lack.most_v))
    closer = "shorten the run, or move the supply point closer, as by a relay near the load on a thick wire" \
        if lack.supply else \
        "clean the joints, or choose an earth point nearer the battery"
    if own is None and not shared:
        return DropFix(f"{closer}: the drop is not in a wire", ())
    first = own if own is not None and own.segments else next(iter(shared.values()))
    field = segment_path(results, min(first.segments, key=lambda each: float(
        results.network.segments.area_mm2[each])), "size")
    if own is not None and shared:
        key = max(shared, key=lambda each: shared[each].volts)
        for times in dict.fromkeys((max(2.0, sizes.get(key, 0.0)), MOST_TIMES)):
            saved = shared[key].volts * (1.0 - 1.0 / times)
            rest = _times(lack._replace(lost_v=lack.lost_v - saved), way, own.volts)
            mine = _sized(results, own, rest) if rest <= MOST_TIMES else None
            theirs = _sized(results, shared[key], times)
            if mine is not None and theirs is not None and (own.volts >= shared[key].volts or _few(results, mine)):
                words, fields, values = _change(results, own, mine, rest)
                more, others, further = _change(results, shared[key], theirs, times)
                return DropFix(f"{words}; and {more}", (*fields, *others), (*values, *further))
    wires = math.fsum(wire.volts for wire in way.wires.values())
    if own is not None:
        times = _times(lack, way, own.volts)
        alone = _sized(results, own, times) if times <= LARGEST_TIMES else None
        is_cause = own.volts >= max((wire.volts for wire in shared.values()), default=0.0)
        if alone is not None and (is_cause or _few(results, alone)):
            return DropFix(*_change(results, own, alone, times))
        if math.isfinite(times) and not shared:
            return DropFix(f"its wire needs {writing.burden(times, 'factor')} times the copper, more than is sold: "
                           f"{closer}", (field,))
    return DropFix(f"{closer}: {writing.burden(wires, 'V')} of the drop is in the wires on its way", (field,))
