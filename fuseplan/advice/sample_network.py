"""The network solved for many sets of loads at once: rows are samples, one condition after the other.

The same equations as the engine's solver, arranged for many rows and few columns: of each condition only what is on,
and only the branches that then carry current.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.advice.behind import Behind, Reach
from fuseplan.engine.consumers import Consumers
from fuseplan.engine.demand import allowed_conditions
from fuseplan.engine.passes import MOST_V
from fuseplan.engine.regulated import (
    EXACT_V,
    FREE,
    MOST_EXACT,
    MOST_PASSES,
    by_rule,
    creeps,
    doubtful,
    eased,
    root_of,
    shares,
)
from fuseplan.engine.results import Results
from fuseplan.engine.source import Source

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

SETTLED_V = 1e-4
"""A tenth of the millivolt the engine promises; shares of samples ask for no more."""


@dataclass(frozen=True)
class Row:
    """One condition in all samples (n). `on` numbers the K consumers that are on."""

    condition: int
    choice: int
    """0 with the strongest load of each `either` group on, 1 with the second …"""
    on: Ints
    root_v: Floats
    """(n,)."""
    current_a: Floats
    """(n, K)."""
    supply_drop_v: Floats
    """Battery post to each consumer (n, K)."""
    return_drop_v: Floats
    """Each consumer to battery negative (n, K)."""
    alternator_a: Floats
    """(n,)."""
    idle: Ints
    """The W loads of constant power that may be on in this condition and are not."""
    idle_v: Floats
    """Voltage across each of them (n, W)."""

    @property
    def across_v(self) -> Floats:
        """Voltage across each consumer that is on (n, K)."""
        return self.root_v[:, None] - self.supply_drop_v - self.return_drop_v


@dataclass(frozen=True)
class _Side:
    """Branches of one tree that carry current in one condition: who hangs behind which, how far the drops reach for
    those on and for the idle ones, and their resistance ``R = cold + warm · min(I, cap)²``, each (B, 1)."""

    behind: Behind
    on: Reach
    idle: Reach
    cold: Floats
    warm: Floats
    cap: Floats

    def ohm(self, through_a: Floats) -> Floats:
        """Resistance of each branch (B, n) at its current (B, n)."""
        found = np.abs(through_a)
        np.minimum(found, self.cap, out=found)
        np.square(found, out=found)
        found *= self.warm
        found += self.cold
        return found

    def lost(self, current_a: Floats) -> Floats:
        """Voltage lost in each branch (B, n) from the currents (K, n)."""
        through = self.behind.sums(current_a)
        through *= self.ohm(through)
        return through

    def way_ohm(self, current_a: Floats) -> Floats:
        """Resistance on the way to each consumer that is on (K, n)."""
        return self.behind.drops(self.ohm(self.behind.sums(current_a)), self.on)

    def drops(self, current_a: Floats) -> Floats:
        """Up to each consumer that is on (K, n)."""
        return self.behind.drops(self.lost(current_a), self.on)

    def idle_drops(self, current_a: Floats) -> Floats:
        """Up to each idle one (W, n)."""
        return self.behind.drops(self.lost(current_a), self.idle)


@dataclass(frozen=True)
class _Case:
    condition: int
    choice: int
    on: Ints
    idle: Ints
    consumers: Consumers
    supply: _Side
    returns: _Side
    alternator: int
    """Its place among those on, -1 for none."""
    start_v: Floats
    start_root_v: float


class SampleNetwork:
    """A plan's network made ready for many samples."""

    def __init__(self, results: Results, source: Source | None = None) -> None:
        self.results, self.source = results, results.source if source is None else source
        consumers = results.network.consumers
        self._allowed: Flags = np.asarray(allowed_conditions(results.network).any(axis=0))
        self._cases = []
        seen: set[tuple[int, bytes]] = set()
        for choice, on in enumerate((consumers.on, *consumers.instead)):
            for condition in range(len(results.network.conditions)):
                key = (condition, on[condition].tobytes())
                if key not in seen:
                    seen.add(key)
                    self._cases.append(self._case(condition, choice, np.flatnonzero(on[condition])))

    def _case(self, condition: int, choice: int, on: Ints) -> _Case:
        results, network = self.results, self.results.network
        consumers, solution, wires = network.consumers, results.solution, results.solution.wires
        chosen = replace(
            consumers, reference_v=consumers.reference_v[on], exponent=consumers.exponent[on],
            lamps=_places(consumers.lamps, on), constant_power=_places(consumers.constant_power, on),
            constant_current=_places(consumers.constant_current, on))
        falling = consumers.constant_power if choice == 0 else consumers.constant_power[:0]
        idle = np.setdiff1d(falling[self._allowed[condition, falling]], on)
        fuses = np.zeros(network.supply.count)
        np.add.at(fuses, network.fuse_node, results.fuse_ohm)
        found = np.flatnonzero(on == network.alternator)
        sides = []
        for tree, side, extra in ((network.supply, wires.supply, fuses), (network.returns, wires.returns, 0.0)):
            cold = side.cold + extra
            used = np.flatnonzero(Behind(tree, np.arange(tree.count), on).any & (cold + side.warm[condition] > 0))
            chosen_here = Behind(tree, used, on)
            sides.append(_Side(chosen_here, chosen_here.reach(on), chosen_here.reach(idle), cold[used, None],
                               side.warm[condition, used, None], side.cap[condition, used, None]))
        return _Case(condition, choice, on, idle, chosen, sides[0], sides[1], int(found[0]) if found.size else -1,
                     solution.across_v[condition, on], float(solution.root_v[condition]))

    def solve(self, reference_a: Floats, choices: bool = True) -> Iterator[Row]:
        """Solve every condition.

        Parameters
        ----------
        reference_a : array (n, L)
            Reference current of every consumer in every sample [A].
        choices : bool
            With the second, third … load of each `either` group on, too.
        """
        for case in self._cases:
            if choices or case.choice == 0:
                yield self._solve(case, np.ascontiguousarray(reference_a.T[case.on]))

    def _solve(self, case: _Case, reference: Floats) -> Row:
        rows, condition = reference.shape[1], case.condition
        turning = self.source.available_a[condition] > 0
        start = self.source.regulator_v if turning else float(self.source.open_circuit_v[condition])
        lost = math.isnan(case.start_root_v)
        found, doubted = self._passes(
            case, reference, np.full(rows, start if lost else case.start_root_v),
            np.repeat((np.full_like(case.start_v, start) if lost else case.start_v)[:, None], rows, axis=1), FREE)

        def again(which: Ints, way: int) -> Floats:
            nonlocal found
            part, _ = self._passes(case, reference[:, which], np.full(len(which), start),
                                   np.full((len(reference), len(which)), start), way)
            found = found.replaced(which, part)
            return part.demand_a

        by_rule(doubted, np.full(rows, self.source.available_a[condition]), again)
        idle_v = np.zeros((0, rows))
        if case.idle.size:
            idle_v = found.root_v - case.supply.idle_drops(found.current_a) - case.returns.idle_drops(found.current_a)
        return Row(condition, case.choice, case.on, found.root_v, found.current_a.T, found.supply_v.T, found.return_v.T,
                   found.alternator_a, case.idle, idle_v.T)

    def _passes(self, case: _Case, reference: Floats, root: Floats, across: Floats, way: int) -> tuple[_Found, Ints]:
        """Pass until no voltage moves; what is found, and the rows that may have another solution. Samples lie on the
        last axis."""
        source, at, rows, consumers = self.source, case.condition, len(root), case.consumers
        open_v, inner, available = (np.full(rows, each[at]) for each in (source.open_circuit_v, source.internal_ohm,
                                                                         source.available_a))
        settled_v, most = (SETTLED_V, MOST_PASSES) if way == FREE else (EXACT_V, MOST_EXACT)
        terminal, share, before, slow, last = np.zeros(rows), np.ones(rows), None, False, np.inf
        for passes in range(1, most + 1):
            current = consumers.currents(across, reference)
            slopes = consumers.slopes(across, current)
            slope, demand = slopes.sum(axis=0), current.sum(axis=0)
            if case.alternator >= 0:
                terminal = across[case.alternator] - root
            new_root, delivered = root_of(root, demand, slope, open_v, inner, available, source.regulator_v, terminal,
                                          way)
            if case.alternator >= 0:
                current[case.alternator] = -delivered
            supply, returns = case.supply.drops(current), case.returns.drops(current)
            new_across = np.clip(new_root - supply - returns, -MOST_V, MOST_V)
            move = new_across - across
            moved = np.maximum(np.abs(new_root - root), np.abs(move).max(axis=0, initial=0.0))
            most_moved = float(moved.max(initial=0.0))
            slow, last = slow or creeps(passes, most_moved, last), most_moved
            if slow:
                share, before = shares(before, move, share, passes), move
                own = eased(slopes, case.supply.way_ohm(current) + case.returns.way_ohm(current))
                root, across = root + share * (new_root - root), across + share * own * move
            else:
                root, across = new_root, new_across
            if most_moved < settled_v and passes > 1:
                break
        falling = consumers.constant_power
        doubted = doubtful(new_root, demand, slope, available, source.regulator_v, terminal, delivered,
                           current[falling], new_across[falling], moved >= settled_v)
        return _Found(new_root, demand, current, supply, returns, delivered), doubted


class _Found(NamedTuple):
    """What passes end in, arrays (n,) or (K, n)."""

    root_v: Floats
    demand_a: Floats
    current_a: Floats
    supply_v: Floats
    return_v: Floats
    alternator_a: Floats

    def replaced(self, rows: Ints, by: _Found) -> _Found:
        """A copy with some rows replaced."""
        copies = _Found(*(each.copy() for each in self))
        for copy, new in zip(copies, by, strict=True):
            copy[..., rows] = new
        return copies


def _places(numbers: Ints, on: Ints) -> Ints:
    """Where, among those on, consumers of some kind are."""
    return np.flatnonzero(np.isin(on, numbers))
