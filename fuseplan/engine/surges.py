"""The currents at switch-on: each load's surge through the device that guards its circuit, and those of several
circuits that start together. They do not depend on the ratings of the devices; `inrush` judges them.

A usual inrush, a multiple of the running current on a stiff supply, is limited by battery and wires, and so is that of
a lamp, whose cold filament is a resistance; another that the plan gives is taken as it stands, but never above what the
circuit lets through at all. That of a lamp or motor falls: it counts as the pulse of its peak that has its heat, which
warms a fuse no less, as the same heat in less time leaves less to be lost.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.demand import Demands
from fuseplan.engine.fault import least_path_ohm
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.network import Network
from fuseplan.engine.source import regulator_voltage_of, strongest_ohm
from fuseplan.formulas.inrush import equal_pulse, inrush_current, limited_inrush, surge_decay
from fuseplan.records import dataclass
from fuseplan.trace import bare

FALLS = {"lamp": 1, "motor": 2}
"""Kinds of loads whose surge falls to twice the running current in its length, and their numbers: a filament warms, a
motor runs up."""
FALLS_FROM = 3.0
"""A surge of less than this multiple falls as one of this does."""


class Starts(NamedTuple):
    """What the fuses of feeds see at switch-on, one row (n,) a load: of the starts of `Network.shared_starts`, the
    loads of each from the longest surge to the shortest, the surges that last as long as its own, together; then of
    each of `Network.feed_fuses` the surge it has behind its own fuse."""

    load: Ints
    first: Ints
    """Where its start begins."""
    device: Ints
    """The fuse of a feed they pass."""
    through_a: Floats
    """With everything else on behind that fuse (cases, n)."""
    length_s: Floats
    adds: Flags
    """Whether its surge adds to those before it: of an `either` group a larger one does, in place of theirs."""
    shared: int
    """So many rows are of starts of several circuits."""


@dataclass(frozen=True)
class Surges:
    """Per consumer, as entered and at the worst-case currents (cases, L)."""

    peak_a: Floats
    """Own surge alone."""
    through_a: Floats
    """Surge, those of the loads that start together with it and last as long, and everything else on together behind
    the device."""
    length_s: Floats
    """Of a lamp or motor the length of a pulse of the peak current with the surge's heat, the longer of both (L,)."""
    device: Ints
    """What guards the consumer's circuit, -1 for nothing (L,)."""
    asked: Ints
    """The same where a load draws anything, else -1 (cases, L)."""
    starts: Starts
    loop_ohm: Floats
    """Least resistance of battery and wires on the way of each consumer, out and back (L,): warm battery, wires at
    20 °C, fuses and what is not known left out."""
    shared_ohm: Floats
    """That part of it which all loads of a circuit share at least (circuits,)."""


def surges_of(network: Network, demands: Demands) -> Surges:
    """Surges of all loads, from their running currents as entered and at their upper bounds."""
    consumers = network.consumers
    running, circuit, supply = (bare(each)[:, FIVE_S] for each in (demands.load, demands.circuit, demands.supply))
    out_ohm, back_ohm = least_path_ohm(network, np.zeros(len(network.fuses)))
    battery_ohm = strongest_ohm(network.plan.battery, network.system_v)
    loop_ohm = out_ohm[consumers.supply_node] + back_ohm[consumers.return_node] + battery_ohm
    peak = peaks(network, loop_ohm, running, np.arange(consumers.count))
    more = np.maximum(peak - running, 0.0)
    falls = np.array([FALLS.get(kind or "", 0) for kind in consumers.load_kind], dtype=np.int64)
    multiple = 1.0 + np.divide(more, running, out=np.full_like(more, FALLS_FROM - 1.0), where=running > 0)
    decay = _decay(consumers.inrush_s, multiple)
    surge = more + _overlapping(network, more)
    # Lamps, or motors, that start together fall each by its own time, weighed by its surge; the rest lasts meanwhile.
    falling = more + _overlapping(network, more, falls)
    fall = more * decay + _overlapping(network, more * decay, falls)
    member = consumers.circuit >= 0
    device = np.full(consumers.count, -1, dtype=np.int64)
    device[member] = network.guard[network.circuit_node[consumers.circuit[member]]]
    guarded = np.flatnonzero(device >= 0)
    behind = np.zeros(running.shape)
    behind[:, member] = circuit[:, consumers.circuit[member]]
    if guarded.size:
        behind[:, guarded] = np.maximum(behind[:, guarded], supply[:, network.fuse_node[device[guarded]]])
    steady = np.maximum(behind, running)
    asked = np.where((consumers.kind == LOAD) & (running > 0), device, -1)
    lengths = _Lengths(consumers.inrush_s, falls > 0, falling, fall, surge - falling)
    length = lengths.of(np.arange(consumers.count), steady)
    return Surges(peak, surge + steady, length, device, asked,
                  _starts(network, more, surge, supply, length, lengths), loop_ohm,
                  out_ohm[network.circuit_node] + battery_ohm)


class _Lengths(NamedTuple):
    """How long the surges of loads count, with those that start together with them."""

    stated_s: Floats
    """(L,)."""
    falls: Flags
    falling_a: Floats
    """What falls as they do, above what flows afterwards (cases, L)."""
    fall: Floats
    """The same times the time constants (cases, L) [A s]."""
    lasting_a: Floats
    """Surges that last (cases, L)."""

    def of(self, loads: Ints, steady_a: Floats) -> Floats:
        """Lengths over so much else that flows afterwards, the longest of the cases (n,)."""
        falling = self.falling_a[:, loads]
        with np.errstate(divide="ignore", invalid="ignore"):
            pulse = np.nan_to_num(equal_pulse(self.fall[:, loads] / falling, falling,
                                              steady_a + self.lasting_a[:, loads]))
        stated: Floats = self.stated_s[loads]
        return np.where(self.falls[loads], np.minimum(pulse.max(axis=0), stated), stated)


def _decay(fall_s: Floats, multiple: Floats) -> Floats:
    """Time constants of surges that fall, such that a larger surge never has less heat: times its current they do not
    shrink as the multiple grows."""
    from_least = np.maximum(multiple, FALLS_FROM)
    found: Floats = np.maximum(
        surge_decay(fall_s, from_least),
        surge_decay(fall_s, np.full_like(multiple, FALLS_FROM)) * (FALLS_FROM - 1) / (from_least - 1))
    return found


def _overlapping(network: Network, more: Floats, of_kind: Ints | None = None) -> Floats:
    """What others that start together with each load, and whose surges last as long, add to a figure of each
    (cases, L); with `of_kind` those of its own kind."""
    found = np.zeros(more.shape)
    first, second = network.overlaps
    if first.size:
        longer = network.consumers.inrush_s[second] >= network.consumers.inrush_s[first]
        if of_kind is not None:
            longer &= of_kind[second] == of_kind[first]
        added = _one_of_each_group(network, more[:, second[longer]], second[longer], first[longer])
        for case, each in zip(found, added, strict=True):
            np.add.at(case, first[longer], each)
    return found


def _starts(network: Network, more_a: Floats, surge_a: Floats, supply_a: Floats, length_s: Floats,
            lengths: _Lengths) -> Starts:
    starts, (passing, passed) = network.shared_starts, network.feed_fuses
    order = np.lexsort((-length_s[starts.load], starts.start))
    loads, number = starts.load[order], starts.start[order]
    first = np.searchsorted(number, number)
    # Surges that last as long as the one looked at, or longer: the sum from the longest of its start down to it.
    added = _one_of_each_group(network, more_a[:, loads], loads, number)
    summed = np.cumsum(added, axis=1)
    before = np.where(first > 0, summed[:, first - 1], 0.0) if first.size else summed
    device = starts.device[number]
    adds = (network.consumers.group[loads] < 0) | (added > 0).any(axis=0)
    steady = supply_a[:, network.fuse_node[passed]]
    alone = lengths.of(passing, steady)
    return Starts(np.append(loads, passing), np.append(first, loads.size + np.arange(passing.size)),
                  np.append(device, passed),
                  np.hstack([summed - before + supply_a[:, network.fuse_node[device]],
                             surge_a[:, passing] + steady]),
                  np.append(length_s[loads], alone), np.append(adds, np.ones(passing.size, dtype=bool)), loads.size)


def _one_of_each_group(network: Network, more_a: Floats, loads: Ints, start: Ints) -> Floats:
    """What each load of a start adds to those before it in the same start (cases, n) [A]: of an `either` group one is
    on at a time, so that it adds only by what its surge exceeds theirs."""
    group = network.consumers.group[loads]
    largest: dict[tuple[int, int], Floats] = {}
    for place in np.flatnonzero(group >= 0).tolist():
        key, own = (int(start[place]), int(group[place])), more_a[:, place].copy()
        held = largest.get(key, np.zeros_like(own))
        more_a[:, place] = np.maximum(own - held, 0.0)
        largest[key] = np.maximum(held, own)
    return more_a


def peaks(network: Network, loop_ohm: Floats, running_a: Floats, loads: Ints) -> Floats:
    """Surge of each of some loads alone (cases, loads) [A], from their running currents (cases, loads) [A] and the
    resistance of every consumer's loop that limits it (L,) [ohm]."""
    multiple, loop = network.consumers.inrush[loads], loop_ohm[loads]
    volts = regulator_voltage_of(network.plan.alternator, network.system_v)
    limited = np.maximum(limited_inrush(running_a, multiple, loop, volts), running_a)
    with np.errstate(divide="ignore"):
        stated = np.minimum(inrush_current(running_a, multiple), np.maximum(volts / loop, running_a))
    return np.asarray(bare(np.where(is_limited(network, loads), limited, stated)))


def is_limited(network: Network, loads: Ints) -> Flags:
    """Which of some loads have a surge that is limited by the resistance on its way: the usual ones, and those of lamps
    whether the plan gives them or not (loads,)."""
    return np.isnan(network.consumers.inrush_given[loads]) | network.consumers.is_lamp[loads]
