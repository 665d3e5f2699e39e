"""A part is made for a different system voltage from the car's.

A 12 V part on 24 V takes twice its current and four times its heat; a 24 V part on 12 V hardly works. What a part is
made for is read from the voltage its current is stated at, its design voltage or the alternator's label.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import Subject, circuit_subject
from fuseplan.engine.results import Results
from fuseplan.plan.parts import Load
from fuseplan.quantities import writing

SYSTEMS_V = (6.0, 12.0, 24.0, 48.0)
SPAN = (0.75, 1.25)
"""Voltages a part of a system is rated at, over the nominal one: 9 to 15 V for 12 V."""
_LABEL = re.compile(r"\s*(\d+(?:\.\d+)?)\s*V\b", re.IGNORECASE | re.ASCII)


def made_for_v(stated_v: float, system_v: float) -> float | None:
    """The nominal voltage of the other system that a stated voltage belongs to; None where it may be this one's, or
    belongs to none."""
    def fits(nominal: float) -> bool:
        return SPAN[0] * nominal <= stated_v <= SPAN[1] * nominal

    return None if fits(system_v) else next((each for each in SYSTEMS_V if fits(each)), None)


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    plan, network = results.plan, results.network
    low, high = (share * network.system_v for share in SPAN)
    for number, circuit in enumerate(network.circuits):
        if circuit.out_of_scope is not None or circuit.role in ("glow_plugs", "starter"):
            continue  # Glow plugs are driven in pulses, a starter's figure is that of its own voltage under load.
        for index, load in enumerate(circuit.load):
            stated, key = _stated(load)
            if stated is None or low <= stated <= high:
                continue
            other = made_for_v(stated, network.system_v)
            if other is not None:
                yield _finding(rule, results, circuit_subject(results, number), f"'{load.name or f'load {index + 1}'}'",
                               f"circuit.{network.circuit_ids[number]}.load.{index}.{key}", stated, other)
    alternator, battery = plan.alternator, plan.battery
    if alternator is not None:
        label = _LABEL.match(alternator.label or "")
        volts = float(alternator.regulator_voltage) if alternator.regulator_voltage is not None else \
            float(label[1]) if label else None
        other = None if volts is None else made_for_v(volts, network.system_v)
        if volts is not None and other is not None:
            path = "regulator_voltage" if alternator.regulator_voltage is not None else "label"
            yield _finding(rule, results, ("alternator", "alternator"), f"the {alternator.machine}",
                           f"alternator.{path}", volts, other)
    if battery is not None and battery.open_circuit is not None:
        other = made_for_v(float(battery.open_circuit), network.system_v)
        if other is not None:
            yield _finding(rule, results, ("battery", "battery"), "the battery", "battery.open_circuit",
                           float(battery.open_circuit), other)


def _stated(load: Load) -> tuple[float | None, str]:
    if load.design_voltage is not None:
        return load.design_voltage, "design_voltage"
    return load.at, "at"


def _finding(rule: Rule, results: Results, subject: Subject, what: str, path: str, stated_v: float,
             other_v: float) -> Finding:
    system_v = results.network.system_v
    higher = system_v > other_v
    return rule.finding(
        results, subject,
        f"{what} is stated at {writing.stated(stated_v, 'V')}, so it is a {writing.stated(other_v, 'V')} part; the "
        f"car's system is {writing.stated(system_v, 'V')}: "
        + ("it takes more than its current and burns out" if higher else "it will hardly work"),
        consequence=None if higher else "fails_in_use",
        fix=f"a {writing.stated(system_v, 'V')} part, or a converter in front of it; if only the figure is wrong, "
            f"enter it at {writing.stated(system_v, 'V')}", fields=(path,))


RULE = Rule(
    consequence="burns",
    title="Wrong system voltage",
    source="a resistance takes current in proportion to the voltage: Ohm's law; parts of a system are stated at 75 to "
           "125 % of its nominal voltage: common practice, no source",
    caution="A bulb, relay or motor of half the system's voltage may work for a while, and then burn.",
    fix="a part for the car's own system voltage",
    example="fails: a lamp of 24 V in a 12 V car; passes: the same at 12 V",
    find=find,
)
