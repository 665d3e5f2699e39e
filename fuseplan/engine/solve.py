"""Node voltages and branch currents of the whole car, all conditions and both ends of the evidence at once.

Rows are (corner, condition): corner 0 takes every load as entered, corner 1 at the upper bound of its evidence.
Each pass goes out from the loads to the root (sums of current) and back from the root to the loads (drops), with
wire resistance at conductor temperature, until no voltage moves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.network import Network
from fuseplan.engine.source import Source
from fuseplan.engine.warming import Side, Wires, segment_currents, wires_of
from fuseplan.formulas.resistance import copper_temperature_factor

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

CORNERS = 2
SETTLED_V = 1e-4
"""A pass that moves no voltage by more than this ends the solution; a tenth of the millivolt promised, and each pass
brings the error down several times."""
NEAR_V = 0.05
"""Within this of the solution the currents follow the tangent of their law; it departs from a lamp's by less than
two millionths of the current."""
STILL_V = 0.002
"""Within this of the solution conductor temperatures are left as they are; they move by hundredths of a kelvin."""
MOST_PASSES = 80


@dataclass(frozen=True)
class Solution:
    """The solved network. R = corners × conditions rows; row ``corner · C + condition``."""

    network: Network
    root_v: Floats
    """Battery post against battery negative (R,)."""
    battery_a: Floats
    """Current out of the battery (R,)."""
    alternator_a: Floats
    """Current the alternator delivers (R,)."""
    supply_v: Floats
    """Supply nodes against battery negative (R, N)."""
    return_v: Floats
    """Return nodes against battery negative (R, M)."""
    consumer_a: Floats
    """(R, L)."""
    supply_a: Floats
    """Current of each supply branch (R, N)."""
    return_a: Floats
    """Current of each return branch (R, M)."""
    supply_ohm: Floats
    """Resistance of each supply branch (R, N)."""
    return_ohm: Floats
    """Resistance of each return branch (R, M)."""
    across_v: Floats
    """Voltage across every consumer (R, L)."""
    ampacity_a: Floats
    """Derated ampacity (C, S)."""
    loaded: Ints
    """Conductors counted in the fullest run of each segment (C, S)."""
    passes: int
    settled: bool
    wires: Wires

    @cached_property
    def segment_a(self) -> Floats:
        """Current of every segment (R, S)."""
        return segment_currents(self.network, self.supply_a, self.return_a)

    @cached_property
    def segment_c(self) -> Floats:
        """Conductor temperature (R, S)."""
        caps = (np.tile(side.cap, (CORNERS, 1)) for side in (self.wires.supply, self.wires.returns))
        supply_a, return_a = (np.minimum(np.abs(current), cap)
                              for current, cap in zip((self.supply_a, self.return_a), caps, strict=True))
        heating = segment_currents(self.network, supply_a, return_a)
        return self.network.segments.ambient_c + np.tile(self.wires.rise_per_a2, (CORNERS, 1)) * heating**2

    @cached_property
    def segment_ohm(self) -> Floats:
        """Resistance at conductor temperature (R, S)."""
        return np.asarray(self.network.segments.r20_ohm * copper_temperature_factor(self.segment_c))

    def load_v(self, network: Network) -> Floats:
        """Voltage across every consumer (R, L)."""
        return self.across_v


def solve(network: Network, source: Source, fuse_ohm: Floats, on: Flags | None = None,
          start: Solution | None = None, wires: Wires | None = None) -> Solution:
    """Solve the network.

    Parameters
    ----------
    network : Network
    source : Source
    fuse_ohm : array (J,)
        Cold resistance of each fuse [ohm].
    on : array (C, L), optional
        What is on in each condition, where it is not what the network says.
    start : Solution, optional
        A solution of the same network with other fuses or other loads on, to begin from.
    wires : Wires, optional
        Of this network, where they are known already.
    """
    consumers = network.consumers
    at = np.tile(np.arange(len(network.conditions)), CORNERS)
    reference = np.where(consumers.on if on is None else on, consumers.reference_a, 0.0).T
    reference = np.concatenate([reference, reference * (1.0 + consumers.upper)[:, None]], axis=1)
    if wires is None:
        wires = wires_of(network) if start is None else start.wires
    if start is None:
        root = np.where(source.available_a > 0, source.setpoint_v, source.open_circuit_v)[at]
        across = np.repeat(root[None, :], consumers.count, axis=0).T
    else:
        root, across = start.root_v, start.across_v
    rows, passes, settled = _settle(network, source, fuse_ohm, wires, at, reference, root, across)
    return Solution(network, *rows, ampacity_a=wires.ampacity_a, loaded=wires.loaded, passes=passes, settled=settled,
                    wires=wires)


def solve_choices(network: Network, source: Source, fuse_ohm: Floats, references: Sequence[Floats],
                  usual: Solution, start: Sequence[Solution] | None = None) -> list[Solution]:
    """Solve the network for other choices of what is on, each in the conditions in which it differs from the usual.

    Parameters
    ----------
    network : Network
    source : Source
    fuse_ohm : array (J,)
        Cold resistance of each fuse [ohm].
    references : sequence of array (C, L)
        Reference current of every consumer in every condition, 0 where it is off [A]; one for each choice.
    usual : Solution
        The solution for what the network says is on, with the same fuses.
    start : sequence of Solution, optional
        Solutions of the same choices with other fuses, to begin from; else each begins from the usual one.
    """
    consumers, conditions = network.consumers, len(network.conditions)
    plain = np.where(consumers.on, consumers.reference_a, 0.0)
    differ = [np.flatnonzero((each != plain).any(axis=1)) for each in references]
    at = np.concatenate([np.tile(chosen, CORNERS) for chosen in differ]) if differ else np.zeros(0, dtype=np.int64)
    if not at.size:
        return [usual] * len(references)
    upper = (1.0 + consumers.upper)[:, None]
    reference = np.concatenate([part for each, chosen in zip(references, differ, strict=True)
                                for part in (each.T[:, chosen], each.T[:, chosen] * upper)], axis=1)
    places = [_places(chosen, conditions) for chosen in differ]
    begin = [usual] * len(places) if start is None else start
    rows, passes, settled = _settle(
        network, source, fuse_ohm, usual.wires, at, reference,
        np.concatenate([each.root_v[place] for each, place in zip(begin, places, strict=True)]),
        np.concatenate([each.across_v[place] for each, place in zip(begin, places, strict=True)]))
    whole = _Rows(*(getattr(usual, name) for name in _Rows._fields))
    found, low = [], 0
    for chosen in places:
        high = low + len(chosen)
        part = whole.replaced(chosen, _Rows(*(each[low:high] for each in rows)))
        found.append(replace(usual, **part._asdict(), passes=passes, settled=settled))
        low = high
    return found


def _places(conditions: Ints, count: int) -> Ints:
    """Rows of a solution that belong to some of its `count` conditions, corner by corner."""
    return np.concatenate([conditions + corner * count for corner in range(CORNERS)])


def _settle(network: Network, source: Source, fuse_ohm: Floats, wires: Wires, at: Ints, reference: Floats,
            root: Floats, across: Floats) -> tuple[_Rows, int, bool]:
    """Pass out and back until no voltage moves; rows are any conditions `at`, with their currents (L, R) and first
    guesses (R,), (R, L). Within, the rows lie on the last axis: what belongs to one node or consumer lies together."""
    consumers, alternator = network.consumers, network.alternator
    fused = np.zeros(network.supply.count)
    np.add.at(fused, network.fuse_node, fuse_ohm)
    supply, returns = _Branches.of(wires.supply, at, fused), _Branches.of(wires.returns, at)
    open_v, inner, available = source.open_circuit_v[at], source.internal_ohm[at], source.available_a[at]
    across, exponent = np.array(across.T, order="C"), consumers.exponent[:, None]
    terminal_less_root = np.zeros(len(at))
    settled, passes, moved = False, 0, np.inf
    while not settled and passes < MOST_PASSES:
        passes += 1
        fresh = moved > NEAR_V or moved < SETTLED_V
        if fresh:
            # The law of every load and its tangent; close to the solution the tangent serves.
            current = consumers.currents(across, reference)
            tangent = np.maximum(across, 0.1)
            np.divide(exponent, tangent, out=tangent)
            tangent *= current
            offset, slope = current - tangent * across, tangent.sum(axis=0)
        else:
            current = tangent * across
            current += offset
        demand = current.sum(axis=0)
        if alternator >= 0:
            terminal_less_root = across[alternator] - root
        new_root, alternator_a = root_of(root, demand, slope, open_v, inner, available, source.setpoint_v,
                                         terminal_less_root)
        if alternator >= 0:
            current[alternator] = -alternator_a
        supply_a, return_a = network.supply.sums(current), network.returns.sums(current)
        if fresh or moved > STILL_V:
            supply_ohm, return_ohm = supply.ohm(supply_a), returns.ohm(return_a)
        supply_v = network.supply.drops(supply_a * supply_ohm)
        np.subtract(new_root, supply_v, out=supply_v)
        return_v = network.returns.drops(return_a * return_ohm)
        new_across = supply_v.take(consumers.supply_node, axis=0)
        new_across -= return_v.take(consumers.return_node, axis=0)
        across -= new_across
        moved = max(float(np.abs(new_root - root).max(initial=0.0)),
                    float(across.max(initial=0.0)), -float(across.min(initial=0.0)))
        # A stiff row (cranking through a poor lead) swings; averaging every pass after the twelfth damps it.
        if passes <= 12:
            root, across = new_root, new_across
        else:
            root, across = 0.5 * (root + new_root), 0.5 * across + new_across
        settled = moved < SETTLED_V and fresh and passes > 1
    return _Rows(new_root, demand - alternator_a, alternator_a, supply_v.T, return_v.T, current.T, supply_a.T,
                 return_a.T, supply_ohm.T, return_ohm.T, new_across.T), passes, settled


class _Branches(NamedTuple):
    """How the branches of one tree warm in each row: arrays (N, 1) and (N, R)."""

    cold: Floats
    warm: Floats
    cap: Floats

    @classmethod
    def of(cls, side: Side, at: Ints, fused_ohm: Floats | float = 0.0) -> _Branches:
        """The branches in the conditions of the rows, with the cold resistance of their fuses."""
        cold = side.cold + fused_ohm
        return cls(cold[:, None], side.warm.T.take(at, axis=1), side.cap.T.take(at, axis=1))

    def ohm(self, current_a: Floats) -> Floats:
        """Resistance at a current, (N, R): ``cold + warm · min(I, cap)²``."""
        found = np.abs(current_a)
        np.minimum(found, self.cap, out=found)
        np.square(found, out=found)
        found *= self.warm
        found += self.cold
        return found


class _Rows(NamedTuple):
    """The arrays of a solution that have a row for each corner and condition, in its order."""

    root_v: Floats
    battery_a: Floats
    alternator_a: Floats
    supply_v: Floats
    return_v: Floats
    consumer_a: Floats
    supply_a: Floats
    return_a: Floats
    supply_ohm: Floats
    return_ohm: Floats
    across_v: Floats

    def replaced(self, rows: Ints, by: _Rows) -> _Rows:
        """A copy with some rows replaced; itself where none are, the others where all are."""
        if not rows.size:
            return self
        if len(rows) == len(self.root_v):
            return by
        copies = _Rows(*(each.copy("K") for each in self))
        for copy, new in zip(copies, by, strict=True):
            copy[rows] = new
        return copies


def root_of(root: Floats, demand: Floats, slope: Floats, open_v: Floats, inner: Floats, available: Floats,
          setpoint_v: float, terminal_less_root: Floats) -> tuple[Floats, Floats]:
    """Voltage of the battery post and current of the alternator, from the demand and its slope over voltage.

    Regulated: the alternator holds its own terminal at the set point while it can deliver. At its limit the post
    floats where demand equals output, as long as that is above the battery's rested voltage. Below, the battery
    gives the rest and the post follows it. A full battery takes no charge worth counting.
    """
    regulated = setpoint_v - terminal_less_root
    at_regulated = demand + slope * (regulated - root)
    holds = (available > 0) & (at_regulated <= available)
    with np.errstate(divide="ignore", invalid="ignore"):
        floating = root + (available - demand) / slope
        # Constant-power loads make the slope negative; the battery's own resistance keeps the sum in hand.
        held = np.maximum(slope, -0.5 / inner)
    floats = (available > 0) & ~holds & (slope > 0) & (floating >= open_v) & (floating <= regulated)
    drained = (open_v - inner * (demand - held * root - available)) / (1.0 + inner * held)
    new_root = np.where(holds, regulated, np.where(floats, floating, drained))
    delivered = np.where(holds, np.maximum(at_regulated, 0.0), available)
    return np.maximum(new_root, 0.0), delivered
