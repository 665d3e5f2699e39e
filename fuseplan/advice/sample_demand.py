"""Demands, drops and balances of many samples, as the engine defines them for its two corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fuseplan.advice.behind import Behind
from fuseplan.advice.sample_network import Row, SampleNetwork
from fuseplan.engine.consumers import ALTERNATOR, INTERMITTENT, LOAD, SHARE_STOPPED
from fuseplan.engine.demand import allowed_conditions, counts_in_interval, worst_of_groups
from fuseplan.engine.intervals import INTERVALS, LONGER_THAN_S
from fuseplan.engine.power import average_share
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX
from fuseplan.engine.tree import Tree
from fuseplan.formulas.load import load_current

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class SampleDemand:
    """Figures of n samples; currents in A, voltages in V."""

    load: Floats
    """(n, 3, L): each load at the voltage that is worst for it."""
    supply: Floats
    """(n, 3, supply nodes)."""
    returns: Floats
    """(n, 3, return nodes)."""
    total_v: Floats
    """(n, L): worst drop of each load over all conditions, -inf where it is never on; and its two parts."""
    supply_v: Floats
    return_v: Floats
    running_v: Floats
    """(n, L): lowest voltage across each load with the engine running, +inf where it is never on then."""
    average_a: Floats
    """(n, C): demand with every current weighed by its duty."""
    continuous_a: Floats
    """(n, C): loads in continuous and prolonged use."""


class SampleDemands:
    """What a set of samples is asked; made once for a plan."""

    def __init__(self, results: Results) -> None:
        self.results, self.network = results, SampleNetwork(results)
        self._held = None if results.held is None else SampleNetwork(results, results.source.strong)
        network = results.network
        self._supply = _Nodes(network.supply, list(network.feed_node.values()))
        self._returns = _Nodes(network.returns, list(network.earth_node.values()))
        self._allowed = allowed_conditions(network)
        self._masks = [np.unique(each, axis=1, return_inverse=True) for each in self._allowed]
        self._counts = np.stack([counts_in_interval(network, interval) for interval in range(len(INTERVALS))])

    def of(self, reference_a: Floats) -> SampleDemand:
        """Demands of samples.

        Parameters
        ----------
        reference_a : array (n, L)
            Reference current of every consumer [A].
        """
        network = self.results.network
        rows, mean = list(self.network.solve(reference_a)), self._mean(reference_a)
        count = len(reference_a)
        held = [] if self._held is None else list(self._held.solve(reference_a, choices=False))
        load = self._loads(reference_a, self._post([*rows, *held], mean), self._lowest(rows))
        together = worst_of_groups(network, load)
        supply = self._supply.own(together)
        returns = self._returns.own(together)
        supply[..., self._supply.shared] = self._shared(self._supply, [*rows, *held])
        returns[..., self._returns.shared] = self._shared(self._returns, [*rows, *held])
        if network.alternator >= 0 and self.results.source.alternator_known:
            supply[..., network.consumers.supply_node[network.alternator]] = self.results.source.rated_a
        total, out, back, running = self._drops(rows, count)
        average, continuous = self._balance(rows, mean)
        return SampleDemand(load, supply, returns, total, out, back, running, average, continuous)

    def _mean(self, reference_a: Floats) -> list[Row]:
        """The network on average demand; nothing where no duty is less than 1, the average then being the usual."""
        if average_share(self.results.network) is None:
            return []
        return list(self.network.solve(reference_a * self.results.network.consumers.duty, choices=False))

    def _post(self, rows: Sequence[Row], mean: Sequence[Row]) -> Floats:
        """Highest voltage of the battery post in each condition (n, C)."""
        out = np.full((len(rows[0].root_v), len(self.results.network.conditions)), -np.inf)
        for row in (*rows, *mean):
            out[:, row.condition] = np.maximum(out[:, row.condition], row.root_v)
        return out

    def _lowest(self, rows: Sequence[Row]) -> Floats:
        """Lowest voltage across each load of constant power in each condition (n, C, constant-power loads)."""
        falling = self.results.network.consumers.constant_power
        out = np.full((len(rows[0].root_v), len(self.results.network.conditions), falling.size), np.inf)
        for row in rows:
            for members, volts in ((row.on, row.across_v), (row.idle, row.idle_v)):
                _, columns, places = np.intersect1d(falling, members, assume_unique=True, return_indices=True)
                held = out[:, row.condition]
                held[:, columns] = np.minimum(held[:, columns], volts[:, places])
        return out

    def _loads(self, reference_a: Floats, post: Floats, lowest: Floats) -> Floats:
        consumers = self.results.network.consumers
        falling = consumers.constant_power
        out = np.zeros((len(reference_a), len(INTERVALS), consumers.count))
        if not consumers.count:
            return out
        for interval, (masks, which) in enumerate(self._masks):
            highest = np.stack([post[:, mask].max(axis=1) for mask in masks.T], axis=1)
            voltage = highest[:, which.reshape(-1)]
            voltage[:, falling] = np.where(self._allowed[interval][:, falling], lowest, np.inf).min(axis=1)
            current = load_current(reference_a, np.maximum(voltage, consumers.reference_v * SHARE_STOPPED),
                                   consumers.reference_v, consumers.exponent)
            out[:, interval] = current * (self._counts[interval] & (consumers.kind == LOAD))
        return out

    def _shared(self, nodes: _Nodes, rows: Sequence[Row]) -> Floats:
        network = self.results.network
        generator = network.consumers.kind == ALTERNATOR
        out = np.zeros((len(rows[0].root_v), len(INTERVALS), len(nodes.shared)))
        for row in rows:
            at_nodes, given = Behind(nodes.tree, nodes.shared, row.on), generator[row.on]
            holds = at_nodes.sums(given[:, None].astype(float))[:, 0] if given.any() else None
            for interval, longer in enumerate(LONGER_THAN_S):
                if network.duration_s[row.condition] > longer:
                    counted = row.current_a * (self._counts[interval, row.on] & ~given)
                    current = at_nodes.sums(counted.T).T
                    out[:, interval] = np.maximum(out[:, interval], np.abs(current))
                    if holds is not None:
                        out[:, interval] = np.maximum(out[:, interval],
                                                      np.abs(current - row.alternator_a[:, None] * holds))
        return out

    def _drops(self, rows: Sequence[Row], count: int) -> tuple[Floats, Floats, Floats, Floats]:
        network = self.results.network
        shape = (count, network.consumers.count)
        total, supply, returns = np.full(shape, -np.inf), np.zeros(shape), np.zeros(shape)
        running = np.full(shape, np.inf)
        for row in rows:
            lost = row.supply_drop_v + row.return_drop_v
            better = lost > total[:, row.on]
            for held, value in ((total, lost), (supply, row.supply_drop_v), (returns, row.return_drop_v)):
                held[:, row.on] = np.where(better, value, held[:, row.on])
            if network.state[row.condition] == STATE_INDEX["running"]:
                running[:, row.on] = np.minimum(running[:, row.on], row.across_v)
        return total, supply, returns, running

    def _balance(self, rows: Sequence[Row], mean: Sequence[Row]) -> tuple[Floats, Floats]:
        consumers = self.results.network.consumers
        real = consumers.kind != ALTERNATOR
        lasting = real & (consumers.use < INTERMITTENT)
        average = np.zeros((len(rows[0].root_v), len(self.results.network.conditions)))
        continuous = np.zeros_like(average)
        for row in rows:
            if row.choice == 0:
                continuous[:, row.condition] = row.current_a @ lasting[row.on].astype(float)
                average[:, row.condition] = row.current_a @ real[row.on].astype(float)
        for row in mean:
            average[:, row.condition] = row.current_a @ real[row.on].astype(float)
        return average, continuous


class _Nodes:
    """Who hangs behind which node of one tree."""

    def __init__(self, tree: Tree, shared: list[int]) -> None:
        self.tree, self.shared = tree, np.array(shared, dtype=np.int64)

    def own(self, current_a: Floats) -> Floats:
        """Sum behind each node (n, 3, nodes) from (n, 3, L)."""
        return np.ascontiguousarray(self.tree.branch_sums(current_a))
