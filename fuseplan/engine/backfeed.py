"""Ways by which a live feed reaches a dead one backwards: through a load, a lamp, a coil, or a shared wire.

Each state of the key is a graph of who may pass current to whom. Contacts count as closed wherever something could
close them; diodes let current pass one way. A dead feed that current reaches all the same keeps alive what hangs on
it: a relay that should drop, an engine that should stop.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags
from fuseplan.engine.consumers import COIL, LOAD
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX, rests_closed
from fuseplan.plan.model import Circuit
from fuseplan.plan.parts import Load, Relay
from fuseplan.plan.words import STATES
from fuseplan.records import dataclass

Node = tuple[str, str]
"""("feed", name), ("circuit", name) behind its contact, or `MACHINE`."""
MACHINE: Node = ("alternator", "")
"""The exciter terminal of the alternator, live as long as the engine turns, whatever the key says."""
HALVINGS = 60


class Passage(NamedTuple):
    """Current may pass from one node to another; through a load, where it is given by its number in the circuit."""

    start: Node
    end: Node
    circuit: str
    load: int | None


class Held(NamedTuple):
    """What may stay on: a circuit, or the relay of a circuit or feed."""

    owner: tuple[str, str]
    is_relay: bool = False


@dataclass(frozen=True)
class Join:
    """A dead feed reached from a live point in one state."""

    state: str
    source: Node
    dead: str
    path: tuple[Passage, ...]
    dead_v: float
    """Voltage that may be left on the dead feed [V], its switched loads taken as off."""
    current_a: float
    holds: tuple[Held, ...]
    """Relays whose coil hangs on the dead feed or those joined to it, and circuits with a coil: a little holds them."""
    feeds: tuple[Held, ...]
    """Circuits there with a load that works from about half its voltage up."""

    @property
    def circuit(self) -> str:
        """The circuit whose wire leads into the dead feed: a diode belongs there."""
        return self.path[-1].circuit


def _may_be_closed(relay: Relay | None, live: Mapping[str, Flags], state: int) -> bool:
    """Whether a contact is not surely open in a state: one that senses the voltage stays closed for a while after the
    alternator has stopped."""
    return relay is None or rests_closed(relay) or relay.coil_feed not in live or bool(live[relay.coil_feed][state])


def passages(results: Results, state: str) -> list[Passage]:
    """Everything current may pass through in a state besides the contacts that are surely open."""
    plan, number = results.plan, STATE_INDEX[state]
    live = results.network.feed_live
    found = []
    for name, feed in plan.feed.items():
        closed = feed.live is None or state in feed.live
        closed = closed and _may_be_closed(feed.relay, live, number)
        if feed.upstream is not None and closed:
            found += _both(("feed", feed.upstream), ("feed", name))
    for name, circuit in plan.circuit.items():
        if circuit.out_of_scope is not None:
            continue
        at: Node = ("circuit", name)
        feeds = [*circuit.also_from]
        if circuit.feed is not None and _may_be_closed(circuit.relay, live, number):
            feeds.append(circuit.feed)
        for feed_name in feeds:
            found.append(Passage(("feed", feed_name), at, name, None))
            if not circuit.diode:
                found.append(Passage(at, ("feed", feed_name), name, None))
        excites = plan.alternator is not None and plan.alternator.exciter == name
        for index, load in enumerate(circuit.load):
            ends: list[Node] = [("feed", load.to_feed)] if load.to_feed is not None else [MACHINE] if excites else []
            for end in ends:
                found += [Passage(at, end, name, index), Passage(end, at, name, index)]
    return found


def _both(one: Node, other: Node) -> list[Passage]:
    return [Passage(one, other, "", None), Passage(other, one, "", None)]


def joins_of(results: Results) -> tuple[Join, ...]:
    """Every dead feed that is reached in some state, by the shortest way, once for each wire that leads into it."""
    exciter = results.plan.alternator.exciter if results.plan.alternator is not None else None
    if exciter is None and not results.network.marked.get("also_from") \
            and not results.network.marked.get("to_feed"):
        return ()
    found = []
    for state in STATES:
        found += _joins_in(results, state)
    return tuple(found)


def _joins_in(results: Results, state: str) -> list[Join]:
    number = STATE_INDEX[state]
    live = [name for name, mask in results.network.feed_live.items() if mask[number]]
    dead = set(results.network.feed_live) - set(live)
    ahead: dict[Node, list[Passage]] = defaultdict(list)
    for passage in passages(results, state):
        ahead[passage.start].append(passage)
    sources: list[Node] = [("feed", name) for name in live]
    if results.plan.alternator is not None and results.plan.alternator.exciter is not None:
        sources.append(MACHINE)
    came: dict[Node, Passage | None] = dict.fromkeys(sources)
    waiting = deque(sources)
    found = []
    while waiting:
        at = waiting.popleft()
        for passage in ahead[at]:
            enters = passage.circuit and passage.end[0] == "feed" and passage.end[1] in dead
            if enters and _new_way(came, passage):
                path = (*_way(came, at), passage)
                found.append(_join(results, state, path, ahead))
            if passage.end not in came:
                came[passage.end] = passage
                waiting.append(passage.end)
    return found


def _new_way(came: dict[Node, Passage | None], passage: Passage) -> bool:
    """Whether a passage into a dead feed does not merely lead back where the way to it came from."""
    node: Node | None = passage.start
    while node is not None:
        if node == passage.end:
            return False
        before = came.get(node)
        node = None if before is None else before.start
    return True


def _way(came: dict[Node, Passage | None], node: Node) -> tuple[Passage, ...]:
    steps: list[Passage] = []
    before = came[node]
    while before is not None:
        steps.append(before)
        before = came[before.start]
    return tuple(reversed(steps))


def _join(results: Results, state: str, path: tuple[Passage, ...], ahead: dict[Node, list[Passage]]) -> Join:
    source, dead = path[0].start, path[-1].end[1]
    group = {dead}
    waiting = [dead]
    while waiting:
        for passage in ahead["feed", waiting.pop()]:
            if not passage.circuit and passage.end[1] not in group:
                group.add(passage.end[1])
                waiting.append(passage.end[1])
    supply = results.source.highest_v if source == MACHINE else float(results.source.open_circuit_v[0])
    through = [law_of(results, step.circuit, step.load) for step in path if step.load is not None]
    passed = {step.circuit for step in path}
    volts, current = divided(supply, through, _sinks(results, group, passed))
    return Join(state, source, dead, path, volts, current, _holds(results, group, passed),
                _circuits_with(results, group, passed, _works))


Law = tuple[float, float, float]
"""Current, voltage and exponent of ``I = I_ref · (U / U_ref)^n``."""


def law_of(results: Results, circuit: str, load: int) -> Law:
    """Current, voltage and exponent of a load."""
    consumers = results.network.consumers
    number = results.network.circuit_ids.index(circuit)
    found = np.flatnonzero((consumers.circuit == number) & (consumers.number == load) & (consumers.kind == LOAD))
    index = int(found[0])
    return float(consumers.reference_a[index]), float(consumers.reference_v[index]), _rising(consumers.exponent[index])


def _rising(exponent: float) -> float:
    """A load that is not a lamp is taken as a resistance: far below its voltage nothing regulates any more."""
    return float(exponent) if exponent > 0 else 1.0


def _sinks(results: Results, group: set[str], passed: set[str]) -> list[Law]:
    """What surely draws current from the dead feeds: loads without a switch or relay of their own."""
    consumers, circuits = results.network.consumers, results.network.circuits
    found = []
    for index in np.flatnonzero(consumers.kind == LOAD).tolist():
        circuit = circuits[int(consumers.circuit[index])]
        name = results.network.circuit_ids[int(consumers.circuit[index])]
        if circuit.feed in group and circuit.relay is None and circuit.switch is None and name not in passed:
            found.append((float(consumers.reference_a[index]), float(consumers.reference_v[index]),
                          _rising(consumers.exponent[index])))
    return found


def divided(supply_v: float, through: list[Law], sinks: list[Law]) -> tuple[float, float]:
    """Voltage left on the dead feed and the current into it: loads in series feed loads in parallel.

    Returns:
        (V, A); where nothing draws current, the whole voltage is there.
    """
    low, high = 0.0, supply_v
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        current = sum(amps * (middle / volts) ** power for amps, volts, power in sinks)
        lost = sum(volts * (current / amps) ** (1.0 / power) if amps > 0 else (supply_v if current > 0 else 0.0)
                   for amps, volts, power in through)
        if middle + lost > supply_v:
            high = middle
        else:
            low = middle
    volts = 0.5 * (low + high)
    return volts, sum(amps * (volts / at) ** power for amps, at, power in sinks)


def _holds(results: Results, group: set[str], passed: set[str]) -> tuple[Held, ...]:
    """Relays whose coil hangs on one of the feeds, and circuits there with a coil. One that is switched many times a
    second, an ignition coil or an injector, is not held by a little."""
    plan = results.plan
    coils = []
    for index in np.flatnonzero(results.network.consumers.kind == COIL).tolist():
        kind, name = results.network.consumers.owner[index]
        relay = plan.circuit[name].relay if kind == "circuit" else plan.feed[name].relay
        if relay is not None and relay.coil_feed in group:
            coils.append(Held((kind, name), True))
    return (*dict.fromkeys(coils), *_circuits_with(
        results, group, passed, lambda circuit, load: load.kind == "coil" and load.pulse_peak is None))


def _works(circuit: Circuit, load: Load) -> bool:
    """Whether a load may work from about half its voltage up, once its feed has that. A relay of its own parts the rest
    from it, unless that is held too."""
    return load.kind == "electronic" or (circuit.relay is None and load.kind in ("motor", "coil", None))


def _circuits_with(results: Results, group: set[str], passed: set[str], suits: Callable[[Circuit, Load], bool]
                   ) -> tuple[Held, ...]:
    return tuple(Held(("circuit", name)) for name, circuit in results.plan.circuit.items()
                 if circuit.feed in group and name not in passed and any(suits(circuit, load) for load in circuit.load))
