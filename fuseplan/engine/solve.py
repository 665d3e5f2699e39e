"""Node voltages and branch currents of the whole car, all conditions and both ends of the evidence at once.

Rows are (bound, condition): bound 0 takes every load as entered, bound 1 at the upper bound of its evidence.
`engine/passes.py` says how they settle, `engine/regulated.py` which state counts where there are several.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.cases import Cases
from fuseplan.engine.closing import Solving, how, lost
from fuseplan.engine.network import Network
from fuseplan.engine.part import Part
from fuseplan.engine.passes import Rows, at_nodes, impossible, settle
from fuseplan.engine.source import Source
from fuseplan.engine.warming import Wires, conductor_c, hot_ohm, segment_currents, wires_of
from fuseplan.formulas.pulsed import average_current
from fuseplan.records import dataclass
from fuseplan.trace import apply, plainly, recording, solved

BOUNDS = 2


@dataclass(frozen=True)
class Solved:
    """The solved network. R = cases × conditions rows, in the order of its cases."""

    network: Network
    cases: Cases
    root_v: Floats
    """Battery post against battery negative (R,)."""
    supply_v: Floats
    """Supply nodes against battery negative (R, N)."""
    return_v: Floats
    """Return nodes against battery negative (R, M)."""
    consumer_a: Floats
    """(R, L)."""

    def lost_v(self, returns: bool) -> Floats:
        """Voltage lost between the battery and each node of a side (R, nodes)."""
        return self.return_v if returns else np.asanyarray(self.root_v[:, None] - self.supply_v)

    def across(self, members: Ints) -> Floats:
        """Voltage across some consumers (R, members)."""
        consumers = self.network.consumers
        return np.asanyarray(self.supply_v[:, consumers.supply_node[members]]
                             - self.return_v[:, consumers.return_node[members]])

    def pieces(self) -> Iterator[tuple[slice, Solved]]:
        """It in pieces small enough to work on quickly, each with its conditions: one by one where there are many
        cases, else all of them together."""
        cases = self.cases
        if cases.bounds:
            yield slice(None), self
            return
        one = Cases(cases.reference_a, 1, False)
        for condition in range(cases.conditions):
            rows = slice(condition * cases.count, (condition + 1) * cases.count)
            yield slice(condition, condition + 1), Solved(self.network, one, self.root_v[rows], self.supply_v[rows],
                                                          self.return_v[rows], self.consumer_a[rows])


@dataclass(frozen=True)
class Solution(Solved):
    """The network solved with its currents as entered and at their upper bounds; row ``bound · C + condition``."""

    battery_a: Floats
    """Current out of the battery (R,)."""
    alternator_a: Floats
    """Current the alternator delivers (R,)."""
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

    def lost_v(self, returns: bool) -> Floats:
        """Voltage lost between the battery and each node of a side (R, N)."""
        found = super().lost_v(returns)
        if not recording():
            return found
        names, side = self.network.names, "return" if returns else "supply"
        current, ohm = (self.return_a, self.return_ohm) if returns else (self.supply_a, self.supply_ohm)
        return np.asanyarray(solved(
            found, "ΔU", "V", lambda row, node: f"lost on the {side} side up to {names.branch(returns, node)} "
            f"{names.row(row)}", how(self.passes, self.settled), lambda: lost(self.network, current, ohm, returns)))

    def across(self, members: Ints) -> Floats:
        """Voltage across some consumers (R, members)."""
        return self.across_v[:, members]

    @cached_property
    def segment_a(self) -> Floats:
        """Current of every segment (R, S)."""
        return segment_currents(self.network, self.supply_a, self.return_a)

    @cached_property
    def segment_c(self) -> Floats:
        """Conductor temperature (R, S)."""
        return conductor_c(self.network, self.wires, self.network.condition_of_row, self.supply_a, self.return_a)

    @cached_property
    def segment_ohm(self) -> Floats:
        """Resistance at conductor temperature (R, S)."""
        return hot_ohm(self.network, self.segment_c)


def solve(network: Network, source: Source, fuse_ohm: Floats, on: Flags | None = None,
          start: Solution | None = None, wires: Wires | None = None) -> Solution:
    """Solve the network.

    Args:
        fuse_ohm: cold resistance of each fuse [ohm] (J,)
        on: what is on in each condition, where it is not what the network says (C, L)
        start: a solution of the same network with other fuses or other loads on, to begin from
        wires: of this network, where they are known already
    """
    consumers = network.consumers
    at = network.condition_of_row
    reference = with_upper(network, consumers.on if on is None else on)
    if wires is None:
        wires = wires_of(network) if start is None else start.wires
    if start is None:
        root = np.where(source.available_a > 0, source.regulator_v, source.open_circuit_v)[at]
        across = np.repeat(root[None, :], consumers.count, axis=0).T
    else:
        root, across = start.root_v, start.across_v
    worst_case = np.repeat([False, True], len(network.conditions))
    rows, passes, settled = _settled(network, source, fuse_ohm, wires, at, worst_case, reference, root, across)
    return Solution(network=network, cases=network.bounds, **rows._asdict(), ampacity_a=wires.ampacity_a,
                    loaded=wires.loaded, passes=passes, settled=settled, wires=wires)


def solve_choices(network: Network, source: Source, fuse_ohm: Floats, shares: Sequence[Floats | Flags],
                  usual: Solution, start: Sequence[Solution] | None = None) -> list[Solution]:
    """Solve the network for other choices of what is on, each in the conditions in which it differs from the usual.

    Args:
        fuse_ohm: cold resistance of each fuse [ohm] (J,)
        shares: share of its current each consumer draws in every condition, 0 where it is off; one for each choice (C,
            L)
        usual: the solution for what the network says is on, with the same fuses
        start: solutions of the same choices with other fuses, to begin from; else each begins from the usual one
    """
    consumers = network.consumers
    differ = [np.flatnonzero((each != consumers.on).any(axis=1)) for each in shares]
    at = np.concatenate([np.tile(where, BOUNDS) for where in differ]) if differ else np.zeros(0, dtype=np.int64)
    if not at.size:
        return [usual] * len(shares)
    reference = np.concatenate([with_upper(network, each[where]) for each, where in
                                zip(shares, differ, strict=True)], axis=1)
    places = [network.bounds.rows(where) for where in differ]
    begin = [usual] * len(places) if start is None else start
    worst_case = np.concatenate([np.repeat([False, True], len(where)) for where in differ])
    rows, passes, settled = _settled(
        network, source, fuse_ohm, usual.wires, at, worst_case, reference,
        np.concatenate([each.root_v[place] for each, place in zip(begin, places, strict=True)]),
        np.concatenate([each.across_v[place] for each, place in zip(begin, places, strict=True)]))
    whole = Rows(*(getattr(usual, name) for name in Rows._fields))
    found, low = [], 0
    for place in places:
        high = low + len(place)
        part = whole.replaced(place, Rows(*(each[low:high] for each in rows)))
        found.append(replace(usual, **part._asdict(), passes=passes, settled=settled))
        low = high
    return found


def with_upper(network: Network, share: Floats | Flags) -> Floats:
    """Reference currents as entered and at their upper bound (L, R) [A], from the share of it that each consumer draws
    in each condition (C, L)."""
    consumers, drawn = network.consumers, share.T
    both = [each[:, None] for each in (consumers.reference_a, consumers.most_a)]
    if drawn.dtype == bool:
        return np.concatenate([drawn * each for each in both], axis=1)
    return np.concatenate([apply(average_current, current_a=each, duty=drawn) for each in both], axis=1)


def _settled(network: Network, source: Source, fuse_ohm: Floats, wires: Wires, at: Ints, worst_case: Flags,
             reference: Floats, root: Floats, across: Floats) -> tuple[Rows, int, bool]:
    """The rows, as `settle` finds them; `worst_case` marks those of the upper bound."""
    if not recording():
        return _possible(network, network.whole, source, fuse_ohm, wires, at, reference, root, across)
    plain, *others = (plainly(each) for each in (network, source, fuse_ohm, wires, at, reference, root, across))
    rows, passes, settled = _possible(plain, plain.whole, *others)
    solving = Solving(network, source, wires, fuse_ohm, at, worst_case, reference)
    return solving.tied(rows, passes, settled), passes, settled


def solve_part(network: Network, part: Part, source: Source, fuse_ohm: Floats, wires: Wires) -> Rows:
    """Solve a part of the network in which everything lies that is on; rows as those of `solve`, their nodes and
    consumers those of the part. Nothing is recorded.

    Args:
        fuse_ohm: cold resistance of each fuse [ohm] (J,)
        wires: of this network
    """
    at = network.condition_of_row
    root = np.where(source.available_a > 0, source.regulator_v, source.open_circuit_v)[at]
    reference = np.ascontiguousarray(with_upper(network, network.consumers.on)[part.on])
    across = np.repeat(root[:, None], part.count, axis=1)
    return _possible(network, part, source, fuse_ohm, wires, at, reference, root, across)[0]


def _possible(network: Network, part: Part, source: Source, fuse_ohm: Floats, wires: Wires, at: Ints,
              reference: Floats, root: Floats, across: Floats) -> tuple[Rows, int, bool]:
    """The rows; where no state was found that can be, all figures of the row are NaN."""
    fused = at_nodes(network, fuse_ohm)
    rows, passes, moving = settle(part, source, fused, wires, at, reference, root, across)
    lost = impossible(part.laws, source, at, reference, rows, moving)
    if lost.size:
        rows = rows.replaced(lost, Rows(*(np.full((len(lost), *each.shape[1:]), np.nan) for each in rows)))
    return rows, passes, not moving.any()
