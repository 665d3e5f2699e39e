"""The load analysis: who draws what in which condition, over 5 s, 5 min and continuously, and on average.

The intervals are those of an aircraft load analysis (MIL-E-7016F; column headings read, their rules from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats, Ints
from fuseplan.engine.consumers import ALTERNATOR, COIL, INTERMITTENT, LOAD, MOMENTARY
from fuseplan.engine.network import Network
from fuseplan.engine.power import Balance
from fuseplan.engine.relays import contact_in_place
from fuseplan.engine.solve import Solution
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.parts import Relay
from fuseplan.plan.words import USES
from fuseplan.records import dataclass

COLUMNS = ("5s", "5min", "continuous", "average")
"""The intervals, and the mean weighed with duty."""


@dataclass(frozen=True)
class LoadLine:
    """One line of the table: a circuit with its relay's coil, or the coil of a feed's relay."""

    kind: str
    """"circuit" or "feed"."""
    id: str
    current_a: Floats
    """(columns, C) in the order of `COLUMNS`."""
    essential: bool
    """Needed to drive on after the alternator has failed."""
    groups: tuple[str, ...]
    """Names of the groups whose loads are never on together; only the strongest is counted."""


@dataclass(frozen=True)
class Detail:
    """One consumer in one condition, for the line-by-line explanation. Currents in A."""

    owner: tuple[str, str]
    what: str
    use: str
    duty: float
    volts: float
    """Across it, with everything on."""
    on_a: float
    """While it is on."""
    average_a: float
    evidence: str | None


@dataclass(frozen=True)
class Total:
    """What passes one feed or one relay contact, the alternator's current left out. Arrays of shape (C,) in A."""

    kind: str
    id: str
    peak_a: Floats
    average_a: Floats
    limit_a: float
    """What the contact or the bus may carry; NaN where nothing is on file."""
    limit_words: str


@dataclass(frozen=True)
class LoadsTable:
    """The table of a plan."""

    lines: tuple[LoadLine, ...]
    feeds: tuple[Total, ...]
    relays: tuple[Total, ...]


def _owners(network: Network) -> tuple[list[tuple[str, str]], Ints]:
    """Lines of the table, and the line of each consumer (-1 for the alternator)."""
    lines: dict[tuple[str, str], int] = {("circuit", name): number for number, name in enumerate(network.circuit_ids)}
    line_of = np.empty(network.consumers.count, dtype=np.int64)
    for number, owner in enumerate(network.consumers.owner):
        line_of[number] = -1 if owner[0] == "alternator" else lines.setdefault(owner, len(lines))
    return list(lines), line_of


def essential_consumers(network: Network) -> NDArray[np.bool_]:
    """Consumers needed to drive on: loads marked essential, and the coils of the relays they are fed through (L,)."""
    plan, consumers = network.plan, network.consumers
    wanted = np.zeros(consumers.count, dtype=bool)
    circuits: set[str] = set()
    for number in np.flatnonzero(consumers.kind == LOAD).tolist():
        circuit = network.circuit_ids[int(consumers.circuit[number])]
        if plan.circuit[circuit].load[int(consumers.number[number])].essential:
            wanted[number] = True
            circuits.add(circuit)
    feeds = {feed for name in circuits for feed in way_to(plan, plan.circuit[name].feed)}
    for number in np.flatnonzero(consumers.kind == COIL).tolist():
        kind, name = consumers.owner[number]
        wanted[number] = name in (circuits if kind == "circuit" else feeds)
    return wanted


def table_of(network: Network, solution: Solution, balance: Balance) -> LoadsTable:
    """The table of a solved plan, currents as entered."""
    consumers, conditions = network.consumers, len(network.conditions)
    owners, line_of = _owners(network)
    current, mean = solution.consumer_a[:conditions], balance.average.consumer_a[:conditions]
    real = consumers.kind != ALTERNATOR
    columns = (current, current * (consumers.use < MOMENTARY), current * (consumers.use < INTERMITTENT), mean)
    sums = np.zeros((len(COLUMNS), conditions, len(owners)))
    for place, values in enumerate(columns):
        for condition in range(conditions):
            sums[place, condition] = np.bincount(line_of[real], weights=values[condition, real], minlength=len(owners))
    essential = np.zeros(len(owners), dtype=bool)
    essential[line_of[essential_consumers(network) & real]] = True
    lines = tuple(
        LoadLine(kind, name, sums[:, :, number], bool(essential[number]), _groups(network, kind, name))
        for number, (kind, name) in enumerate(owners)
        if kind == "feed" or network.plan.circuit[name].out_of_scope is None)
    return LoadsTable(lines, *_totals(network, current * real, mean * real))


def _groups(network: Network, kind: str, name: str) -> tuple[str, ...]:
    if kind != "circuit":
        return ()
    return tuple(dict.fromkeys(load.either for load in network.plan.circuit[name].load if load.either is not None))


def _totals(network: Network, current: Floats, mean: Floats) -> tuple[tuple[Total, ...], tuple[Total, ...]]:
    peak, average = network.supply.branch_sums(current), network.supply.branch_sums(mean)
    plan, feeds, relays = network.plan, [], []
    for name in network.feed_ids:
        feed = plan.feed.get(name)
        if feed is None:
            continue
        node = network.feed_node[name]
        limit = math.nan if feed.limit is None else float(feed.limit)
        feeds.append(Total("feed", name, peak[:, node], average[:, node], limit, "limit of the bus as entered"))
        if feed.relay is not None:
            relays.append(_relay(network, "feed", name, feed.relay, peak[:, node], average[:, node]))
    for number, (name, circuit) in enumerate(zip(network.circuit_ids, network.circuits, strict=True)):
        if circuit.relay is not None and circuit.out_of_scope is None:
            node = int(network.circuit_node[number])
            relays.append(_relay(network, "circuit", name, circuit.relay, peak[:, node], average[:, node]))
    return tuple(feeds), tuple(relays)


def _relay(network: Network, kind: str, name: str, relay: Relay, peak: Floats, average: Floats) -> Total:
    fitted = contact_in_place(network, (kind, name), relay)
    limit = fitted.carries_a if fitted.contact.is_printed else math.nan
    return Total(kind, name, peak, average, limit,
                 f"contact {relay.contact} at {network.places.relay((kind, name)).words}")


def details_of(network: Network, solution: Solution, balance: Balance, condition: int) -> tuple[Detail, ...]:
    """Every consumer that draws current in a condition, the largest average first."""
    consumers = network.consumers
    across = solution.across_v[condition]
    found = []
    for number in np.flatnonzero((solution.consumer_a[condition] != 0) & (consumers.kind != ALTERNATOR)).tolist():
        owner = consumers.owner[number]
        what, evidence = "relay coil", None
        if owner[0] == "circuit" and int(consumers.circuit[number]) >= 0:
            load = network.plan.circuit[owner[1]].load[int(consumers.number[number])]
            what, evidence = load.name or f"load {int(consumers.number[number]) + 1}", load.evidence or "guess"
            if int(consumers.kind[number]) != LOAD:
                what = f"{what}, standby"
        found.append(Detail(owner, what, USES[int(consumers.use[number])], float(consumers.duty[number]),
                            float(across[number]), float(solution.consumer_a[condition, number]),
                            float(balance.average.consumer_a[condition, number]), evidence))
    return tuple(sorted(found, key=lambda each: -each.average_a))


def running(network: Network) -> Sequence[int]:
    """Numbers of the conditions with the engine running."""
    return [index for index, condition in enumerate(network.conditions) if condition.state == "running"]
