"""Voltage lost between the battery post and each load, on the way out and on the way back.

The whole way is what a load's voltage suffers from. A published limit may be for a part of it: that of the handbook for
lamps counts from the light switch's supply terminal, that of the earth side is another one while the starter turns.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.assumed import drop_class_of
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.network import Network
from fuseplan.engine.solve import Solved
from fuseplan.engine.states import STATE_INDEX
from fuseplan.limits import ReturnLimit
from fuseplan.plan.model import Circuit
from fuseplan.records import dataclass
from fuseplan.trace import chosen, together
from fuseplan.trace.vocabulary import KIRCHHOFF_VOLTAGE

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


SMALLEST_A = 0.1
"""A load that draws less is no load a drop matters to: no limit holds for it. Common practice, no source."""


@dataclass(frozen=True)
class WorstDrop:
    """A drop in the condition where it is worst, per consumer; axes (cases, L)."""

    volts: Floats
    """NaN where the consumer is never on."""
    condition: Ints
    choice: Ints
    """Which of the choices of loads never on together it is worst in: a place in `Results.choices`."""

    def at(self, bound: int, consumer: int, conditions: int) -> tuple[int, int]:
        """(place in `Results.choices`, row of that solution) it is worst in."""
        return int(self.choice[bound, consumer]), bound * conditions + int(self.condition[bound, consumer])


@dataclass(frozen=True)
class Drops:
    """Per consumer, in the condition where the whole drop is worst; NaN where it is never on. Axes (cases, L)."""

    total_v: Floats
    supply_v: Floats
    return_v: Floats
    condition: Ints
    choice: Ints
    """Which of the choices of loads never on together it is worst in: a place in `Results.choices`."""
    worst_load: Ints
    """For each circuit, the consumer with the largest drop as entered; -1 for none."""
    out: WorstDrop
    """The part of the way that the limit for the kind of circuit is for."""
    back: WorstDrop
    """The earth side, where it is largest beside the limit of the condition."""

    @property
    def whole(self) -> WorstDrop:
        """The whole way, both sides."""
        return WorstDrop(self.total_v, self.condition, self.choice)


def counted_from(network: Network, circuit: Circuit) -> str | None:
    """The feed from which the limit of a circuit's supply side counts; None for the battery post.

    The handbook counts a lamp's lead from the light switch's supply terminal: that is the feed the circuit's switch or
    relay is fed from, its own or that of its feed; where the plan names neither, the circuit's own feed.
    """
    feed = circuit.feed
    if feed not in network.feed_node or not network.limit_set.drop_counts_from_switch(drop_class_of(circuit)):
        return None
    behind = network.plan.feed[feed]
    own = circuit.switch is not None or circuit.relay is not None
    return behind.upstream if not own and (behind.switch is not None or behind.relay is not None) else feed


def return_limits_v(network: Network) -> list[ReturnLimit | None]:
    """What may be lost on the way back in each condition [V]."""
    return [network.limit_set.return_limit(state == STATE_INDEX["crank"], network.system_v)
            for state in network.state.tolist()]


def _counted_nodes(network: Network) -> Ints:
    """The supply node from which each consumer's limit counts, 0 for the battery post (L,)."""
    from_switch = {kind: network.limit_set.drop_counts_from_switch(kind) for kind in set(network.drop_classes)}
    by_circuit = [network.feed_node.get(counted_from(network, circuit) or "", 0) if from_switch[kind] else 0
                  for circuit, kind in zip(network.circuits, network.drop_classes, strict=True)]
    circuit = network.consumers.circuit
    return np.where(circuit >= 0, np.array([*by_circuit, 0], dtype=np.int64)[circuit], 0)


def drops_of(network: Network, solutions: Sequence[Solved], on: Sequence[Flags]) -> Drops:
    """Drops of all loads, over all conditions and all choices of which load of each `either` group is on.

    Parameters
    ----------
    network : Network
    solutions : sequence of Solved
        One for each choice.
    on : sequence of array (C, L)
        What is on in each of them.
    """
    consumers, cases = network.consumers, solutions[0].cases
    loads, origin, both_leads = consumers.kind == LOAD, _counted_nodes(network), network.limit_set.drop_covers_return
    limits = np.array([1.0 if each is None else each.volts for each in return_limits_v(network)])
    whole, out, back_side = _Worst(), _Worst(), _Worst()
    for choice, (solution, there) in enumerate(zip(solutions, on, strict=True)):
        lost = solution.lost_v(False).T
        supply, before = (cases.parted(lost.take(nodes, axis=0), 1) for nodes in (consumers.supply_node, origin))
        back = cases.parted(solution.lost_v(True).T.take(consumers.return_node, axis=0), 1)
        judged = (there & loads).T[:, None]
        both = together("lost on both sides", [("supply", supply), ("return", back)], KIRCHHOFF_VOLTAGE)
        part = together("lost on the part the limit is for", [
            ("supply side, from the battery post", supply), ("up to where the limit counts from, negative", -before)],
            KIRCHHOFF_VOLTAGE)
        judged_part = both if both_leads else chosen(origin[:, None, None] > 0, part, supply, "")
        whole.take(both, (both, supply, back), judged, choice)
        out.take(judged_part, (judged_part,), judged, choice)
        back_side.take(back / limits, (back,), judged, choice)
    never = ~(np.logical_or.reduce(on).any(axis=0) & loads)
    total, supply, back = (np.where(never, np.nan, each) for each in whole.values)
    largest = np.full(len(network.circuit_ids), -1, dtype=np.int64)
    ordered = np.flatnonzero(~np.isnan(total[0]))
    ordered = ordered[np.argsort(total[0, ordered], kind="stable")]
    largest[consumers.circuit[ordered]] = ordered
    return Drops(total_v=total, supply_v=supply, return_v=back, condition=whole.condition, choice=whole.choice,
                 worst_load=largest, out=out.drop(never), back=back_side.drop(never))


class _Worst:
    """Figures of each consumer where something is largest, over conditions and choices; each of them (cases, L)."""

    def __init__(self) -> None:
        self.rank: Any = None
        self.values: tuple[Any, ...] = ()
        self.condition: Any = None
        self.choice: Any = None

    def take(self, rank: Any, values: tuple[Any, ...], judged: Flags, choice: int) -> None:
        """Look at one more choice: what is ranked, and the figures that go with it, are (L, cases, C)."""
        ranked = np.where(judged, np.asarray(rank), -np.inf)
        at = np.asarray(ranked.argmax(axis=2)).T
        case, number = np.indices(at.shape)
        found = (ranked[number, case, at], *(each[number, case, at] for each in values), at,
                 np.full(at.shape, choice))
        if self.values:
            # A drop that is not known is worse than any.
            worse = ~(found[0] <= self.rank) & ~np.isnan(self.rank)
            kept = (self.rank, *self.values, self.condition, self.choice)
            found = tuple(np.where(worse, new, old) for new, old in zip(found, kept, strict=True))
        self.rank, *figures, self.condition, self.choice = found
        self.values = tuple(figures)

    def drop(self, never: Flags) -> WorstDrop:
        """The first of the figures; `never` says which consumers are never on."""
        return WorstDrop(np.where(never, np.nan, self.values[0]), self.condition, self.choice)
