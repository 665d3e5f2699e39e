"""Ratings to solve a plan with that leaves some out, before the proposals are known."""

from __future__ import annotations

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.demand import Demands, Drawn, demands_of
from fuseplan.engine.equality import equal
from fuseplan.engine.fusing import fusing_of, proposals
from fuseplan.engine.network import Network
from fuseplan.engine.proposed_ratings import Ranges, with_proposals
from fuseplan.engine.solve import Solution
from fuseplan.engine.source import Source
from fuseplan.engine.surges import surges_of
from fuseplan.trace import recording


def plain_ratings(network: Network) -> Floats:
    """Rating of each device in A (J,): as entered, else the smallest sold above the plain sum of the loads behind it.

    Good enough for the resistance of a fuse in a first solution.
    """
    entered = network.entered_a
    if not np.isnan(entered).any():
        return entered
    behind = network.supply.branch_sums(network.consumers.reference_a[None, :], network.fuse_node)[0]
    need = behind / network.limit_set.fuse.continuous_share
    return np.where(np.isnan(entered), proposals(network, np.stack([need, need]), np.full(len(need), np.inf)), entered)


def ranges_of(network: Network, limit_a: Floats, demands: Demands, before: Ranges | None = None) -> Ranges:
    """Surges and fuse ranges of demands; `limit_a` is the ampacity of each segment (S,). Those of the same network
    `before`, where its demands are no others."""
    if before is not None and not recording() and equal(demands, before.demands):
        return before
    return Ranges(network, demands, surges_of(network, demands), fusing_of(network, limit_a, demands))


def likely_ratings(network: Network, source: Source, usual: Solution, drawn: Drawn) -> tuple[Floats, Ranges | None]:
    """Rating of each device in A (J,): as entered, else what will most likely be proposed: what the alternator delivers
    is taken from a first solution, and short circuits are not looked at. With it the ranges they were taken from."""
    entered = network.entered_a
    if not np.isnan(entered).any():
        return entered, None
    demands = demands_of(network, drawn, [usual] * (1 + len(network.consumers.instead)), source)
    ranges = ranges_of(network, usual.wires.limit_a, demands)
    return with_proposals(ranges).rating_a, ranges
