"""Ratings to solve a plan with that leaves some out, before the proposals are known."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.consumers import ALTERNATOR
from fuseplan.engine.demand import Demands, design_currents, worst_of_groups
from fuseplan.engine.fusing import fusing_of, proposals
from fuseplan.engine.network import Network
from fuseplan.engine.proposed_ratings import with_proposals
from fuseplan.engine.solve import CORNERS, Solution
from fuseplan.engine.source import Source
from fuseplan.formulas.load import average_current

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


def likely_ratings(network: Network, source: Source, usual: Solution) -> Floats:
    """Rating of each device in A (J,): as entered, else what will most likely be proposed.

    The demands are taken from a first solution, with the post at the regulator voltage where the output covers the
    loads' plain sum on average; the other choices of what is on are not looked at.
    """
    entered = network.entered_a
    if not np.isnan(entered).any():
        return entered
    consumers = network.consumers
    plain = np.where(consumers.on & (consumers.kind != ALTERNATOR), consumers.reference_a, 0.0)
    mean = np.asarray(average_current(plain, consumers.duty)).sum(axis=1)
    held = (source.available_a > 0) & (mean <= source.available_a)
    shape = (CORNERS, len(network.conditions))
    post = np.where(held, np.maximum(usual.root_v.reshape(shape), source.regulator_v), usual.root_v.reshape(shape))
    falling = consumers.constant_power
    current = design_currents(network, network.bounds, post, usual.cases.parted(usual.across(falling)))
    supply = network.supply.branch_sums(worst_of_groups(network, current))
    nothing = np.zeros((CORNERS, supply.shape[1], 0))
    demands = Demands(load=current, circuit=supply[..., network.circuit_node], supply=supply, returns=nothing,
                      segment=nothing)
    return with_proposals(network, demands, fusing_of(network, usual.wires.limit_a, demands)).rating_a
