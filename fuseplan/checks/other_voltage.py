"""Parts made for another system's voltage, and what follows from them.

The cause is one, however many parts there are: they, or the figures entered, are those of another system. What follows
from it is found by judging the plan once more with parts of the same power made for the car's voltage: a finding that
is not made there follows from the voltage, one that is still made has a cause of its own.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from fuseplan.checks.assumed_zone import twins
from fuseplan.checks.rule import LEVELS, Finding
from fuseplan.checks.subjects import Subject
from fuseplan.engine.coils import coil_resistance
from fuseplan.engine.computing import compute
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_circuits
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words, load_in_words
from fuseplan.plan.parts import Load, Relay
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import Amount
from fuseplan.quantities.listing import first_few
from fuseplan.records import dataclass
from fuseplan.tables import relays as relay_tables

CHECK = "wrong-system-voltage"
SYSTEMS_V = (6.0, 12.0, 24.0, 48.0)
SPAN = (0.75, 1.25)
"""Voltages a part of a system is rated at, over the nominal one: 9 to 15 V for 12 V. Common practice, no source."""
STARTER_SHARE = 0.5
"""A starter's figure is stated at what it has left under load: up to this share of the system's voltage it is one for a
lower system, above the span of a system for a higher one. Common practice, no source."""
COIL_OFF = 2.4
"""A coil of so many times the resistance of its relay's on this voltage, or of a part as small, is one for another: at
twice the voltage a coil of the same power has four times the resistance, and those of one voltage differ by up to two.
Common practice, no source."""
LOW_VOLTAGE_PLUG_V = 7.5
"""Up to here a glow plug's figure is that of a low-voltage plug, which is driven in pulses. Common practice, no
source."""
LABEL = re.compile(r"\s*(\d+(?:\.\d+)?)\s*V\b", re.IGNORECASE | re.ASCII)
NAMED = 4


@dataclass(frozen=True)
class OtherPart:
    """A part made for another system's voltage."""

    subject: Subject
    words: str
    """What it is and what that is read from, the beginning of a sentence."""
    path: str
    """The key it is read from."""
    other_v: float
    """The nominal voltage of the system it is made for."""
    load: int | None = None
    """Its number among the loads of its circuit; None of alternator, battery and coils."""


def made_for_v(stated_v: float, system_v: float) -> float | None:
    """The nominal voltage of the other system that a stated voltage belongs to; None where it may be this one's, or
    belongs to none."""
    def fits(nominal: float) -> bool:
        return SPAN[0] * nominal <= stated_v <= SPAN[1] * nominal

    return None if fits(system_v) else next((each for each in SYSTEMS_V if fits(each)), None)


def coil_made_for_v(coil_ohm: float, usual_ohm: float, system_v: float) -> float | None:
    """The nominal voltage of the other system that a coil is wound for, by its resistance and the usual one on this
    voltage; None where it may be this one's."""
    if usual_ohm / COIL_OFF <= coil_ohm <= usual_ohm * COIL_OFF:
        return None
    likely_v = system_v * math.sqrt(coil_ohm / usual_ohm)
    found = min(SYSTEMS_V, key=lambda each: abs(math.log(each / likely_v)))
    return None if found == system_v else found


def other_parts(results: Results) -> Iterator[OtherPart]:
    """The loads and coils in the order of the plan, then coils of feeds, alternator and battery, that are made for
    another system's voltage."""
    plan, system_v = results.plan, results.network.system_v
    for parts in of_circuits(results.network, _of_circuit).values():
        yield from parts
    for name, feed in plan.feed.items():
        yield from _coil(("feed", name), feed.relay, system_v)
    alternator, battery = plan.alternator, plan.battery
    if alternator is not None:
        label = LABEL.match(alternator.label or "")
        regulated = alternator.regulator_voltage
        for key, volts in (("regulator_voltage", None if regulated is None else float(regulated)),
                           ("label", float(label[1]) if label else None)):
            other = None if volts is None else made_for_v(volts, system_v)
            if volts is not None and other is not None:
                yield OtherPart(("alternator", "alternator"), _stated(f"the {alternator.machine}", volts),
                                f"alternator.{key}", other)
                break
    if battery is not None and battery.open_circuit is not None:
        other = made_for_v(float(battery.open_circuit), system_v)
        if other is not None:
            yield OtherPart(("battery", "battery"), _stated("the battery", float(battery.open_circuit)),
                            "battery.open_circuit", other)


def _stated(part: str, volts: float) -> str:
    return f"{part} is stated at {writing.stated(volts, 'V')}"


def _coil(subject: Subject, relay: Relay | None, system_v: float) -> Iterator[OtherPart]:
    if relay is None or relay.coil is None or relay.contact not in relay_tables.CONTACTS:
        return
    other = coil_made_for_v(float(relay.coil), coil_resistance(relay.contact, system_v), system_v)
    if other is not None:
        yield OtherPart(subject, f"the coil of its relay has {writing.stated(float(relay.coil), 'ohm')}",
                        f"{'.'.join(subject)}.relay.coil", other)


def _of_circuit(network: Network, number: int) -> tuple[OtherPart, ...] | None:
    """The loads and the coil of a circuit that are made for another system's voltage; None for none."""
    circuit, name = network.circuits[number], network.circuit_ids[number]
    if circuit.out_of_scope is not None:
        return None
    found = []
    for index, load in enumerate(circuit.load):
        other = load_made_for(load, circuit.role, network.system_v)
        if other is not None:
            found.append(OtherPart(("circuit", name),
                                   _stated(load_in_words(circuit, index), float(getattr(load, other[0]))),
                                   f"circuit.{name}.load.{index}.{other[0]}", other[1], index))
    found += _coil(("circuit", name), circuit.relay, network.system_v)
    return tuple(found) or None


def load_made_for(load: Load, role: str | None, system_v: float) -> tuple[str, float] | None:
    """The first key of a load of a circuit of some role whose voltage belongs to another system, and the nominal
    voltage of that; None where all may be this one's, or none is stated."""
    for key in ("design_voltage", "at", "locked_at"):
        stated = getattr(load, key)
        other = None if stated is None else _made_for_v(float(stated), key, load, role, system_v)
        if other is not None:
            return key, other
    return None


def _made_for_v(stated_v: float, key: str, load: Load, role: str | None, system_v: float) -> float | None:
    if role == "starter" or key == "locked_at":
        lower, higher = [each for each in SYSTEMS_V if each < system_v], [each for each in SYSTEMS_V if each > system_v]
        # A rotor is held on any voltage from a few volts up.
        return lower[-1] if lower and key != "locked_at" and stated_v <= STARTER_SHARE * system_v else \
            higher[0] if higher and stated_v > SPAN[1] * system_v else None
    if role == "glow_plugs" and (load.pulse_peak is not None or stated_v <= LOW_VOLTAGE_PLUG_V):
        return None  # Plugs driven in pulses: what is stated for them is not the car's voltage.
    return made_for_v(stated_v, system_v)


def with_right_parts(plan: Plan, parts: Sequence[OtherPart], system_v: float) -> Plan:
    """The plan with each of the parts replaced by one of the same power for the car's voltage."""
    circuits, feeds = dict(plan.circuit), dict(plan.feed)
    changed: dict[str, Any] = {}
    for part in parts:
        ratio = system_v / part.other_v
        kind, name = part.subject
        key = part.path.rpartition(".")[2]
        if part.load is not None:
            loads = list(circuits[name].load)
            loads[part.load] = _right_load(loads[part.load], ratio)
            circuits[name] = circuits[name].model_copy(update={"load": tuple(loads)})
        elif kind == "circuit":
            circuits[name] = circuits[name].model_copy(update={"relay": _right_relay(circuits[name].relay)})
        elif kind == "feed":
            feeds[name] = feeds[name].model_copy(update={"relay": _right_relay(feeds[name].relay)})
        elif kind == "alternator" and plan.alternator is not None:
            changed[kind] = plan.alternator.model_copy(update={
                key: _times(plan.alternator.regulator_voltage, ratio, "V") if key == "regulator_voltage" else
                _right_label(plan.alternator.label or "", ratio)})
        elif plan.battery is not None:
            changed[kind] = plan.battery.model_copy(update={key: _times(plan.battery.open_circuit, ratio, "V")})
    return plan.model_copy(update={"circuit": circuits, "feed": feeds, **changed})


def _right_relay(relay: Relay | None) -> Relay | None:
    return None if relay is None else relay.model_copy(update={"coil": None})


def _right_label(label: str, ratio: float) -> str:
    return LABEL.sub(lambda found: f"{writing.typed(float(found[1]) * ratio)}V", label, count=1)


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

    A finding that is worse than the wrong voltage stands for itself, and so does every other where no voltages are
    found for the plan with the right parts: what is not found there says nothing.
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
        each.check == CHECK or (right.solution.settled and id(each) not in (left if each.measure else stays)))
        and LEVELS.index(each.level) >= LEVELS.index(leader.level)]
    others = {id(each) for each in led}
    first, own = _for_all(leader, parts, results), {part.path for part in parts}
    told = {id(each): _still(each, left[id(each)], results) for each in findings
            if each.fields[:1] and each.fields[0] in own and id(each) in stays - others}
    told[id(leader)] = first
    ordered = tuple(told.get(id(each), each) for each in sorted(
        findings, key=lambda each: (LEVELS.index(each.level), each.measure, each is not leader)))
    place = ordered.index(first)
    return ordered, {number: place for number, each in enumerate(ordered) if id(each) in others}


def _still(finding: Finding, left: Finding, results: Results) -> Finding:
    """A finding on the wrong part itself, with the fix of what is `left` of it with the right one."""
    own = writing.stated(results.network.system_v, "V")
    return replace(finding, fix=f"{finding.fix}; still needed with {own} parts: {left.fix}",
                   fields=tuple(dict.fromkeys((*finding.fields, *left.fields))))


def _for_all(leader: Finding, parts: Sequence[OtherPart], results: Results) -> Finding:
    """The leading finding with all the parts it stands for; where they are most of the car's, the system may be the
    wrong entry."""
    if len(parts) < 2:
        return leader
    names = list(dict.fromkeys(in_words(results.plan, *part.subject) for part in parts))
    loads = sum(len(circuit.load) for circuit in results.plan.circuit.values())
    system = "; if the car's own system is entered wrong, correct it (vehicle.system)" if 2 * len(parts) > loads else ""
    own = writing.stated(results.network.system_v, "V")
    return replace(
        leader, message=f"{len(parts)} parts are made for another system's voltage, in: "
                        f"{first_few(names, NAMED)}. {leader.message}",
        fix=f"fit {own} parts; where they are already fitted, enter their figures; where a converter supplies one, "
            f"enter the converter's input current at {own} instead{system}",
        fields=(*leader.fields, *(("vehicle.system",) if system else ())))
