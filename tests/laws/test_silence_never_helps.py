"""Leaving a figure out never turns a verdict into ok, unless the plan's reader is told what was taken instead."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value, without

COUPE = Path(__file__).parents[2] / "examples" / "coupe_turbo.toml"
FIGURES = frozenset({
    "size", "length", "resistance", "rating", "current", "power", "at", "inrush", "inrush_time", "ambient",
    "insulation", "capacity", "cold_crank", "internal_resistance", "open_circuit", "rated", "low_speed", "label",
    "pulley_ratio", "regulator_voltage", "driver_limit", "coil", "duty", "range", "evidence", "use", "kind", "wire",
    "earth_wire", "cable", "state_of_charge", "temperature", "along", "earth", "feed",
    "design_voltage", "standby", "when",
})
"""Keys that hold a figure or decide one. Not among them: what the owner asks of a part (its class, what it must do, the
limit of its bus), which no verdict can miss once it is no longer asked; a joint, without which the wire is in one
piece; the zone of what is no wire and no earth point, whose place is then that of the part it sits on; and the rating
of a fuse, which is then proposed and shown as proposed."""
Place = tuple[str | int, ...]


def figures(value: Any, at: Place = ()) -> Iterator[Place]:
    """Places of everything that may be left out."""
    if isinstance(value, dict):
        for key, each in value.items():
            if at and ((key in FIGURES and not (key == "rating" and at[-1] == "fuse")) or says_where(key, at)):
                yield (*at, key)
            yield from figures(each, (*at, key))
    elif isinstance(value, list):
        for number, each in enumerate(value):
            if isinstance(each, dict):
                yield from figures(each, (*at, number))


def says_where(key: str, at: Place) -> bool:
    """Whether a key says where a wire lies, its own or that of a run, or an earth point is."""
    return key == "zone" and (at[0] in ("run", "earth") or at[-2:-1] in (("wire",), ("earth_wire",), ("cable",)))


def plan_without(data: dict[str, Any], place: Place) -> Plan | None:
    """The plan with one thing left out; None where the format does not let it be."""
    try:
        return Plan.model_validate(without(data, place))
    except ValueError:
        return None


def told(assessment: Assessment, place: Place, circuit: str) -> bool:
    """An assumption or a finding names what was left out, or a question of the circuit does."""
    path = ".".join(map(str, place))
    if place[-1] == "zone" and any("the zone of" in each.what for each in assessment.not_said_of("circuit", circuit)):
        return True
    return any(each.key.startswith(path) or path.startswith(each.key) for each in assessment.assumptions) or any(
        path.startswith(field) for each in assessment.findings for field in each.fields
        if each.check in ("figures-missing", "improbable-figure", "zone-not-stated"))


def helped(data: dict[str, Any]) -> tuple[list[tuple[str, str]], int]:
    """(what was left out, circuit that became ok without a word), and how many were tried."""
    plain = assess(Plan.model_validate(data))
    before = {name: plain.verdict(name) for name in plain.plan.circuit}
    assert any(verdict != "ok" for verdict in before.values())
    found, tried = [], 0
    for place in figures(data):
        plan = plan_without(data, place)
        if plan is None:
            continue
        tried += 1
        after = assess(plan)
        found += [(".".join(map(str, place)), name) for name in before
                  if before[name] != "ok" and after.verdict(name) == "ok" and not told(after, place, name)]
    return found, tried


GOOD = """
fuseplan = 1
[battery]
capacity = "60 Ah"
cold_crank = "420 A"
zone = "bay"
[alternator]
rated = "90 A"
low_speed = "50 A"
pulley_ratio = 2.2
regulator_voltage = "14.2 V"
cable = [{ size = "35 mm2", length = "1 m", zone = "bay", insulation = "xlpe125" }]
fuse = { kind = "mega", rating = "100 A", zone = "bay" }
earth = "engine"
[zone.bay]
ambient = "80 degC"
[zone.cabin]
ambient = "45 degC"
[zone.manifold]
ambient = "140 degC"
[run.sill]
from = "a"
to = "b"
length = "2 m"
zone = "cabin"
[feed.post]
zone = "bay"
[feed.bus]
from = "post"
zone = "cabin"
fuse = { kind = "maxi", rating = "50 A", distance = "100 mm" }
wire = [{ size = "16 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }]
[feed.ignition]
from = "bus"
zone = "cabin"
live = ["ignition", "crank", "running"]
relay = { contact = "mini_60", coil_feed = "bus", driver = "switch", suppression = "diode" }
wire = [{ size = "10 mm2", length = "0.3 m", zone = "cabin", insulation = "xlpe125" }]
[earth.negative]
[earth.engine]
to = "negative"
engine = true
wire = [{ size = "50 mm2", length = "0.6 m", zone = "bay", insulation = "xlpe125" }]
[earth.body]
to = "negative"
zone = "cabin"
resistance = "1 mohm"
[circuit.starter]
feed = "post"
wire = [{ size = "50 mm2", length = "0.8 m", zone = "bay", insulation = "xlpe125", cover = "sleeve" }]
role = "starter"
earth = "engine"
earth_wire = [{ size = "50 mm2", length = "0.1 m", zone = "bay", insulation = "xlpe125" }]
drop_class = "starter_main"
[[circuit.starter.load]]
current = "160 A"
at = "10 V"
kind = "motor"
inrush = 3
inrush_time = "200 ms"
use = "momentary"
when = ["crank"]
evidence = "measured"
[circuit.ecu]
role = "engine_control_unit"
feed = "ignition"
fuse = { kind = "blade", rating = "10 A" }
wire = [{ size = "2.5 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }]
earth = "engine"
earth_wire = [{ size = "2.5 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }]
must_run = ["crank", "running"]
drop_class = "control"
[[circuit.ecu.load]]
current = "3 A"
at = "13.5 V"
kind = "electronic"
inrush = 2
inrush_time = "1 ms"
when = ["engine", "crank"]
evidence = "measured"
[circuit.lamps]
role = "reverse_lamps"
feed = "bus"
fuse = { kind = "blade", rating = "7.5 A" }
switch = { rating = "15 A", resistance = "5 mohm" }
wire = [{ size = "2.5 mm2", along = ["sill"], insulation = "xlpe125", joint = { resistance = "1 mohm" } }]
earth = "body"
earth_wire = [{ size = "2.5 mm2", length = "0.5 m", zone = "cabin", insulation = "xlpe125" }]
drop_class = "lamp"
[[circuit.lamps.load]]
power = "21 W"
at = "12 V"
kind = "lamp"
inrush = 10
inrush_time = "5 ms"
when = ["night"]
evidence = "measured"
design_voltage = "12 V"
[circuit.fan]
role = "cooling_fan"
feed = "bus"
fuse = { kind = "blade", rating = "20 A" }
wire = [{ size = "4 mm2", along = ["sill"], insulation = "xlpe125" }]
earth = "body"
earth_wire = [{ size = "4 mm2", length = "0.5 m", zone = "cabin", insulation = "xlpe125" }]
drop_class = "control"
[circuit.fan.relay]
contact = "mini_60"
coil_feed = "ignition"
driver = "ecu"
driver_limit = "500 mA"
coil = "90 ohm"
suppression = "diode"
[[circuit.fan.load]]
current = "9 A"
at = "13.5 V"
kind = "motor"
inrush = 3
inrush_time = "100 ms"
when = ["rain"]
evidence = "measured"
[circuit.seat]
role = "comfort"
feed = "bus"
fuse = { kind = "blade", rating = "15 A" }
switch = { rating = "20 A", resistance = "5 mohm" }
wire = [{ size = "4 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }]
earth = "body"
drop_class = "control"
[[circuit.seat.load]]
current = "1 A"
at = "12 V"
kind = "resistive"
evidence = "measured"
[circuit.clock]
role = "instruments"
feed = "bus"
fuse = { kind = "mini", rating = "2 A" }
wire = [{ size = "1 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }]
earth = "body"
drop_class = "lamp_small"
[[circuit.clock.load]]
current = "0.2 A"
at = "12 V"
kind = "resistive"
evidence = "measured"
"""
"""Every circuit ok or, beside the starter, as near to it as its checks let it be."""

BAD: dict[str, tuple[Any, ...]] = {
    "size": ("0.5 mm2",), "length": ("60 m",), "resistance": ("0.5 ohm",), "rating": ("1 A", "40 A", "120 A"),
    "current": ("70 A",), "power": ("500 W",), "at": ("6 V",), "inrush": (60,), "inrush_time": ("20 s",),
    "insulation": ("pvc70",), "cold_crank": ("60 A", "4000 A"), "driver_limit": ("5 mA",), "coil": ("5 ohm",),
    "evidence": ("guess",), "design_voltage": ("18 V",), "regulator_voltage": ("11 V", "17 V"), "rated": ("6 A",),
    "state_of_charge": (0.05,), "capacity": ("3 Ah",), "low_speed": ("1 A",), "pulley_ratio": (0.5, 9.0),
    "kind": ("electronic", "lamp"), "zone": ("manifold",),
}
"""Values of a key that may break a circuit."""


@pytest.mark.share
def test_a_figure_that_breaks_a_circuit_does_not_mend_it_by_being_left_out(in_full: bool) -> None:
    good = tomllib.loads(GOOD)
    plain = assess(Plan.model_validate(good))
    assert [plain.verdict(name) for name in plain.plan.circuit].count("ok") >= 4
    broke: set[tuple[Place, str]] = set()
    found: list[tuple[str, Any, str]] = []
    for place in list(figures(good))[::1 if in_full else 4]:
        silent = plan_without(good, place)
        after = None if silent is None else assess(silent)
        for value in BAD.get(str(place[-1]), ()) if after is not None else ():
            try:
                bad = assess(Plan.model_validate(with_value(good, place, value)))
            except ValueError:
                continue
            broken = [name for name in bad.plan.circuit if bad.verdict(name) != "ok"]
            broke.update((place, name) for name in broken)
            assert after is not None
            found += [(".".join(map(str, place)), value, name) for name in broken
                      if after.verdict(name) == "ok" and not told(after, place, name)]
    assert len(broke) > (40 if in_full else 10)
    assert found == []


@pytest.mark.long
def test_no_figure_left_out_of_the_coupe_makes_anything_ok_in_silence() -> None:
    found, tried = helped(tomllib.loads(COUPE.read_text(encoding="utf-8")))
    assert tried > 400
    assert found == []
