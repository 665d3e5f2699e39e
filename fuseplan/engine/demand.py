"""The demand on every branch over three intervals, as an aircraft load analysis asks: 5 s, 5 min and continuous."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.consumers import ALTERNATOR, INTERMITTENT, LOAD, MOMENTARY
from fuseplan.engine.network import Network
from fuseplan.engine.solve import CORNERS, Solution
from fuseplan.engine.source import Source
from fuseplan.formulas.load import load_current

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

INTERVALS = ("5s", "5min", "continuous")
FIVE_S, FIVE_MIN, CONTINUOUS = range(3)
LONGER_THAN_S = (0.0, 5.0, 300.0)
"""A condition counts for an interval when it lasts longer than this."""


@dataclass(frozen=True)
class Demands:
    """Currents in A, axes (corner, interval, …). Corner 0 as entered, 1 at the upper bound of the evidence."""

    load: Floats
    """Each consumer at the bus voltage that is worst for it (2, 3, L)."""
    circuit: Floats
    """Loads of a circuit on together, the worst of each `either` group (2, 3, circuits)."""
    supply: Floats
    """Supply branches (2, 3, N)."""
    returns: Floats
    """Return branches (2, 3, M)."""
    segment: Floats
    """(2, 3, S)."""
    design_v: Floats
    """Bus voltage each consumer's demand is taken at (2, 3, L)."""

    @property
    def lasting(self) -> Floats:
        """What heats a segment for minutes: the larger of the 5 min and the continuous demand (2, S)."""
        return np.maximum(self.segment[:, FIVE_MIN], self.segment[:, CONTINUOUS])


def _allowed(network: Network, interval: int) -> Flags:
    """Conditions in which a consumer may be on, for an interval (C, L).

    Where it is on in no condition that long, the conditions it is on in; where in none at all, every condition.
    """
    on = network.consumers.possible
    allowed = on & (network.duration_s > LONGER_THAN_S[interval])[:, None]
    none = ~allowed.any(axis=0)
    if none.any():
        allowed[:, none] = on[:, none]
        still = ~allowed.any(axis=0)
        allowed[:, still] = True
    return allowed


def _in_interval(network: Network, interval: int) -> Flags:
    """Consumers whose use counts in an interval (L,)."""
    use = network.consumers.use
    if interval == FIVE_S:
        return np.ones(len(use), dtype=bool)
    return use < (MOMENTARY if interval == FIVE_MIN else INTERMITTENT)


def design_currents(network: Network, solution: Solution) -> tuple[Floats, Floats]:
    """Each consumer's current over each interval and the bus voltage it is taken at, both (2, 3, L)."""
    consumers = network.consumers
    bus = solution.root_v.reshape(CORNERS, -1)
    out = np.zeros((CORNERS, len(INTERVALS), consumers.count))
    at = np.zeros_like(out)
    falling = consumers.exponent < 0
    corner_reference = np.stack([consumers.reference_a, consumers.reference_a * (1.0 + consumers.tolerance)])
    for interval in range(len(INTERVALS)):
        allowed = _allowed(network, interval)[None]
        highest = np.where(allowed, bus[:, :, None], -np.inf).max(axis=1)
        lowest = np.where(allowed, bus[:, :, None], np.inf).min(axis=1)
        voltage = np.where(falling, lowest, highest)
        current = load_current(corner_reference, np.maximum(voltage, consumers.reference_v * 0.5),
                               consumers.reference_v, consumers.exponent)
        out[:, interval] = current * (_in_interval(network, interval) & (consumers.kind == LOAD))
        at[:, interval] = voltage
    return out, at


def _worst_of_groups(network: Network, current: Floats) -> Floats:
    """The demand with only the strongest member of each `either` group in each circuit left on."""
    consumers = network.consumers
    grouped = np.flatnonzero(consumers.group >= 0)
    if not grouped.size:
        return current
    kept = current.copy()
    keys = consumers.circuit[grouped] * (int(consumers.group.max()) + 1) + consumers.group[grouped]
    for key in np.unique(keys):
        members = grouped[keys == key]
        if len(members) > 1:
            strongest = current[..., members].argmax(axis=-1)
            mask = np.arange(len(members)) == strongest[..., None]
            kept[..., members] = np.where(mask, current[..., members], 0.0)
    return kept


def demands_of(network: Network, solution: Solution, source: Source) -> Demands:
    """Demands on loads, circuits, branches and segments."""
    consumers = network.consumers
    current, at = design_currents(network, solution)
    together = _worst_of_groups(network, current)
    circuits = len(network.circuit_ids)
    member = consumers.circuit >= 0
    circuit = np.zeros((CORNERS, len(INTERVALS), circuits))
    for corner in range(CORNERS):
        for interval in range(len(INTERVALS)):
            circuit[corner, interval] = np.bincount(
                consumers.circuit[member], weights=together[corner, interval, member], minlength=circuits)
    supply = _from_conditions(network, solution, network.supply.branch_sums, network.supply.count)
    returns = _from_conditions(network, solution, network.returns.branch_sums, network.returns.count)
    own_supply = network.supply.branch_sums(together)
    own_return = network.returns.branch_sums(together)
    feeds = np.zeros(network.supply.count, dtype=bool)
    feeds[list(network.feed_node.values())] = True
    earths = np.zeros(network.returns.count, dtype=bool)
    earths[list(network.earth_node.values())] = True
    supply = np.where(feeds, supply, own_supply)
    returns = np.where(earths, returns, own_return)
    if network.alternator >= 0 and source.alternator_known:
        supply[:, :, consumers.supply_node[network.alternator]] = source.rated_a
    segments = network.segments
    segment = np.empty((CORNERS, len(INTERVALS), segments.count))
    segment[..., ~segments.returns] = supply[..., segments.branch[~segments.returns]]
    segment[..., segments.returns] = returns[..., segments.branch[segments.returns]]
    return Demands(load=current, circuit=circuit, supply=supply, returns=returns, segment=segment, design_v=at)


def _from_conditions(network: Network, solution: Solution, sums: Callable[[Floats], Floats], count: int) -> Floats:
    """Demand on shared branches: the worst condition, with and without the alternator delivering (2, 3, count)."""
    consumers = network.consumers
    conditions = len(network.conditions)
    out = np.zeros((CORNERS, len(INTERVALS), count))
    generator = consumers.kind == ALTERNATOR
    for interval in range(len(INTERVALS)):
        counted = solution.consumer_a * (_in_interval(network, interval) & ~generator)
        current = np.abs(sums(counted))
        if network.alternator >= 0:
            counted[:, generator] = solution.consumer_a[:, generator]
            current = np.maximum(current, np.abs(sums(counted)))
        long_enough = network.duration_s > LONGER_THAN_S[interval]
        out[:, interval] = current.reshape(CORNERS, conditions, count)[:, long_enough].max(axis=1, initial=0.0)
    return out
