"""Node voltages and branch currents of the whole car, all conditions and both ends of the evidence at once.

Rows are (corner, condition): corner 0 takes every load as entered, corner 1 at the upper bound of its evidence.
`engine/passes.py` says how they settle, `engine/regulated.py` which state counts where there are several.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.network import Network
from fuseplan.engine.passes import Rows, settle
from fuseplan.engine.source import Source
from fuseplan.engine.warming import Wires, segment_currents, wires_of
from fuseplan.formulas.resistance import copper_temperature_factor

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

CORNERS = 2


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
    reference = with_upper(network, consumers.on if on is None else on)
    if wires is None:
        wires = wires_of(network) if start is None else start.wires
    if start is None:
        root = np.where(source.available_a > 0, source.regulator_v, source.open_circuit_v)[at]
        across = np.repeat(root[None, :], consumers.count, axis=0).T
    else:
        root, across = start.root_v, start.across_v
    rows, passes, settled = settle(network, source, fuse_ohm, wires, at, reference, root, across)
    return Solution(network, *rows, ampacity_a=wires.ampacity_a, loaded=wires.loaded, passes=passes, settled=settled,
                    wires=wires)


def solve_choices(network: Network, source: Source, fuse_ohm: Floats, shares: Sequence[Floats | Flags],
                  usual: Solution, start: Sequence[Solution] | None = None) -> list[Solution]:
    """Solve the network for other choices of what is on, each in the conditions in which it differs from the usual.

    Parameters
    ----------
    network : Network
    source : Source
    fuse_ohm : array (J,)
        Cold resistance of each fuse [ohm].
    shares : sequence of array (C, L)
        Share of its current each consumer draws in every condition, 0 where it is off; one for each choice.
    usual : Solution
        The solution for what the network says is on, with the same fuses.
    start : sequence of Solution, optional
        Solutions of the same choices with other fuses, to begin from; else each begins from the usual one.
    """
    consumers, conditions = network.consumers, len(network.conditions)
    differ = [np.flatnonzero((each != consumers.on).any(axis=1)) for each in shares]
    at = np.concatenate([np.tile(chosen, CORNERS) for chosen in differ]) if differ else np.zeros(0, dtype=np.int64)
    if not at.size:
        return [usual] * len(shares)
    reference = np.concatenate([with_upper(network, each[chosen]) for each, chosen in
                                zip(shares, differ, strict=True)], axis=1)
    places = [_places(chosen, conditions) for chosen in differ]
    begin = [usual] * len(places) if start is None else start
    rows, passes, settled = settle(
        network, source, fuse_ohm, usual.wires, at, reference,
        np.concatenate([each.root_v[place] for each, place in zip(begin, places, strict=True)]),
        np.concatenate([each.across_v[place] for each, place in zip(begin, places, strict=True)]))
    whole = Rows(*(getattr(usual, name) for name in Rows._fields))
    found, low = [], 0
    for chosen in places:
        high = low + len(chosen)
        part = whole.replaced(chosen, Rows(*(each[low:high] for each in rows)))
        found.append(replace(usual, **part._asdict(), passes=passes, settled=settled))
        low = high
    return found


def with_upper(network: Network, share: Floats | Flags) -> Floats:
    """Reference currents as entered and at their upper bound (L, R) [A], from the share of it that each consumer draws
    in each condition (C, L)."""
    consumers = network.consumers
    return np.concatenate([share.T * consumers.reference_a[:, None], share.T * consumers.most_a[:, None]], axis=1)


def _places(conditions: Ints, count: int) -> Ints:
    """Rows of a solution that belong to some of its `count` conditions, corner by corner."""
    return np.concatenate([conditions + corner * count for corner in range(CORNERS)])
