"""Loads whose switch-on surges overlap: those a single switch, relay or feed brings on, and those that come on for the
same reason, as two fans do when it gets hot."""

from __future__ import annotations

from collections import defaultdict
from operator import ge
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Ints
from fuseplan.engine.consumers import LOAD
from fuseplan.plan.words import WHEN_ALWAYS

if TYPE_CHECKING:
    from fuseplan.engine.network import Network


class Overlaps(NamedTuple):
    """Pairs of loads (n,) behind the same last fuse that may start together, each pair both ways round."""

    first: Ints
    second: Ints


class FeedFuses(NamedTuple):
    """Each load with a surge beside each fuse of a feed that it passes on its way to its own (n,)."""

    load: Ints
    device: Ints


class SharedStarts(NamedTuple):
    """Loads of several circuits with fuses of their own that come on for one reason, behind one fuse of a feed."""

    device: Ints
    """The fuse each start passes (starts,)."""
    start: Ints
    """The start each load has a part in, ascending (n,)."""
    load: Ints
    """(n,)."""


def overlaps(network: Network) -> Overlaps:
    """Which surges overlap in the last fuse before them: of loads of one circuit that may be on in the same condition,
    and of circuits that share a fuse, where two loads list the same word."""
    behind: dict[int, list[int]] = defaultdict(list)
    for consumer, device in _surging(network):
        if device >= 0:
            behind[device].append(consumer)
    first: list[int] = []
    second: list[int] = []
    for members in behind.values():
        for one in members if len(members) > 1 else ():
            for other in members:
                if one != other and _overlap(network, one, other):
                    first.append(one)
                    second.append(other)
    return Overlaps(np.array(first, dtype=np.int64), np.array(second, dtype=np.int64))


def feed_fuses(network: Network) -> FeedFuses:
    """The fuses of feeds that see each load's surge besides the last fuse before it."""
    parents = _parents(network)
    loads: list[int] = []
    devices: list[int] = []
    for consumer, device in _surging(network):
        above = parents[device] if device >= 0 else -1
        while above >= 0:
            loads.append(consumer)
            devices.append(above)
            above = parents[above]
    return FeedFuses(np.array(loads, dtype=np.int64), np.array(devices, dtype=np.int64))


def shared_starts(network: Network) -> SharedStarts:
    """The starts of several circuits that a fuse of a feed sees."""
    found: dict[tuple[int, str], list[int]] = defaultdict(list)
    loads, devices = map(np.ndarray.tolist, network.feed_fuses)
    when = {consumer: _when(network, consumer) for consumer in dict.fromkeys(loads)}
    for consumer, device in zip(loads, devices, strict=True):
        for word in when[consumer]:
            found[device, word].append(consumer)
    circuit, outdone = network.consumers.circuit.tolist(), _Outdone(network)
    each_start = ((device, outdone.left_out_of(loads)) for (device, _), loads in found.items())
    starts = [(device, loads) for device, loads in each_start if len({circuit[load] for load in loads}) > 1]
    return SharedStarts(np.array([device for device, _ in starts], dtype=np.int64),
                        np.repeat(np.arange(len(starts)), [len(loads) for _, loads in starts]),
                        np.array([load for _, loads in starts for load in loads], dtype=np.int64))


def start_with(network: Network, peak_a: NDArray[np.float64], consumer: int) -> list[int]:
    """The loads behind the same last fuse whose surges overlap with that of a load and last as long, of an `either`
    group the one that draws most."""
    first, second = network.overlaps
    lengths, group = network.consumers.inrush_s, network.consumers.group.tolist()
    others = [load for load in second[first == consumer].tolist() if lengths[load] >= lengths[consumer]]
    largest = {group[load]: load for load in sorted(others, key=lambda load: float(peak_a[load]))}
    return [load for load in others if group[load] < 0 or largest[group[load]] == load]


def same_starts(before: Network, after: Network, changed: Ints) -> bool:
    """Whether the same loads start together in two networks of one shape that differ in these consumers alone: they
    have a surge or none as before, come on by the same words, and none of them is of an `either` group, where the
    currents matter."""
    old, new = before.consumers, after.consumers
    loads = changed[new.kind[changed] == LOAD]
    return not (new.group[loads] >= 0).any() and bool(
        ((old.inrush[loads] > 1.0) == (new.inrush[loads] > 1.0)).all()) and all(
        _when(before, load) == _when(after, load) for load in loads.tolist())


class _Outdone:
    """Loads of an `either` group that another of the group exceeds in current, surge and length."""

    def __init__(self, network: Network) -> None:
        consumers = network.consumers
        self.group: list[int] = consumers.group.tolist()
        self.grouped = frozenset(np.flatnonzero(consumers.group >= 0).tolist())
        self.figures = np.stack([consumers.reference_a, consumers.most_a, consumers.inrush, consumers.inrush_s],
                                axis=1).tolist()

    def left_out_of(self, loads: list[int]) -> list[int]:
        """The loads of a start that may surge in it: of a group, of which one is on at a time, no outdone one."""
        if self.grouped.isdisjoint(loads):
            return loads
        kept: list[int] = []
        for load in loads:
            own = self.group[load]
            beside = [other for other in kept if self.group[other] == own] if own >= 0 else []
            if any(self._exceeds(other, load) for other in beside):
                continue
            for other in beside:
                if self._exceeds(load, other):
                    kept.remove(other)
            kept.append(load)
        return kept

    def _exceeds(self, one: int, other: int) -> bool:
        return all(map(ge, self.figures[one], self.figures[other]))


def _surging(network: Network) -> list[tuple[int, int]]:
    """Loads with a surge, each with the last fuse before it."""
    consumers = network.consumers
    loads = np.flatnonzero((consumers.kind == LOAD) & (consumers.inrush > 1.0) & consumers.possible.any(axis=0))
    devices = network.guard[network.circuit_node[consumers.circuit[loads]]]
    return list(zip(loads.tolist(), devices.tolist(), strict=True))


def _overlap(network: Network, one: int, other: int) -> bool:
    consumers = network.consumers
    same = bool(consumers.circuit[one] == consumers.circuit[other])
    if same and consumers.group[one] >= 0 and consumers.group[one] == consumers.group[other]:
        return False
    if not (consumers.possible[:, one] & consumers.possible[:, other]).any():
        return False
    return same or not set(_when(network, one)).isdisjoint(_when(network, other))


def _when(network: Network, consumer: int) -> tuple[str, ...]:
    """The words a load comes on by; what is always on has none."""
    consumers = network.consumers
    load = network.circuits[int(consumers.circuit[consumer])].load[int(consumers.number[consumer])]
    return load.when if WHEN_ALWAYS not in load.when else tuple(word for word in load.when if word != WHEN_ALWAYS)


def _parents(network: Network) -> list[int]:
    """The next fuse nearer the battery of each, -1 for none."""
    tree = network.supply
    return [int(network.guard[tree.parent[node]]) if node > 0 else -1 for node in network.fuse_node.tolist()]
