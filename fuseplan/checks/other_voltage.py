"""Parts stated at another system's voltage, and what follows from them.

The cause is one, however many parts there are: they, or the figures entered, are those of another system. What follows
from it is found by judging the plan once more with parts of the same power made for the car's voltage: a finding that
is not made there follows from the voltage, one that is still made has a cause of its own.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from fuseplan.checks.assumed_zone import twins
from fuseplan.checks.rule import LEVELS, Finding
from fuseplan.checks.subjects import Subject
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results, compute
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import load_in_words
from fuseplan.plan.parts import Load
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import Amount
from fuseplan.records import dataclass

CHECK = "wrong-system-voltage"
SYSTEMS_V = (6.0, 12.0, 24.0, 48.0)
SPAN = (0.75, 1.25)
"""Voltages a part of a system is rated at, over the nominal one: 9 to 15 V for 12 V. Common practice, no source."""
STARTER_SHARE = 0.5
"""A starter's figure is stated at what it has left under load: up to this share of the system's voltage it is one for a
lower system, above the span of a system for a higher one. Common practice, no source."""
LOW_VOLTAGE_PLUG_V = 7.5
"""Up to here a glow plug's figure is that of a low-voltage plug, which is driven in pulses. Common practice, no
source."""
LABEL = re.compile(r"\s*(\d+(?:\.\d+)?)\s*V\b", re.IGNORECASE | re.ASCII)
NAMED = 4


@dataclass(frozen=True)
class OtherPart:
    """A part stated at another system's voltage."""

    subject: Subject
    words: str
    """What it is, in a sentence."""
    path: str
    """The key that states the voltage."""
    stated_v: float
    other_v: float
    """The nominal voltage of the system it is made for."""
    load: int | None
    """Its number among the loads of its circuit; None of alternator and battery."""


def made_for_v(stated_v: float, system_v: float) -> float | None:
    """The nominal voltage of the other system that a stated voltage belongs to; None where it may be this one's, or
    belongs to none."""
    def fits(nominal: float) -> bool:
        return SPAN[0] * nominal <= stated_v <= SPAN[1] * nominal

    return None if fits(system_v) else next((each for each in SYSTEMS_V if fits(each)), None)


def other_parts(results: Results) -> Iterator[OtherPart]:
    """The loads in the order of the plan, then alternator and battery, that are stated at another system's voltage."""
    plan, system_v = results.plan, results.network.system_v
    for parts in of_circuits(results.network, _other_loads).values():
        yield from parts
    alternator, battery = plan.alternator, plan.battery
    if alternator is not None:
        label = LABEL.match(alternator.label or "")
        regulated = alternator.regulator_voltage is not None
        volts = float(alternator.regulator_voltage) if alternator.regulator_voltage is not None else \
            float(label[1]) if label else None
        other = None if volts is None else made_for_v(volts, system_v)
        if volts is not None and other is not None:
            yield OtherPart(("alternator", "alternator"), f"the {alternator.machine}",
                            f"alternator.{'regulator_voltage' if regulated else 'label'}", volts, other, None)
    if battery is not None and battery.open_circuit is not None:
        other = made_for_v(float(battery.open_circuit), system_v)
        if other is not None:
            yield OtherPart(("battery", "battery"), "the battery", "battery.open_circuit", float(battery.open_circuit),
                            other, None)


def _other_loads(network: Network, number: int) -> tuple[OtherPart, ...] | None:
    """The loads of a circuit that are stated at another system's voltage; None for none."""
    circuit, name = network.circuits[number], network.circuit_ids[number]
    if circuit.out_of_scope is not None:
        return None
    found = []
    for index, load in enumerate(circuit.load):
        other = load_made_for_v(load, circuit.role, network.system_v)
        if other is not None:
            key = "at" if load.design_voltage is None else "design_voltage"
            found.append(OtherPart(("circuit", name), load_in_words(circuit, index),
                                   f"circuit.{name}.load.{index}.{key}", float(getattr(load, key)), other, index))
    return tuple(found) or None


def load_made_for_v(load: Load, role: str | None, system_v: float) -> float | None:
    """The nominal voltage of the other system that a load of a circuit of some role is stated for; None where it may be
    this one's, or where nothing is stated."""
    stated = load.at if load.design_voltage is None else load.design_voltage
    if stated is None:
        return None
    stated_v = float(stated)
    if role == "starter":
        lower, higher = [each for each in SYSTEMS_V if each < system_v], [each for each in SYSTEMS_V if each > system_v]
        return lower[-1] if lower and stated_v <= STARTER_SHARE * system_v else \
            higher[0] if higher and stated_v > SPAN[1] * system_v else None
    if role == "glow_plugs" and (load.pulse_peak is not None or stated_v <= LOW_VOLTAGE_PLUG_V):
        return None  # Plugs driven in pulses: what is stated for them is not the car's voltage.
    return made_for_v(stated_v, system_v)


def with_right_parts(plan: Plan, parts: Sequence[OtherPart], system_v: float) -> Plan:
    """The plan with each of the parts replaced by one of the same power for the car's voltage."""
    circuits = dict(plan.circuit)
    changed: dict[str, Any] = {}
    for part in parts:
        ratio = system_v / part.other_v
        kind, name = part.subject
        if part.load is not None:
            loads = list(circuits[name].load)
            loads[part.load] = _right_load(loads[part.load], ratio)
            circuits[name] = circuits[name].model_copy(update={"load": tuple(loads)})
        elif kind == "alternator" and plan.alternator is not None:
            key = part.path.rpartition(".")[2]
            changed[kind] = plan.alternator.model_copy(update={
                key: _times(plan.alternator.regulator_voltage, ratio, "V") if key == "regulator_voltage" else
                LABEL.sub(f"{writing.typed(part.stated_v * ratio)}V", plan.alternator.label or "", count=1)})
        elif plan.battery is not None:
            changed[kind] = plan.battery.model_copy(update={
                "open_circuit": _times(plan.battery.open_circuit, ratio, "V")})
    return plan.model_copy(update={"circuit": circuits, **changed})


def _right_load(load: Load, ratio: float) -> Load:
    span = None if load.range is None else tuple(_times(each, 1 / ratio, "A") for each in load.range)
    return load.model_copy(update={
        **{key: _times(getattr(load, key), ratio, "V") for key in ("at", "design_voltage", "locked_at")},
        **{key: _times(getattr(load, key), 1 / ratio, "A") for key in ("current", "pulse_peak", "locked_current")},
        "range": span})


def _times(amount: float | None, factor: float, unit: str) -> Amount | None:
    return None if amount is None else Amount(float(amount) * factor, f"{writing.typed(float(amount) * factor)} {unit}")


def led_by_voltage(results: Results, findings: tuple[Finding, ...],
                   judged: Callable[[Results], tuple[Finding, ...]]) -> tuple[tuple[Finding, ...], dict[int, int]]:
    """The findings, the worst of a wrong voltage first among those of its level, and for each that follows from it its
    number; `judged` gives the findings of results.

    A finding that is worse than the wrong voltage stands for itself.
    """
    leader = next((each for each in findings if each.check == CHECK), None)
    if leader is None:
        return findings, {}
    parts = tuple(other_parts(results))
    right = compute(with_right_parts(results.plan, parts, results.network.system_v), results.limit_set)
    left = twins(findings, judged(right))
    # A request to measure what fails as it stands is no fault that is left.
    stays = {number for number, each in left.items() if not each.measure}
    led = [each for each in findings if each is not leader and (
        each.check == CHECK or id(each) not in (left if each.measure else stays))
        and LEVELS.index(each.level) >= LEVELS.index(leader.level)]
    others = {id(each) for each in led}
    first = _for_all(leader, parts, results)
    ordered = tuple(first if each is leader else each for each in sorted(
        findings, key=lambda each: (LEVELS.index(each.level), each.measure, each is not leader)))
    place = ordered.index(first)
    return ordered, {number: place for number, each in enumerate(ordered) if id(each) in others}


def _for_all(leader: Finding, parts: Sequence[OtherPart], results: Results) -> Finding:
    """The leading finding with all the parts it stands for; where they are most of the car's, the system may be the
    wrong entry."""
    if len(parts) < 2:
        return leader
    names = list(dict.fromkeys(part.subject[1].replace("_", " ") for part in parts))
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    loads = sum(len(circuit.load) for circuit in results.plan.circuit.values())
    system = "; if the car's own system is entered wrong, correct it (vehicle.system)" if 2 * len(parts) > loads else ""
    own = writing.stated(results.network.system_v, "V")
    return replace(
        leader, message=f"{len(parts)} parts are stated at another system's voltage, in: "
                        f"{', '.join(names[:NAMED])}{more}. {leader.message}",
        fix=f"fit {own} parts or enter the figures of the {own} parts fitted; a converter in front of them removes the "
            f"fault too{system}", fields=(*leader.fields, *(("vehicle.system",) if system else ())))
