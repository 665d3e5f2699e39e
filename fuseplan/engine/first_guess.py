"""Ratings to solve a plan with that leaves some out, before the proposals are known."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.demand import Drawn, demands_of
from fuseplan.engine.fusing import fusing_of, proposals
from fuseplan.engine.network import Network
from fuseplan.engine.proposed_ratings import with_proposals
from fuseplan.engine.solve import Solution
from fuseplan.engine.source import Source
from fuseplan.engine.surges import surges_of

Floats = NDArray[np.float64]


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


def likely_ratings(network: Network, source: Source, usual: Solution, drawn: Drawn) -> Floats:
    """Rating of each device in A (J,): as entered, else what will most likely be proposed: what the alternator delivers
    is taken from a first solution, and short circuits are not looked at."""
    entered = network.entered_a
    if not np.isnan(entered).any():
        return entered
    demands = demands_of(network, drawn, [usual] * (1 + len(network.consumers.instead)), source)
    fusing = fusing_of(network, usual.wires.limit_a, demands)
    return with_proposals(network, surges_of(network, demands), fusing).rating_a
