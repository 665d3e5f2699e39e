"""The sections of the test sheet and which rows stand in each, in the order in which they are done."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np

from fuseplan.bench.first_power import Step, first_power
from fuseplan.bench.model import bench_model
from fuseplan.bench.plug_rows import powered_rows
from fuseplan.bench.sheet_before_power import before_power
from fuseplan.bench.sheet_entries import Entry, plug_entries, taken
from fuseplan.bench.turns import turn_of
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.cranking import crank_condition, starter_consumer, unmeasured_survivors
from fuseplan.engine.standing import parked_condition
from fuseplan.plan.roles import must_stop
from fuseplan.quantities import writing
from fuseplan.tables import commissioning

HEATS_A = 5.0
"""Joints with this continuous current or more are felt for heat. Common practice, no source."""
RAISED_RPM = 1500.0
"""An engine speed from here on counts as raised. Common practice, no source."""
CARRIES_A = 0.1
"""A feed that carries less than this is not asked for its current and its drop."""


class Section(NamedTuple):
    """One section of the sheet."""

    key: str
    title: str
    notes: tuple[str, ...]
    """What to do and what never to do, before the first row."""


def _insulation() -> str:
    limit = commissioning.insulation_mohm(68.0)
    return (f"On a bare new loom on the bench, nothing connected: {writing.stated(limit.value)} MΩ or more at 20 °C "
            f"({limit.source.line()}).")


SECTIONS: tuple[Section, ...] = (
    Section("before_power", "Before power", (
        "Battery earth lead off, all fuses out. Two rounds: first at the plugs, everything unplugged, what is near "
        "together; then everything plugged in, switches closed, relays bridged, all from the fuse box.",
        "Never use an insulation tester on a car with any control unit, sensor, lamp driver, radio or alternator "
        f"connected: its voltage destroys them. {_insulation()}",
        "A cold bulb reads a tenth of what it has alight and looks like a short: the sheet prints the cold value. A "
        "coil with a diode reads differently the other way round.",
        "A hand meter shows 0.1 Ω: continuity tells the right wire, never a good joint.")),
    Section("first_power", "First power", (
        "Extinguisher to hand, somebody at the battery, control unit unplugged, fuel and ignition disabled.",
        "One step at a time. A glow where dark is expected: battery off, find it first.")),
    Section("static", "Each circuit by itself, engine off", (
        "Amps and volts of each circuit were read at first power: they are not asked for again.",
        "Read a drop only while the load is on: at no load every joint looks good. Judge a joint by mV / A, in mΩ.",
        "Millivolts across a fuse: on its test points, not on the holder.")),
    Section("cranking", "Cranking", (
        "Fuel and ignition disabled, gear out, hands clear. 15 s at most, then let the starter cool.",)),
    Section("charging", "Charging", (
        "Battery charged, nothing on where no load is asked for. The published charging windows disagree: each is "
        "printed.",
        "Never disconnect the battery with the engine running.")),
    Section("full_load", "Full load, idle and raised speed", ("Everything on that the plan has on together.",)),
    Section("heat", "Heat after 20 to 30 minutes", (
        "Compare like with like: left with right, two fuses of one rating with a like current. Hands clear of fans.",)),
    Section("drain", "Standing drain", (
        "Key out, doors latched, bonnet switch closed. Wait until every control unit sleeps: 20 minutes or more, some "
        "take one to two hours. Do not pull fuses: that wakes control units. Read the millivolts across each fuse.",
        "Never crank through the meter.")),
    Section("reserve", "Reserve", (
        "10 minutes on the battery alone with everything the car needs to drive on, then start the engine.",)),
)


def entries(assessment: Assessment, section: str) -> tuple[Entry, ...]:
    """The rows of a section."""
    return tuple(_ENTRIES[section](assessment))


def _first_power(assessment: Assessment) -> Iterator[Entry]:
    yield from taken(assessment, "rested", ("battery", "volts"))
    steps = first_power(assessment)
    for step in steps:
        if step.turn == "usual":
            yield from (*_unplugged(assessment, step), *_plugged_in(assessment, step))
    # Every fuse of a control unit is in before its plug is read, and its plug is read before it is plugged in.
    units = [step for step in steps if step.turn == "control unit"]
    for step in units:
        yield from _unplugged(assessment, step)
    yield from plug_entries(assessment, "alone", powered_rows(assessment.plan))
    for step in units:
        yield from _plugged_in(assessment, step)
    for step in steps:
        if step.turn not in ("usual", "control unit"):
            yield from (*_unplugged(assessment, step), *_plugged_in(assessment, step))


def _unplugged(assessment: Assessment, step: Step) -> Iterator[Entry]:
    """What is read of a step before its loads are plugged in; the first row says what to do."""
    head, words = (step.kind, step.subject), f"{step.key.capitalize()}. {step.words}"
    if _has_lamp(assessment, step):
        yield from taken(assessment, "alone", (*head, "lamp_v"), note=words)
        words = ""
    if step.turn == "control unit" and step.subject in bench_model(assessment).static:
        yield from taken(assessment, "alone", (*head, "plug_v"), note=words or "plug out")


def _plugged_in(assessment: Assessment, step: Step) -> Iterator[Entry]:
    """What is read of a step after that."""
    head = (step.kind, step.subject)
    is_first = not _has_lamp(assessment, step) and step.turn != "control unit"
    words = f"{step.key.capitalize()}. {step.words}" if is_first else ""
    if step.kind == "feed":
        yield from taken(assessment, "alone", (*head, "volts"), note=words)
    elif step.subject in bench_model(assessment).static:
        yield from taken(assessment, "alone", (*head, "current"), note=words)
        yield from taken(assessment, "alone", (*head, "load_v"))


def _has_lamp(assessment: Assessment, step: Step) -> bool:
    """Whether a bulb is put in the place of a fuse in a step, or in the battery's earth lead."""
    if step.kind == "circuit":
        return assessment.plan.circuit[step.subject].fuse is not None
    feed = assessment.plan.feed[step.subject]
    return feed.fuse is not None or feed.upstream is None


def _static(assessment: Assessment) -> Iterator[Entry]:
    for name in bench_model(assessment).static:
        circuit = assessment.plan.circuit[name]
        # Amps and volts are those of first power; of the drops, those of the whole way there and back are required.
        for what in ("supply_mv", "return_mv", "fuse_mv", "contact_mv"):
            yield from taken(assessment, "alone", ("circuit", name, what), required=what in ("supply_mv", "return_mv"))
        for number in range(len(circuit.load)):
            for what in ("load_current", *(("load_v", "supply_mv", "return_mv") if number else ())):
                yield from taken(assessment, "alone", ("circuit", name, "load", str(number), what), required=False)
        yield from taken(assessment, "alone", *(("circuit", name, what) for what in (
            "coil_v", "coil_current", "coil_86_v", "coil_85_mv")), required=False)
        # Coil and contact on each other's feed work alike, until one of the fuses blows or the key is off.
        stops = bool(must_stop(name, circuit))
        yield from taken(assessment, "alone", ("circuit", name, "relay_feed_v"), required=stops)
        if stops:
            yield from taken(assessment, "alone", ("circuit", name, "off_v"))


def _cranking(assessment: Assessment) -> Iterator[Entry]:
    network = assessment.results.network
    index = crank_condition(network)
    if index < 0:
        return
    condition = network.condition_ids[index]
    if assessment.plan.battery is not None:
        amps = "half its cold-cranking current" if not assessment.plan.battery.cold_crank else \
            writing.stated(0.5 * float(assessment.plan.battery.cold_crank), "A")
        yield from taken(assessment, "rested", ("battery", "load_test_v"), required=False,
                          note=f"with a load tester: {amps} for 15 s, its surface charge taken off first (300 A for "
                               "15 s)")
    yield from taken(assessment, condition, ("battery", "volts"))
    starter = starter_consumer(network, index)
    if starter >= 0:
        name = network.consumers.owner[starter][1]
        yield from taken(assessment, condition, *(("circuit", name, what) for what in (
            "current", "load_v", "supply_mv", "return_mv")))
    for name, earth in assessment.plan.earth.items():
        if earth.engine and earth.wire:
            yield from taken(assessment, condition, ("earth", name, "strap_mv"),
                              note="engine strap: more than 0.3 V and other cables warm: it is missing or loose")
    for each in unmeasured_survivors(network):
        kind, owner = each.owner
        if each.kind == "relay":
            yield from taken(assessment, condition, (kind, owner, "coil_v"), required=each.must_run)
        else:
            number = int(network.consumers.number[each.consumer])
            steps = (kind, owner, "load", str(number), "load_v") if number else (kind, owner, "load_v")
            yield from taken(assessment, condition, steps, required=each.must_run)


def running_conditions(assessment: Assessment) -> list[int]:
    """Numbers of the conditions with the engine running, the smallest demand first."""
    network = assessment.results.network
    demand = np.asarray(assessment.results.balance.demand_a)[0]
    found = [index for index, condition in enumerate(network.conditions) if condition.state == "running"]
    return sorted(found, key=lambda index: float(np.nan_to_num(demand[index])))


def idle_and_raised(assessment: Assessment) -> tuple[str | None, str | None]:
    """The conditions with the most on, at idle and at raised engine speed; None where there is none."""
    network = assessment.results.network
    found: list[str | None] = []
    for raised in (False, True):
        fitting = [index for index in running_conditions(assessment)
                   if (float(network.conditions[index].engine) >= RAISED_RPM) == raised]
        found.append(network.condition_ids[fitting[-1]] if fitting else None)
    return found[0], found[1]


def _charging(assessment: Assessment) -> Iterator[Entry]:
    running = running_conditions(assessment)
    if not running or assessment.plan.alternator is None:
        return
    ids = assessment.results.network.condition_ids
    least, full = ids[running[0]], idle_and_raised(assessment)[1] or ids[running[-1]]
    yield from taken(assessment, least, ("battery", "volts"), ("alternator", "volts"),
                      note="as little on as the car allows")
    yield from taken(assessment, full, ("battery", "volts"), ("alternator", "cable_mv"), ("alternator", "case_mv"))
    yield from taken(assessment, full, ("alternator", "current"), required=False)
    yield from taken(assessment, full, ("battery", "ripple_mv"), note="battery charged, loads on")


def _full_load(assessment: Assessment) -> Iterator[Entry]:
    network, plan = assessment.results.network, assessment.plan
    running = [network.condition_ids[index] for index in running_conditions(assessment)]
    both = [each for each in idle_and_raised(assessment) if each is not None]
    heaviest = max(both, key=running.index, default=None)
    for condition in both:
        row = network.condition_ids.index(condition)
        yield from taken(assessment, condition, ("battery", "volts"), ("battery", "current"))
        for name in plan.feed:
            if network.feed_live[name][network.state[row]]:
                yield from taken(assessment, condition, ("feed", name, "volts"), required=False)
                carried = float(assessment.results.solution.supply_a[row, network.feed_node[name]])
                if plan.feed[name].wire and abs(carried) > CARRIES_A:
                    yield from taken(assessment, condition, ("feed", name, "current"), ("feed", name, "drop_mv"),
                                      required=False)
        for name, earth in plan.earth.items():
            if earth.upstream is not None:
                # The drop of an earth is in mΩ the same in both: required where the most current flows.
                yield from taken(assessment, condition, ("earth", name, "drop_mv"), required=condition == heaviest)
                if earth.engine and not earth.wire:
                    yield from taken(assessment, condition, ("earth", name, "strap_mv"), required=False,
                                      note="bolted on the engine")
        for name, circuit in plan.circuit.items():
            on = _on(assessment, name, row)
            if on and any(load.kind == "lamp" for load in circuit.load):
                yield from taken(assessment, condition, ("circuit", name, "load_v"), required=False)


def _on(assessment: Assessment, circuit: str, row: int) -> bool:
    consumers = assessment.results.network.consumers
    mine = consumers.circuit == assessment.circuit_index[circuit]
    return bool(consumers.on[row, mine].any())


def _heat(assessment: Assessment) -> Iterator[Entry]:
    condition = idle_and_raised(assessment)[1] or idle_and_raised(assessment)[0]
    if condition is None:
        return
    solution, network = assessment.results.solution, assessment.results.network
    row = network.condition_ids.index(condition)
    for name, feed in assessment.plan.feed.items():
        if feed.fuse is not None and abs(float(solution.supply_a[row, network.feed_node[name]])) >= HEATS_A:
            yield from taken(assessment, condition, ("feed", name, "holder_rise"))
    for name, circuit in assessment.plan.circuit.items():
        node = network.circuit_node[network.circuit_number[name]]
        if circuit.fuse is not None and float(solution.supply_a[row, node]) >= HEATS_A:
            yield from taken(assessment, condition, ("circuit", name, "holder_rise"))


def _drain(assessment: Assessment) -> Iterator[Entry]:
    network = assessment.results.network
    index = parked_condition(network)
    if index < 0:
        return
    condition = network.condition_ids[index]
    yield from taken(assessment, condition, ("battery", "drain"), note="after the settling time")
    for name, circuit in assessment.plan.circuit.items():
        if circuit.feed is not None and network.feed_live.get(circuit.feed, np.zeros(1, dtype=bool))[0]:
            yield from taken(assessment, condition, ("circuit", name, "fuse_mv"), required=False,
                              note="only where the drain is too high")


def _reserve(assessment: Assessment) -> Iterator[Entry]:
    index = crank_condition(assessment.results.network)
    if index >= 0:
        yield from taken(assessment, assessment.results.network.condition_ids[index], ("battery", "reserve_v"),
                          note="it must start")


_ENTRIES: dict[str, Callable[[Assessment], Iterator[Entry]]] = {
    "before_power": before_power, "first_power": _first_power, "static": _static, "cranking": _cranking,
    "charging": _charging, "full_load": _full_load, "heat": _heat, "drain": _drain, "reserve": _reserve,
}


def disabled_until_cranked(assessment: Assessment) -> tuple[str, ...]:
    """Circuits of fuel and spark, whose fuses stay out until the engine has been cranked."""
    return tuple(name for name, circuit in assessment.plan.circuit.items()
                 if circuit.out_of_scope is None and turn_of(name, circuit) in ("fuel", "ignition"))
