"""The results of many samples of the currents: the same solver, demands and drops, a sample being a case.

The rows of a sample's conditions are solved condition by condition: of each only what is on, and the branches that
then carry current.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.case_figures import CaseFigures
from fuseplan.engine.cases import Cases
from fuseplan.engine.demand import demands_of, drawn_of
from fuseplan.engine.drops import drops_of
from fuseplan.engine.fusing import load_side
from fuseplan.engine.part import Part, part_of
from fuseplan.engine.passes import Rows, at_nodes, settle
from fuseplan.engine.power import alternator_gives, average_demand, average_share, continuous_demand, held_back
from fuseplan.engine.relays import switching_of
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution, Solved
from fuseplan.engine.source import Source

SAMPLED_V = 1e-4
"""A pass that moves no voltage of any sample by more than this ends the solution: the next would move less again."""
STEP = 0.2
"""Share of its current by which a consumer's is raised to see what that moves."""
MOST_AT_ONCE = 1250
MOST_CELLS = 4_000_000
"""Currents of consumers held at once, of all conditions."""


class Sampler:
    """A solved plan made ready for many samples of its currents."""

    def __init__(self, results: Results) -> None:
        self.results = results
        self._fused = at_nodes(results.network, results.fuse_ohm)
        self._mean = average_share(results.network)
        self._parts: dict[bytes, Part] = {}
        self._courses: dict[tuple[int, int], Course] = {}
        cells = len(results.network.conditions) * max(results.network.consumers.count, 1)
        self.at_once = max(1, min(MOST_AT_ONCE, MOST_CELLS // cells))
        """How many samples to ask for at once."""

    def of(self, reference_a: Floats) -> CaseFigures:
        """The figures of samples, a sample being a case.

        Args:
            reference_a: reference current of every consumer [A] (n, L)
        """
        results, network, source = self.results, self.results.network, self.results.source
        consumers = network.consumers
        # All samples of one consumer lie together: what is asked of consumers and nodes one after the other.
        cases = Cases(np.asfortranarray(reference_a), len(network.conditions), False)
        usual = self._solved(cases, consumers.on, source, results.solution)
        # Demands and drops look at another choice where it differs from the usual one, and nowhere else.
        choices = [usual, *(self._solved(cases, on, source, start, asked=(on != consumers.on).any(axis=1))
                            for on, start in zip(consumers.instead, results.choices[1:], strict=True))]
        average = usual if self._mean is None else \
            self._solved(cases, self._mean, source, results.balance.average, usual,
                         source.running & source.alternator_known)
        regulated = None if results.regulated is None else \
            self._solved(cases, consumers.on, source.strong, results.regulated)
        demands = demands_of(network, drawn_of(network, cases, source), choices, source, regulated)
        kept = held_back(average, source.available_a)
        available = np.where(kept, alternator_gives(average), source.available_a)
        demand = average_demand(average, available)
        return CaseFigures(
            usual, usual if regulated is None else regulated, demands,
            drops_of(network, choices, [consumers.on, *consumers.instead]), switching_of(network, demands),
            load_side(network, demands.supply[:, :, network.fuse_node])[1],
            demand, np.where(kept, demand - available, 0.0), continuous_demand(average))

    def _solved(self, cases: Cases, share: Floats | Flags, source: Source, start: Solution,
                usual: Solved | None = None, asked: Flags | None = None) -> Solved:
        """The network with each consumer drawing a share of its current (C, L), begun from a solution of the plan;
        where nothing differs from what is `usual`, what was found then, and currents and battery post alone. A row in
        which no state was found that can be keeps the figures of the last pass; in conditions not asked for (C,) it has
        no figures: currents and battery post are NaN."""
        network, count = self.results.network, cases.count
        widths = (network.supply.count, network.returns.count) if usual is None else (0, 0)
        root = np.empty(count * cases.conditions)
        supply, returns, current = (np.zeros((width, len(root))) for width in (*widths, network.consumers.count))
        for condition, drawn in enumerate(share):
            rows = slice(condition * count, (condition + 1) * count)
            if asked is not None and not asked[condition]:
                root[rows] = current[:, rows] = np.nan
                continue
            if usual is not None and np.array_equal(drawn, network.consumers.on[condition]):
                root[rows], current[:, rows] = usual.root_v[rows], usual.consumer_a.T[:, rows]
                continue
            on = np.flatnonzero(drawn)
            part = self._part(on)
            own = cases.reference_a.T[on] * drawn[on, None]
            begun = self._begun(part, source, condition, drawn, start, own)
            found = self._settled(part, source, condition, own, *begun)
            root[rows], current[on, rows] = found.root_v, found.consumer_a.T
            if usual is None:
                supply[:, rows] = found.supply_v.T[part.supply.near]
                returns[:, rows] = found.return_v.T[part.returns.near]
        return Solved(network, cases, root, supply.T, returns.T, current.T)

    def _settled(self, part: Part, source: Source, condition: int, own: Floats, root: Floats, across: Floats) -> Rows:
        return settle(part, source, self._fused, self.results.solution.wires, np.full(own.shape[1], condition), own,
                      root, across, settled_v=SAMPLED_V)[0]

    def _begun(self, part: Part, source: Source, condition: int, drawn: Floats | Flags, start: Solution, own: Floats
               ) -> tuple[Floats, Floats]:
        """Voltages to begin samples of the currents of a part from (n,), (n, K): those of a solution of the plan, and
        where there are more samples than consumers, what each current moves them by, as if it did so evenly."""
        on, count = part.on, own.shape[1]
        root, across = start.root_v[condition], start.across_v[condition, on]
        if count <= part.count:
            return np.full(count, root), np.tile(across, (count, 1))
        key = (id(start), condition)
        if key not in self._courses:
            plan = self.results.network.consumers
            entered = plan.reference_a[on] * drawn[on]
            step = np.where(entered > 0, STEP * entered, STEP)
            found = self._settled(part, source, condition, entered[:, None] + np.diag(step),
                                  np.full(part.count, root), np.tile(across, (part.count, 1)))
            self._courses[key] = Course(entered, (found.root_v - root) / step,
                                        (found.across_v - across) / step[:, None])
        course = self._courses[key]
        away = own - course.entered_a[:, None]
        # Not by `@`: the threads of its library cost more than they do.
        return (root + np.einsum("i,ij->j", course.root_ohm, away),
                across + np.einsum("ik,ij->kj", course.across_ohm, away).T)

    def _part(self, on: Ints) -> Part:
        key = on.tobytes()
        if key not in self._parts:
            self._parts[key] = part_of(self.results.network, on)
        return self._parts[key]


class Course(NamedTuple):
    """How the voltages of a part move with the currents of its K consumers."""

    entered_a: Floats
    """The currents as entered (K,) [A]."""
    root_ohm: Floats
    """What the battery post moves by with each (K,) [V/A]."""
    across_ohm: Floats
    """What the voltage across each consumer moves by with each current (K, K) [V/A], the current first."""
