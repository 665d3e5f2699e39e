"""Drops that become resistances: of a switch, of a joint in a wire, of an earth, in mΩ at the measured current."""

from __future__ import annotations

import math

from fuseplan.bench.meter_figures import ohms
from fuseplan.bench.readings import TakenReading
from fuseplan.bench.solved_rows import GARAGE_C
from fuseplan.bench.verdicts import leg_ohm
from fuseplan.checks.assessment import Assessment
from fuseplan.errors import EditError
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.plan.feed_way import is_bolted
from fuseplan.plan.parts import Load
from fuseplan.plan.references import Path
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.results.address import joined

Change = tuple[Path, object]
"""A place in the plan and its new value; None removes."""
Beside = dict[tuple[str, str], TakenReading]
"""Readings by point and condition."""


@dataclass(frozen=True)
class Acceptance:
    """What accepting a reading changes."""

    reading: TakenReading
    changes: tuple[Change, ...]
    words: str
    """What it was and what it becomes, in words."""
    question: str = ""
    """Why to ask before it is accepted; empty where nothing is odd."""


def _beside_current(reading: TakenReading, beside: Beside, address: str) -> float:
    read = beside.get((address, reading.condition))
    if read is None or not math.isfinite(read.value) or read.value <= 0:
        raise EditError(f"{reading.point.address}: read {address} too, in the same condition: a drop is a resistance "
                        "only at a known current")
    return read.value


def contact_ohm(assessment: Assessment, reading: TakenReading, beside: Beside) -> Acceptance:
    """What the plan takes over from a drop read across the contact of a circuit or a feed: its resistance."""
    kind, name = reading.point.kind, reading.point.subject
    part = assessment.plan.feed[name] if kind == "feed" else assessment.plan.circuit[name]
    key, device = ("relay", part.relay) if part.relay is not None else ("switch", part.switch)
    assert device is not None, "a point at a contact is there for a part with one alone"
    found = leg_ohm(reading.value, _beside_current(reading, beside, joined((kind, name, "current"))))
    old = device.resistance
    return _resistance(reading, (kind, name, key, "resistance"), found,
                       f"that of a {key} of its type" if old is None else ohms(float(old)),
                       f"{key} contact of {part.name or name}")


def _bolted_ohm(reading: TakenReading, beside: Beside, load: Load, alone: bool) -> Acceptance:
    """What the plan takes over from a drop read between a load earthed where it is bolted and its earth point."""
    point = reading.point
    head = ("circuit", point.subject)
    number = ("load", str(point.load))
    current = (*head, "current") if alone else (*head, *number, "load_current")
    found = leg_ohm(reading.value, _beside_current(reading, beside, joined(current)))
    old = load.earth_resistance
    return _resistance(reading, (*head, "load", point.load, "earth_resistance"), found,
                       "assumed" if old is None else ohms(float(old)),
                       f"earth joint of {load.name or f'load {point.load + 1}'}")


def circuit_ohm(assessment: Assessment, reading: TakenReading, beside: Beside) -> Acceptance:
    """What the plan takes over from a drop read in a circuit: the resistance it was read across."""
    point, name = reading.point, reading.point.subject
    circuit = assessment.plan.circuit[name]
    load = circuit.load[point.load]
    if point.what == "earth_mv" and is_bolted(circuit, load):
        return _bolted_ohm(reading, beside, load, alone=len(circuit.load) == 1)
    if len(circuit.load) > 1 and any(load.wire or load.earth_wire or load.earth for load in circuit.load):
        raise EditError(f"{point.address}: the loads of this circuit have wires of their own, so one current does not "
                        "flow through all of it; change the resistance by hand")
    found = leg_ohm(reading.value, _beside_current(reading, beside, joined(("circuit", name, "current"))))
    back = point.what == "earth_mv"
    key, wire = ("earth_wire", circuit.earth_wire) if back else ("wire", circuit.wire)
    if not wire:
        raise EditError(f"{point.address}: the plan has no {key} whose joint could take it over; it is kept as a "
                        "reading")
    own = _wire_ohm(assessment, ("circuit", name), key)
    if own is None:
        raise EditError(f"{point.address}: size or length of its wire is not stated, so what of {ohms(found)} is "
                        "joint and what is wire is not known")
    joints = sum(float(each.resistance or 0.0) for segment in wire[:-1] for each in
                 (*((segment.joint,) if segment.joint else ()), *segment.splice))
    last = wire[-1]
    joints += sum(float(each.resistance or 0.0) for each in last.splice)
    path: Path = ("circuit", name, key, len(wire) - 1, "joint")
    rest = found - own - joints
    if rest <= 0:
        raise EditError(f"{point.address}: {ohms(found)} is no more than the wire alone has, {ohms(own)}: no joint to "
                        "take over; if it is far less, size or length in the plan are wrong")
    if last.joint is None:
        return Acceptance(reading, ((path, {"method": "as measured", "resistance": _mohm(rest)}),),
                          f"joint in the {key.replace('_', ' ')} of {circuit.name or name}: {_mohm(rest)}, measured; "
                          "it had none")
    old = last.joint.resistance
    return _resistance(reading, (*path, "resistance"), rest, "not stated" if old is None else ohms(float(old)),
                       f"joint in the {key.replace('_', ' ')} of {circuit.name or name}")


def _mohm(ohm: float) -> str:
    return writing.entry(1e3 * ohm, "mohm")


def _resistance(reading: TakenReading, path: Path, ohm: float, before: str, what: str) -> Acceptance:
    return Acceptance(reading, ((path, _mohm(ohm)),), f"{what}: {_mohm(ohm)}, measured; it was {before}")


def _wire_ohm(assessment: Assessment, owner: tuple[str, str], key: str) -> float | None:
    """Resistance of a wire at the temperature of the garage, without its joints; None where it is not known."""
    segments = assessment.results.network.segments
    total = 0.0
    for index in assessment.segments_of.get(owner, ()):
        if segments.place[index].split(".")[0] != key:
            continue
        if not segments.r20_known[index]:
            return None
        total += float(segments.r20_ohm[index]) * float(copper_temperature_factor(GARAGE_C))
    return total


def earth_ohm(assessment: Assessment, reading: TakenReading, beside: Beside) -> Acceptance:
    """What the plan takes over from a drop read along an earth strap: its resistance."""
    point, name = reading.point, reading.point.subject
    found = leg_ohm(reading.value, _beside_current(reading, beside, joined(("earth", name, "current"))))
    own = _wire_ohm(assessment, ("earth", name), "wire")
    if own is None:
        raise EditError(f"{point.address}: size or length of its strap is not stated, so what of {ohms(found)} is "
                        "joint and what is strap is not known")
    if found <= own:
        raise EditError(f"{point.address}: {ohms(found)} is no more than its strap alone has, {ohms(own)}: no joint to "
                        "take over; if it is far less, size or length in the plan are wrong")
    old = assessment.plan.earth[name].resistance
    return _resistance(reading, ("earth", name, "resistance"), found - own,
                       "not stated" if old is None else ohms(float(old)),
                       f"body and joints of {assessment.plan.earth[name].name or name}")
