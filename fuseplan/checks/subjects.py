"""How findings name what they are about: subjects, paths into the plan, segments in words."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Literal, cast

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.checks.rule import SubjectKind
from fuseplan.engine.compiled_plan import FuseRow
from fuseplan.engine.equipment import limit_words, strictest
from fuseplan.engine.missing import Unknown
from fuseplan.engine.names import wire_words
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX
from fuseplan.plan.model import Circuit
from fuseplan.plan.part_names import in_words, load_in_words
from fuseplan.plan.parts import Load
from fuseplan.plan.roles import role_of
from fuseplan.quantities import writing
from fuseplan.quantities.listing import all_of

Subject = tuple[SubjectKind, str]
SUPPLY_POINT = "the point it is taken from"
"""What a circuit without a fuse begins at, in the middle of a sentence."""


def owner_subject(owner: tuple[str, str]) -> Subject:
    """A circuit, feed, earth point or the alternator that something belongs to."""
    kind, name = owner
    return (cast(SubjectKind, kind), name or kind)


def fuse_subject(row: FuseRow) -> Subject:
    """The circuit, feed or alternator a protective device belongs to."""
    return owner_subject(row.owner)


def owner_path(owner: tuple[str, str]) -> str:
    """Path of an owner in the plan: ``circuit.fan``, ``alternator``."""
    kind, name = owner
    return f"{kind}.{name}" if name else kind


def fuse_path(row: FuseRow, key: str) -> str:
    """Path of one key of a protective device."""
    return f"{owner_path(row.owner)}.fuse.{key}"


def segment_path(results: Results, index: int, key: str) -> str:
    """Path of one key of a segment."""
    segments = results.network.segments
    return f"{owner_path(segments.owner[index])}.{segments.place[index]}.{key}"


def zone_paths(results: Results, index: int) -> tuple[str, ...]:
    """Paths of the keys that say where a segment lies: its own zone, or those of the runs it lies in, first of those
    that have none."""
    along = results.network.segments.segment[index].along
    if not along:
        return (segment_path(results, index, "zone"),)
    placed = {name for name, run in results.plan.run.items() if run.zone is not None}
    return tuple(f"run.{name}.zone" for name in sorted(along, key=placed.__contains__))


def segment_subject(results: Results, index: int) -> Subject:
    """The circuit, feed, earth or alternator a segment belongs to."""
    return owner_subject(results.network.segments.owner[index])


def owner_words(results: Results, owner: tuple[str, str]) -> str:
    """A circuit, feed, earth point or the alternator in the middle of a sentence: ``'Fuel pump'``."""
    return in_words(results.plan, *owner)


def segment_words(results: Results, index: int) -> str:
    """A segment in words: ``wire 2 of 'Fuel pump' (2.5 mm²)``, ``the wire of 'Fuel pump' (2.5 mm²)`` where it is the
    only one."""
    segments = results.network.segments
    if index < 0:
        return "a wire without a published limit"
    size = (results.as_fitted or results).network.segments.segment[index].size
    return f"{wire_words(results.plan, segments.owner[index], segments.place[index])} " \
           f"({'size not given' if size is None else writing.wire_size(size)})"


def maker_words(results: Results, device: int) -> str | None:
    """What limits the fuse, where that is equipment and no wire: ``the max_fuse stated for socket``."""
    fusing, network = results.fusing, results.network
    if not fusing.maker_a[device] < fusing.wire_a[device]:
        return None
    return limit_words(network, strictest(network)[device])


def circuit_subject(results: Results, number: int) -> Subject:
    """The circuit of a number."""
    return ("circuit", results.network.circuit_ids[number])


def consumer_subjects(results: Results) -> list[Subject]:
    """The circuit of each consumer; the plan for one that belongs to none."""
    circuits = [circuit_subject(results, number) for number in range(len(results.network.circuit_ids))]
    return [circuits[number] if number >= 0 else ("plan", "plan")
            for number in results.network.consumers.circuit.tolist()]


def circuit_path(results: Results, number: int, key: str) -> str:
    """Path of one key of a circuit."""
    return f"circuit.{results.network.circuit_ids[number]}.{key}"


def load_of(results: Results, consumer: int) -> Load:
    """The load a consumer stands for."""
    consumers = results.network.consumers
    return results.network.circuits[int(consumers.circuit[consumer])].load[int(consumers.number[consumer])]


def load_words(results: Results, consumer: int) -> str:
    """A load in the middle of a sentence: its name in quotes, else ``load 2``."""
    consumers = results.network.consumers
    return load_in_words(results.network.circuits[int(consumers.circuit[consumer])], int(consumers.number[consumer]))


def load_path(results: Results, consumer: int, key: str) -> str:
    """Path of one key of a load."""
    consumers = results.network.consumers
    number = int(consumers.circuit[consumer])
    return circuit_path(results, number, f"load.{int(consumers.number[consumer])}.{key}")


def current_known(results: Results) -> Flags:
    """Circuits whose currents rest on no missing figure (circuits,)."""
    return results.network.current_known


def continuous_a(results: Results, segment: int) -> Floats:
    """Continuous current of a segment (2,) in A, as entered and at the upper bound; NaN where its circuit lacks a
    current."""
    if not results.network.segment_current_known(segment):
        return np.full(2, np.nan)
    return np.asarray(results.demands.lasting[:, segment])


def most_a(results: Results, kind: Literal["feed", "earth"], name: str) -> float:
    """The most that a feed hands out or an earth point takes back, a guess at its upper bound; without a limit where no
    fuse bounds a current not stated [A]."""
    network, demands = results.network, results.demands
    tree, branches, node = (network.supply, demands.supply, network.feed_node[name]) if kind == "feed" else \
        (network.returns, demands.returns, network.earth_node[name])
    if any(tree.holds(each)[node] for each in network.unbounded):
        return math.inf
    return float(branches[:, :, node].max())


def drop_known(results: Results) -> Flags:
    """Circuits whose voltages rest on no missing figure of their own (circuits,)."""
    return results.network.lacking_not(Unknown.VOLTAGE)


def condition_words(results: Results, number: int) -> str:
    """A condition by its name, in the middle of a sentence: ``'Idle, hot day'``."""
    condition = results.network.conditions[number]
    return f"'{condition.name or results.network.condition_ids[number]}'"


def running_conditions(results: Results) -> Ints:
    """Numbers of the conditions with the engine running; none where the alternator's output is not known."""
    running = results.network.state == STATE_INDEX["running"]
    return np.flatnonzero(running & results.source.alternator_known)


STATE_WORDS = {
    "off": "with the key off", "accessory": "in the accessory position", "ignition": "with the ignition on",
    "crank": "while cranking", "running": "with the engine running", "run_on": "during the run-on",
}


def state_words(states: Iterable[str]) -> str:
    """States of the key in words: ``while cranking and with the engine running``."""
    return all_of([STATE_WORDS[state] for state in states])


def proposed_words(name: str, circuit: Circuit, states: Iterable[str] = ()) -> str:
    """That a finding rests on a role proposed from a circuit's name, as the end of a sentence; empty where the plan
    states the role, or itself asks for the states the finding is about."""
    role = role_of(name, circuit)
    stated = {*circuit.must_run, *circuit.must_stop}
    if role is None or circuit.role is not None or (states and stated.issuperset(states)):
        return ""
    return f"; by its name it is taken for {role.title} ({role.word}): state its role"


def worst_by_circuit(results: Results, found: Iterable[tuple[int, int]], excess: Floats) -> dict[int, tuple[int, int]]:
    """Of what fails, the worst consumer of each circuit.

    Args:
        found: iterable of (consumer, bound)
        excess: how far each consumer is beyond its limit, larger is worse (2, L)
    Returns:
        dict of circuit number to (consumer, bound). A failure as entered goes before one at the upper bound.
    """
    circuit = results.network.consumers.circuit
    worst: dict[int, tuple[int, int]] = {}
    for consumer, bound in found:
        number = int(circuit[consumer])
        held = worst.get(number)
        if held is None or (bound, -excess[bound, consumer]) < (held[1], -excess[held[1], held[0]]):
            worst[number] = (consumer, bound)
    return worst


def segments_on(results: Results, returns: bool) -> Callable[[int], list[int]]:
    """A function from a supply (or return) node to the segments of its branch; sorted once, for many questions."""
    segments = results.network.segments
    numbers = np.flatnonzero(segments.returns == returns)
    numbers = numbers[np.argsort(segments.branch[numbers], kind="stable")]
    branch = segments.branch[numbers]

    def on(node: int) -> list[int]:
        low, high = np.searchsorted(branch, [node, node + 1])
        return [int(number) for number in numbers[low:high]]

    return on


def is_charging(results: Results, subject: tuple[str, str], current_a: float) -> bool:
    """Whether a current through a feed or an earth point is what a flat battery takes of the alternator."""
    return subject in results.charged_through and results.source.alternator_known \
        and bool(np.isclose(current_a, results.source.rated_a))


def charging_words(results: Results, subject: Subject, current_a: float) -> str:
    """Words behind such a current; none behind another."""
    charging = is_charging(results, subject, current_a)
    return ", charging current that a flat battery takes of the alternator," if charging else ""


def stronger_battery(results: Results) -> tuple[str, str]:
    """Words for a stronger battery, and the key by which the plan says how strong it is: its internal resistance, where
    stated, counts alone."""
    battery = results.plan.battery
    if battery is not None and battery.internal_resistance is not None:
        return "a battery of less internal resistance", "battery.internal_resistance"
    return "a battery with a higher cold-cranking current", "battery.cold_crank"
