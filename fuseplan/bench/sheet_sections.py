"""The sections of the test sheet and which rows stand in each, in the order in which they are done."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np

from fuseplan.bench.sheet_before_power import before_power
from fuseplan.bench.sheet_engine_on import charging, cranking, full_load, heat
from fuseplan.bench.sheet_entries import Entry, keys, taken
from fuseplan.bench.sheet_first_power import first_power_rows, static
from fuseplan.bench.turns import turn_of
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.cranking import crank_condition
from fuseplan.engine.intervals import CRANKING_S
from fuseplan.engine.standing import parked_condition
from fuseplan.quantities import writing
from fuseplan.tables import commissioning


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
        "Both leads off every battery, the earth lead first: feeds are clipped to earth, and no battery may be among "
        "them. Earth is the end of the earth lead. All fuses out.",
        "First the feeds, with switches open and relays out. Then with switches closed, relays out and 30 bridged to "
        "87, in two rounds: everything unplugged, at the plugs, what is near together; then everything plugged in, all "
        "from the fuse box.",
        "What is read here finds shorts, joined feeds and plugs wired the wrong way round. An open shows at first "
        "power. Rows that say where a fault is are asked for when one that finds it is not ok.",
        "Never use an insulation tester on a car with any control unit, sensor, lamp driver, radio or alternator "
        f"connected: its voltage destroys them. {_insulation()}",
        "A cold bulb reads a tenth of what it has alight and looks like a short: the sheet prints the cold value. A "
        "coil with a diode reads differently the other way round.",
        "A hand meter shows 0.1 Ω: continuity tells the right wire, never a good joint.")),
    Section("first_power", "First power", (
        "Extinguisher to hand, somebody at the battery, control unit unplugged, fuel and ignition disabled.",
        "One step at a time. A glow where dark is expected: battery off, find it first.")),
    Section("static", "Each circuit by itself, engine off", (
        "Amps and volts of each circuit were read at first power. Where both were ok its drops are not asked for.",
        "Read a drop only while the load is on: at no load every joint looks good. Judge a joint by mV / A, in mΩ.",
        "Millivolts across a fuse: on its test points, not on the holder.")),
    Section("cranking", "Cranking", (
        f"Fuel and ignition disabled, gear out, hands clear. {writing.stated(CRANKING_S, 's')} at most, then let the "
        "starter cool.",)),
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


def _drain(assessment: Assessment) -> Iterator[Entry]:
    network = assessment.results.network
    index = parked_condition(network)
    if index < 0:
        return
    condition = network.condition_ids[index]
    yield from taken(assessment, condition, ("battery", "drain"), note="After the settling time")
    for name, circuit in assessment.plan.circuit.items():
        if circuit.feed is not None and network.feed_live.get(circuit.feed, np.zeros(1, dtype=bool))[0]:
            yield from taken(assessment, condition, ("circuit", name, "fuse_mv"), required=False,
                             if_fails=keys(condition, ("battery", "drain")))


def _reserve(assessment: Assessment) -> Iterator[Entry]:
    index = crank_condition(assessment.results.network)
    if index >= 0:
        yield from taken(assessment, assessment.results.network.condition_ids[index], ("battery", "reserve_v"),
                          note="It must start")


_ENTRIES: dict[str, Callable[[Assessment], Iterator[Entry]]] = {
    "before_power": before_power, "first_power": first_power_rows, "static": static, "cranking": cranking,
    "charging": charging, "full_load": full_load, "heat": heat, "drain": _drain, "reserve": _reserve,
}


def disabled_until_cranked(assessment: Assessment) -> tuple[str, ...]:
    """Circuits of fuel and spark, whose fuses stay out until the engine has been cranked."""
    return tuple(name for name, circuit in assessment.plan.circuit.items()
                 if circuit.out_of_scope is None and turn_of(name, circuit) in ("fuel", "ignition"))
