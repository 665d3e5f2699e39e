"""Node voltages and branch currents of the whole car, all conditions and both ends of the evidence at once.

Rows are (corner, condition): corner 0 takes every load as entered, corner 1 at the upper bound of its evidence.
Each pass goes out from the loads to the root (sums of current) and back from the root to the loads (drops), with
wire resistance at conductor temperature, until no voltage moves.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.network import Network
from fuseplan.engine.source import Source
from fuseplan.engine.wiring import ampacities
from fuseplan.formulas.resistance import copper_temperature_factor

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

CORNERS = 2
SETTLED_V = 1e-5
"""A pass that moves no voltage by more than this ends the solution; a hundredth of the millivolt promised."""
MOST_PASSES = 80
SHORTEST_HEATING_S = 60.0
"""A condition shorter than this leaves a conductor at its ambient temperature."""
HOTTEST_SHARE = 4.0
"""Conductor rise is followed up to this multiple of the permitted rise; beyond, the wire has long failed its check."""


@dataclass(frozen=True)
class Solution:
    """The solved network. R = corners × conditions rows; row ``corner · C + condition``."""

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
    segment_a: Floats
    """(R, S)."""
    segment_ohm: Floats
    """Resistance at conductor temperature (R, S)."""
    segment_c: Floats
    """Conductor temperature (R, S)."""
    ampacity_a: Floats
    """Derated ampacity (C, S)."""
    loaded: Ints
    """Conductors counted in the fullest run of each segment (C, S)."""
    supply_ohm: Floats
    return_ohm: Floats
    passes: int
    settled: bool

    def load_v(self, network: Network) -> Floats:
        """Voltage across every consumer (R, L)."""
        consumers = network.consumers
        return self.supply_v[:, consumers.supply_node] - self.return_v[:, consumers.return_node]


class _Branches:
    """Resistances of the branches of one tree, from the segments that make them."""

    def __init__(self, segments: Ints, branch: Ints, base: Floats) -> None:
        self.order = segments[np.argsort(branch[segments], kind="stable")]
        self.nodes, first = np.unique(branch[self.order], return_index=True)
        self.first = first
        self.base = base

    def resistance(self, segment_ohm: Floats) -> Floats:
        total = np.repeat(self.base[None, :], segment_ohm.shape[0], axis=0)
        if self.order.size:
            total[:, self.nodes] += np.add.reduceat(segment_ohm[:, self.order], self.first, axis=1)
        return total


def segment_currents(network: Network, supply_a: Floats, return_a: Floats) -> Floats:
    """Current of each segment, (R, S), from the currents of the branches."""
    segments = network.segments
    out = np.empty((supply_a.shape[0], segments.count))
    returns = segments.returns
    out[:, ~returns] = supply_a[:, segments.branch[~returns]]
    out[:, returns] = return_a[:, segments.branch[returns]]
    return np.abs(out)


def solve(network: Network, source: Source, fuse_ohm: Floats, on: Flags | None = None) -> Solution:
    """Solve the network.

    Parameters
    ----------
    network : Network
    source : Source
    fuse_ohm : array (J,)
        Cold resistance of each fuse [ohm].
    on : array (C, L), optional
        What is on in each condition, where it is not what the network says.
    """
    consumers, segments = network.consumers, network.segments
    conditions, alternator = len(network.conditions), network.alternator
    rows = CORNERS * conditions
    reference = np.where(consumers.on if on is None else on, consumers.reference_a, 0.0)
    reference = np.concatenate([reference, reference * (1.0 + consumers.tolerance)])

    nominal = segment_currents(network, network.supply.branch_sums(reference[:conditions]),
                               network.returns.branch_sums(reference[:conditions]))
    ampacity, loaded = ampacities(segments, len(network.plan.run), nominal, network.guidance)
    ampacity_rows = np.concatenate([ampacity, ampacity])
    heated = np.concatenate([network.duration_s, network.duration_s]) >= SHORTEST_HEATING_S
    with np.errstate(divide="ignore", invalid="ignore"):
        rise_per_a2 = np.where(heated[:, None], (segments.max_c - segments.ambient_c) / ampacity_rows**2, 0.0)
    rise_per_a2 = np.where(np.isfinite(rise_per_a2), np.maximum(rise_per_a2, 0.0), 0.0)
    most_rise = HOTTEST_SHARE * np.maximum(segments.max_c - segments.ambient_c, 1.0)

    supply_base = network.supply_base.copy()
    np.add.at(supply_base, network.fuse_node, fuse_ohm)
    numbers = np.arange(segments.count)
    supply = _Branches(numbers[~segments.returns], segments.branch, supply_base)
    returns = _Branches(numbers[segments.returns], segments.branch, network.returns_base)

    open_v, inner = np.tile(source.open_circuit_v, CORNERS), np.tile(source.internal_ohm, CORNERS)
    available = np.tile(source.available_a, CORNERS)
    charging = available > 0
    root = np.where(charging, source.setpoint_v, open_v)
    across = np.repeat(root[:, None], consumers.count, axis=1)
    alternator_a = np.zeros(rows)
    temperature = np.repeat(segments.ambient_c[None, :], rows, axis=0)
    segment_ohm = segments.r20_ohm * copper_temperature_factor(temperature)
    supply_ohm, return_ohm = supply.resistance(segment_ohm), returns.resistance(segment_ohm)
    settled, passes = False, 0
    while not settled and passes < MOST_PASSES:
        passes += 1
        current = consumers.currents(across, reference)
        demand = current.sum(axis=1)
        safe = np.maximum(across, 0.1)
        slope = (current * consumers.exponent / safe).sum(axis=1)
        terminal_less_root = np.zeros(rows)
        if alternator >= 0:
            terminal_less_root = across[:, alternator] - root
        new_root, alternator_a = _root(root, demand, slope, open_v, inner, available, source.setpoint_v,
                                       terminal_less_root)
        if alternator >= 0:
            current[:, alternator] = -alternator_a
        supply_a = network.supply.branch_sums(current)
        return_a = network.returns.branch_sums(current)
        segment_a = segment_currents(network, supply_a, return_a)
        if passes > 1:
            rise = np.minimum(rise_per_a2 * segment_a**2, most_rise)
            temperature = segments.ambient_c + rise
            segment_ohm = segments.r20_ohm * copper_temperature_factor(temperature)
            supply_ohm, return_ohm = supply.resistance(segment_ohm), returns.resistance(segment_ohm)
        supply_v = new_root[:, None] - network.supply.path_drops(supply_a * supply_ohm)
        return_v = network.returns.path_drops(return_a * return_ohm)
        new_across = supply_v[:, consumers.supply_node] - return_v[:, consumers.return_node]
        moved = float(np.abs(new_root - root).max(initial=0.0))
        if consumers.count:
            moved = max(moved, float(np.abs(new_across - across).max()))
        # A stiff row (cranking through a poor lead) swings; averaging every pass after the tenth damps it.
        blend = 1.0 if passes <= 10 else 0.5
        root = root + blend * (new_root - root)
        across = across + blend * (new_across - across)
        settled = moved < SETTLED_V and passes > 2
    return Solution(
        root_v=root, battery_a=demand - alternator_a, alternator_a=alternator_a, supply_v=supply_v, return_v=return_v,
        consumer_a=current, supply_a=supply_a, return_a=return_a, segment_a=segment_a, segment_ohm=segment_ohm,
        segment_c=temperature, ampacity_a=ampacity, loaded=loaded, supply_ohm=supply_ohm, return_ohm=return_ohm,
        passes=passes, settled=settled,
    )


def _root(root: Floats, demand: Floats, slope: Floats, open_v: Floats, inner: Floats, available: Floats,
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
    floats = (available > 0) & ~holds & (slope > 0) & (floating >= open_v) & (floating <= regulated)
    drained = (open_v - inner * (demand - slope * root - available)) / (1.0 + inner * np.maximum(slope, 0.0))
    new_root = np.where(holds, regulated, np.where(floats, floating, drained))
    delivered = np.where(holds, np.maximum(at_regulated, 0.0), available)
    return np.maximum(new_root, 0.0), delivered
