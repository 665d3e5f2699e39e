"""The passes that settle the network's voltages, all rows at once; a row is one condition at one end of the evidence.

Each pass goes out from the loads to the root (sums of current) and back from the root to the loads (drops), with
wire resistance at conductor temperature, until no voltage moves.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.laws import Laws
from fuseplan.engine.network import Network
from fuseplan.engine.part import OWN_TERMINAL, POST, Part
from fuseplan.engine.regulated import (
    EXACT_V,
    FREE,
    LIMITED,
    MOST_EXACT,
    MOST_PASSES,
    REGULATED,
    by_rule,
    creeps,
    doubtful,
    eased,
    helped,
    root_of,
    shares,
)
from fuseplan.engine.source import Source
from fuseplan.engine.warming import Branches, Wires

SETTLED_V = 2e-5
"""A pass that moves no voltage by more than this ends the solution: a fiftieth of the millivolt promised, and each pass
brings the error down several times."""
MOST_V = 1000.0
"""No voltage of a car comes near it: passes that run away are held here, where squares of currents can be formed."""
STRAY_V, STRAY_A, STRAY_SHARE = 0.01, 1e-3, 1e-3
"""What a row whose voltages did not settle may still be off by, together, and count as solved."""


class Rows(NamedTuple):
    """The arrays of a solution that have a row for each bound and condition, in its order."""

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

    def replaced(self, rows: Ints, by: Rows) -> Rows:
        """A copy with some rows replaced; itself where none are, the others where all are."""
        if not rows.size:
            return self
        if len(rows) == len(self.root_v):
            return by
        # All rows of one node or consumer lie together.
        found = [each.T.copy("C") for each in self]
        for each, new in zip(found, by, strict=True):
            each[..., rows] = new.T
        return Rows(*(each.T for each in found))


def at_nodes(network: Network, fuse_ohm: Floats) -> Floats:
    """Resistance of the fuses by supply node (N,)."""
    fused = np.zeros(network.supply.count)
    np.add.at(fused, network.fuse_node, fuse_ohm)
    return fused


def settle(part: Part, source: Source, fused: Floats, wires: Wires, at: Ints, reference: Floats, root: Floats,
           across: Floats, earthed: Floats | float = 0.0, settled_v: float = SETTLED_V) -> tuple[Rows, int, Flags]:
    """Solve rows of any conditions `at` for what is on in them, with their currents (K, R), first guesses (R,), (R, K)
    and fuses by supply node. What is added to the resistance of supply nodes, fuses and all, and of return nodes may
    be another in each row: (N, R), (M, R). Where more than one state balances it is the one that the rule prefers,
    whatever the guesses. `settled_v` is the most that the last pass may move a voltage by. Returns the rows, the passes
    made, and which rows still moved (R,)."""
    first = np.where(source.available_a > 0, source.regulator_v, source.open_circuit_v)[at]
    root = np.where(np.isnan(root), first, root)
    across = np.where(np.isnan(across), first[:, None], across)
    found, passes, moving, doubted = passes_of(part, source, fused, wires, at, reference, root, across, FREE, earthed,
                                               settled_v)

    def again(rows: Ints, way: int) -> Floats:
        nonlocal found
        there = at[rows]
        start = first[rows]
        better, _, moving[rows], _ = passes_of(part, source, _of_rows(fused, rows), wires, there, reference[:, rows],
                                               start, np.repeat(start[:, None], part.count, axis=1), way,
                                               _of_rows(earthed, rows))
        found = found.replaced(rows, better)
        return better.alternator_a

    by_rule(doubted, source.available_a[at], again)
    return found, passes, moving


def impossible(laws: Laws, source: Source, at: Ints, reference: Floats, found: Rows, moving: Flags) -> Ints:
    """Numbers of the rows that are no state a car can be in: voltage of the wrong sign, or above all that feeds it,
    across what draws current; or the passes ended with loads that do not draw what their law says."""
    draws = (reference > 0).T
    terminal_v = source.regulator_v + source.made_up_v
    highest = np.maximum(source.open_circuit_v, np.where(source.available_a > 0, terminal_v, 0.0))[at]
    lost = np.where(draws, found.across_v, 0.0).min(axis=1, initial=0.0) < -STRAY_V
    lost |= np.where(draws, found.across_v, 0.0).max(axis=1, initial=0.0) > highest + STRAY_V
    left = np.flatnonzero(moving & ~lost)
    if left.size:
        law = laws.currents(np.array(found.across_v[left].T, order="C"), reference[:, left])
        off = np.where(draws[left].T, np.abs(law - found.consumer_a[left].T), 0.0).sum(axis=0)
        lost[left] = off > STRAY_SHARE * law.sum(axis=0) + STRAY_A
    return np.flatnonzero(lost)


def _of_rows(added: Floats | float, rows: Ints) -> Floats:
    """What is added to resistances, of some rows only where it has rows."""
    whole = np.asarray(added, dtype=float)
    return whole[:, rows] if whole.ndim == 2 else whole


def passes_of(part: Part, source: Source, fused: Floats, wires: Wires, at: Ints, reference: Floats, root: Floats,
              across: Floats, way: int, earthed: Floats | float = 0.0, settled_v: float = SETTLED_V
              ) -> tuple[Rows, int, Flags, Ints]:
    """Pass out and back until no voltage moves, with what is added to supply and return nodes as `settle` has it.
    Returns the rows, the passes made, which rows still moved (R,) and which may have another solution. Within, the
    rows lie on the last axis: what belongs to one node or consumer lies together."""
    laws, alternator, feeds, earths = part.laws, part.alternator, part.supply, part.returns
    supply = Branches.of(wires.supply, at, feeds.nodes, fused)
    returns = Branches.of(wires.returns, at, earths.nodes, earthed)
    open_v, inner, available = source.open_circuit_v[at], source.internal_ohm[at], source.available_a[at]
    across, terminal_less_root = np.array(across.T, order="C"), np.zeros(len(at))
    made_up, given_a, short_v, line_ohm = (np.zeros(len(at)) for _ in range(4))
    far = np.zeros(len(at), dtype=bool)
    most_a = np.where(available > 0, np.inf, 0.0) if way == REGULATED else available
    settled, passes, moved = False, 0, np.inf
    before, share, slow = None, np.ones(len(at)), False
    settled_v, most = (settled_v, MOST_PASSES) if way == FREE else (EXACT_V, MOST_EXACT)
    while not settled and passes < most:
        passes += 1
        current = laws.currents(across, reference)
        slopes = laws.slopes(across, current)
        demand, slope = current.sum(axis=0), slopes.sum(axis=0)
        if alternator >= 0:
            terminal_less_root = across[alternator] - made_up - root
        new_root, alternator_a = root_of(root, demand, slope, open_v, inner, available, source.regulator_v,
                                         terminal_less_root, way)
        if alternator >= 0:
            if way != LIMITED and far.any():
                post, helping_a = helped(root, demand, slope, open_v, inner, most_a, short_v, given_a, line_ohm)
                helps = far & (post < open_v)
                new_root, alternator_a = np.where(helps, post, new_root), np.where(helps, helping_a, alternator_a)
            current[alternator] = -alternator_a
        supply_a, return_a = feeds.tree.sums(current), earths.tree.sums(current)
        supply_ohm, return_ohm = supply.ohm(supply_a), returns.ohm(return_a)
        supply_v = feeds.tree.drops(supply_a * supply_ohm)
        np.subtract(new_root, supply_v, out=supply_v)
        return_v = earths.tree.drops(return_a * return_ohm)
        if alternator >= 0 and part.sense != OWN_TERMINAL:
            sensed = new_root if part.sense == POST else supply_v[part.sense]
            made_up = np.minimum(supply_v[feeds.node[alternator]] - sensed, source.made_up_v)
        new_across = supply_v.take(feeds.node, axis=0)
        new_across -= return_v.take(earths.node, axis=0)
        if alternator >= 0:
            given_a, short_v = alternator_a, source.regulator_v - (new_across[alternator] - made_up - new_root)
            far |= (short_v < open_v) & (available > 0)
            if far.any():
                line_ohm = (feeds.tree.drops(supply_ohm)[feeds.node[alternator]]
                            + earths.tree.drops(return_ohm)[earths.node[alternator]])
        np.maximum(new_across, -MOST_V, out=new_across)
        np.minimum(new_across, MOST_V, out=new_across)
        across -= new_across
        root_moved, last = np.abs(new_root - root), moved
        moved = max(float(root_moved.max(initial=0.0)), float(across.max(initial=0.0)),
                    -float(across.min(initial=0.0)))
        settled = moved < settled_v and passes > 1
        if settled or passes == most:
            moving = np.maximum(root_moved, np.abs(across).max(axis=0, initial=0.0)) >= settled_v
        slow = slow or creeps(passes, moved, last)
        if not slow:
            root, across = new_root, new_across
        else:
            # `across` holds what the old voltages exceed the new ones by.
            share, before = shares(before, across, share, passes), across
            way_ohm = feeds.tree.drops(supply_ohm).take(feeds.node, axis=0)
            way_ohm += earths.tree.drops(return_ohm).take(earths.node, axis=0)
            root = root + share * (new_root - root)
            across = (1.0 - share * eased(slopes, way_ohm)) * across + new_across
    falling = laws.constant_power
    doubted = doubtful(new_root, demand, slope, open_v, inner, available, source.regulator_v, source.made_up_v,
                       terminal_less_root, alternator_a, current.take(falling, axis=0),
                       new_across.take(falling, axis=0), moving)
    return Rows(new_root, demand - alternator_a, alternator_a, supply_v.T, return_v.T, current.T, supply_a.T,
                 return_a.T, supply_ohm.T, return_ohm.T, new_across.T), passes, moving, doubted
