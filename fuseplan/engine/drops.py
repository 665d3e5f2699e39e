"""Voltage lost between the battery post and each load, on the way out and on the way back.

The whole way is what a load's voltage suffers from. A published limit may be for a part of it: that of the handbook for
lamps counts from the light switch's supply terminal, that of the earth side is another one while the starter turns.
What the starter's current loses in a cable it shares has limits of its own, for the starter: while it turns, the
supply side of the others counts from where their ways part from its way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.assumed import drop_class_of
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.cranking import starter_consumer
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.solve import Solved
from fuseplan.engine.states import STATE_INDEX
from fuseplan.limits import ReturnLimit
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Circuit
from fuseplan.records import dataclass
from fuseplan.trace import blank, chosen, together
from fuseplan.trace.vocabulary import KIRCHHOFF_VOLTAGE

SMALLEST_A = 0.1
"""A load that draws less is no load a drop matters to: no limit holds for it. Common practice, no source."""


STARTER_CLASSES = ("starter_main", "starter_control")
"""Kinds of circuit whose printed limit is for a lead of the starter itself."""


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


def counted_from(network: Network, circuit: Circuit, condition: int | None) -> str | None:
    """The feed from which the limit of a circuit's supply side counts in a condition of the plan, or in another one in
    which no starter turns; None for the battery post.

    While the starter turns, a circuit's own part begins no nearer to the battery than where its way parts from the
    starter's; limits of the starter's own leads are for the whole way.
    """
    return _start(network, circuit, _partings(network, condition))


def counted_node(network: Network, circuit: Circuit, condition: int | None) -> int:
    """The supply node of that feed; 0 is the battery post."""
    return network.feed_node.get(counted_from(network, circuit, condition) or "", 0)


def switch_feed(network: Network, circuit: Circuit) -> str | None:
    """The feed from which the handbook counts a lamp's lead, at the light switch's supply terminal: that the circuit's
    switch or relay is fed from, its own or that of its feed; where the plan names neither, the circuit's own feed. None
    for circuits that count from the battery post."""
    feed = circuit.feed
    if feed not in network.feed_node or not network.limit_set.drop_counts_from_switch(drop_class_of(circuit)):
        return None
    behind = network.plan.feed[feed]
    own = circuit.switch is not None or circuit.relay is not None
    return behind.upstream if not own and (behind.switch is not None or behind.relay is not None) else feed


class _Partings(NamedTuple):
    """Where the ways of the others part from the starter's."""

    circuit: Circuit | None
    """That of the starter."""
    feeds: Mapping[str, str]
    """For each feed, the last one on its way that the starter's current flows through; without those whose way parts at
    the battery post."""

    def of(self, circuit: Circuit) -> str | None:
        """The feed from which a circuit's way is its own; None where that is the battery post, and for the starter's
        own leads."""
        parting = self.feeds.get(circuit.feed or "")
        own = parting is None or circuit is self.circuit or drop_class_of(circuit) in STARTER_CLASSES
        return None if own else parting


def _partings(network: Network, condition: int | None) -> _Partings:
    """In a condition; nothing where no starter turns, nor where one limit is for both leads, the whole way."""
    if condition is None or network.state[condition] != STATE_INDEX["crank"] or network.limit_set.drop_covers_return:
        return _Partings(None, {})
    starter = starter_consumer(network, condition)
    if starter < 0:
        return _Partings(None, {})
    turning = network.circuits[int(network.consumers.circuit[starter])]
    shared = set(way_to(network.plan, turning.feed))
    found = {}
    for feed in network.plan.feed:
        parting = next((each for each in way_to(network.plan, feed) if each in shared), None)
        if parting is not None and network.plan.feed[parting].upstream is not None:
            found[feed] = parting
    return _Partings(turning, found)


def _start(network: Network, circuit: Circuit, partings: _Partings) -> str | None:
    start, parting = switch_feed(network, circuit), partings.of(circuit)
    if parting is None or (start is not None and parting in way_to(network.plan, start)):
        return start
    return parting


def return_limits_v(network: Network) -> list[ReturnLimit | None]:
    """What may be lost on the way back in each condition [V]."""
    usual, cranking = (network.limit_set.return_limit(turning, network.system_v) for turning in (False, True))
    return [cranking if state == STATE_INDEX["crank"] else usual for state in network.state.tolist()]


def _node_at_switch(network: Network, number: int) -> int | None:
    start = switch_feed(network, network.circuits[number])
    return None if start is None else network.feed_node.get(start)


def _counted_nodes(network: Network) -> Ints:
    """The supply node from which each consumer's limit counts in each condition, 0 for the battery post (L, C)."""
    circuits, nodes = network.circuits, network.feed_node
    # What belongs to no circuit has the number -1, the last one here.
    found = np.zeros((len(network.state), len(circuits) + 1), dtype=np.int64)
    switched = of_circuits(network, _node_at_switch)
    found[:, [*switched]] = [*switched.values()]
    for condition in np.flatnonzero(network.state == STATE_INDEX["crank"]).tolist():
        partings = _partings(network, condition)
        for number, circuit in enumerate(circuits) if partings.feeds else ():
            if circuit.feed in partings.feeds:
                found[condition, number] = nodes.get(_start(network, circuit, partings) or "", 0)
    return found[:, network.consumers.circuit].T


def drops_of(network: Network, solutions: Sequence[Solved], on: Sequence[Flags]) -> Drops:
    """Drops of all loads, over all conditions and all choices of which load of each `either` group is on.

    Args:
        solutions: one for each choice
        on: what is on in each of them (C, L)
    """
    consumers, cases = network.consumers, solutions[0].cases
    loads, origin, both_leads = consumers.kind == LOAD, _counted_nodes(network), network.limit_set.drop_covers_return
    limits = np.array([1.0 if each is None else each.volts for each in return_limits_v(network)])
    whole, out, back_side = (_Worst((consumers.count, cases.count), figures) for figures in (3, 1, 1))
    for choice, (solution, there) in enumerate(zip(solutions, on, strict=True)):
        for conditions, piece in solution.pieces():
            judged = (there & loads)[conditions]
            members = np.flatnonzero(judged.any(axis=0))
            if not members.size or (choice and np.array_equal(there[conditions], on[0][conditions])):
                continue
            lost = piece.lost_v(False).T
            supply = piece.cases.parted(lost.take(consumers.supply_node[members], axis=0), 1)
            back = piece.cases.parted(piece.lost_v(True).T.take(consumers.return_node[members], axis=0), 1)
            both = together("lost on both sides", [("supply", supply), ("return", back)], KIRCHHOFF_VOLTAGE)
            judged_part = both
            if not both_leads:
                start = origin[members][:, None, conditions]
                part = together("lost on the part the limit is for", [
                    ("supply side, from the battery post", supply),
                    ("up to where the limit counts from, negative", -_lost_at(piece, lost, start))], KIRCHHOFF_VOLTAGE)
                judged_part = chosen(start > 0, part, supply, "")
            where = _Where(members, judged[:, members].T[:, None], conditions.start or 0, choice)
            whole.take(where, both, (both, supply, back))
            out.take(where, judged_part, (judged_part,))
            back_side.take(where, back / limits[conditions], (back,))
    total, supply, back = (each.T for each in whole.values)
    largest = np.full(len(network.circuit_ids), -1, dtype=np.int64)
    ordered = np.flatnonzero(~np.isnan(total[0]))
    ordered = ordered[np.argsort(total[0, ordered], kind="stable")]
    largest[consumers.circuit[ordered]] = ordered
    return Drops(total_v=total, supply_v=supply, return_v=back, condition=whole.condition.T, choice=whole.choice.T,
                 worst_load=largest, out=out.drop(), back=back_side.drop())


def _lost_at(piece: Solved, lost: Any, nodes: Ints) -> Any:
    """What is lost up to the nodes (members, 1, conditions) of the solved ones (N, rows): (members, cases,
    conditions)."""
    found = piece.cases.parted(lost.take(nodes[:, 0, 0], axis=0), 1)
    for number in np.flatnonzero((nodes[:, 0] != nodes[:, 0, :1]).any(axis=0)).tolist():
        other = piece.cases.parted(lost.take(nodes[:, 0, number], axis=0), 1)
        found = chosen(np.arange(nodes.shape[2]) == number, other, found, "")
    return found


class _Where(NamedTuple):
    """A few conditions that are looked at."""

    members: Ints
    """The consumers that may be on in them."""
    judged: Flags
    """Where they are (members, 1, conditions)."""
    first: int
    """Number of the first condition."""
    choice: int


class _Worst:
    """Figures of each consumer where something is largest, over conditions and choices; each of them (L, cases), NaN
    for a consumer that is never on."""

    def __init__(self, shape: tuple[int, int], figures: int) -> None:
        self.rank = np.full(shape, -np.inf)
        self.values = [blank(shape, np.nan) for _ in range(figures)]
        self.condition, self.choice = (np.zeros(shape, dtype=np.int64) for _ in range(2))

    def take(self, where: _Where, rank: Any, values: tuple[Any, ...]) -> None:
        """Look at a few more conditions: what is ranked, and the figures that go with it, are (members, cases,
        conditions)."""
        members, before = where.members, self.rank[where.members]
        ranked = np.where(where.judged, np.asarray(rank), -np.inf)
        at = ranked.argmax(axis=2)
        rows, cases, conditions = ranked.shape
        largest = (np.arange(rows)[:, None], np.arange(cases), at) if conditions > 1 else np.s_[:, :, 0]
        found = ranked[largest]
        # A drop that is not known is worse than any.
        worse = ~(found <= before) & ~np.isnan(before)
        self.rank[members] = np.where(worse, found, before)
        for kept, new in ((self.condition, where.first + at), (self.choice, where.choice),
                          *zip(self.values, (each[largest] for each in values), strict=True)):
            kept[members] = np.where(worse, new, kept[members])

    def drop(self) -> WorstDrop:
        """The first of the figures."""
        return WorstDrop(self.values[0].T, self.condition.T, self.choice.T)
