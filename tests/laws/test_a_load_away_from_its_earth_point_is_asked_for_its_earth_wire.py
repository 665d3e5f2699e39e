"""A load without an earth wire counts as bolted to its earth point: where its wire ends in another zone it is asked for
the wire, or for the joint, and so it is wherever it is if it draws more than a load's own body is used for."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.not_said import NotSaid
from fuseplan.planfile.library import definitions
from fuseplan.planfile.plain import with_value, without
from fuseplan.planfile.starter import starter_plan
from tests.plans import plan_of

CAR = """
fuseplan = 1
[vehicle]
system = "12 V"
[battery]
cold_crank = "500 A"
capacity = "60 Ah"
[zone.cabin]
ambient = "30 degC"
[zone.boot]
ambient = "30 degC"
[run.sill]
from = "box"
to = "boot"
length = "2 m"
zone = "boot"
[feed.post]
zone = "cabin"
[earth.post]
[earth.body]
to = "post"
zone = "boot"
resistance = "1 mohm"
[circuit.pump]
feed = "post"
role = "other"
fuse = { kind = "blade", rating = "20 A", distance = "0.1 m" }
wire = [{ size = "4 mm2", length = "2 m", zone = "cabin" }]
earth = "body"
[[circuit.pump.load]]
name = "Pump"
current = "6 A"
kind = "motor"
"""
WIRE = [{"size": "4 mm2", "length": "0.4 m", "zone": "cabin"}]


def asked(data: dict[str, Any]) -> list[NotSaid]:
    return [each for each in assess(plan_of(data)).not_said if each.kind == "earth_wire"]


def car(rating: str = "20 A", **more: Any) -> dict[str, Any]:
    data = tomllib.loads(CAR)
    data["circuit"]["pump"]["fuse"]["rating"] = rating
    data["circuit"]["pump"] |= more
    return data


def test_another_zone_says_that_there_is_an_earth_wire() -> None:
    found, = asked(car())
    assert (found.subject, found.key, found.safety) == ("pump", "circuit.pump.earth_wire", True)
    found, = asked(car(rating="10 A"))
    assert not found.safety


@pytest.mark.parametrize("answer", [
    {"earth_wire": WIRE}, {"wire": [{"size": "4 mm2", "length": "2 m", "zone": "boot"}]},
    {"wire": [{"size": "4 mm2", "along": ["sill"]}]}])
def test_nothing_is_asked_where_it_is_said_or_nothing_speaks_for_a_wire(answer: dict[str, Any]) -> None:
    assert asked(car())
    assert not asked(car(**answer))


@pytest.mark.parametrize(("amperes", "role", "on_engine", "is_asked"), [
    ("30 A", "other", False, True), ("30 A", "other", True, True), ("9 A", "other", False, False),
    ("30 A", "glow_plugs", True, False), ("30 A", "glow_plugs", False, True), ("30 A", "starter", True, False)])
@pytest.mark.parametrize("left_out", [(), ("earth", "body", "zone"), ("circuit", "pump", "wire", 0, "zone")])
def test_what_no_body_of_a_load_carries_is_asked_for_its_earth_wire_wherever_it_is(
        left_out: tuple[str | int, ...], amperes: str, role: str, on_engine: bool, is_asked: bool) -> None:
    """Above 10 A: common practice, no source. Starters and glow plugs are bolted to the engine."""
    data = car("40 A", role=role, wire=[{"size": "6 mm2", "length": "2 m", "zone": "boot"}])
    data["circuit"]["pump"]["load"][0]["current"] = amperes
    data["circuit"]["pump"]["load"][0]["evidence"] = "measured"
    data["earth"]["body"]["engine"] = on_engine
    data = without(data, left_out) if left_out else data
    assert [each.safety for each in asked(data) if each.safety] == [True] * is_asked
    assert not asked(with_value(data, ("circuit", "pump", "load", 0, "earth_resistance"), "3 mohm"))
    assert not asked(with_value(data, ("circuit", "pump", "earth_wire"), WIRE))


@pytest.mark.parametrize("place", [("earth", "body", "zone"), ("circuit", "pump", "wire", 0, "zone"),
                                   ("run", "sill", "zone")])
def test_a_zone_left_out_does_not_end_the_question(place: tuple[str | int, ...]) -> None:
    """Behind a fuse for more than coils it is asked all the same, and the zone that ends it is named."""
    if place[0] == "run":
        data = without(car(wire=[{"size": "4 mm2", "along": ["sill"]}]), place)
    else:
        data = without(car(), place)
    found, = asked(data)
    assert (found.subject, found.key, found.safety) == ("pump", "circuit.pump.earth_wire", False)
    assert "zone" in found.what
    assert not asked(with_value(data, place, "boot" if place[0] != "earth" else "cabin"))
    data["circuit"]["pump"]["fuse"]["rating"] = "10 A"
    assert not asked(data)


def test_where_a_strap_begins_is_where_its_point_is_and_a_starter_is_bolted_to_the_engine() -> None:
    data = without(car(), ("earth", "body", "zone"))
    for zone, is_asked in (("cabin", False), ("boot", True)):
        assert bool(asked(with_value(data, ("earth", "body", "wire"), [{**WIRE[0], "zone": zone}]))) is is_asked
    engine = with_value(data, ("earth", "body", "engine"), True)
    assert asked(engine)
    assert not asked(with_value(engine, ("circuit", "pump", "role"), "starter"))


@pytest.mark.parametrize("answer", [{"earth_wire": WIRE}, {"earth_resistance": "3 mohm"}, {"to_feed": "post"}])
def test_a_load_answers_for_itself(answer: dict[str, Any]) -> None:
    data = car()
    first = data["circuit"]["pump"]["load"][0]
    data["circuit"]["pump"]["load"] = [first | answer, copy.deepcopy(first) | {"name": "Second pump"}]
    found, = asked(data)
    assert found.key == "circuit.pump.load.1.earth_wire"


def test_the_circuits_earth_wire_answers_for_no_load_with_an_earth_point_of_its_own() -> None:
    """That wire leads from the other loads to the circuit's earth point."""
    data = car(earth_wire=WIRE)
    pump = data["circuit"]["pump"]
    assert not asked(data)
    pump["load"][0]["earth"] = "body"
    found, = asked(data)
    assert (found.key, found.safety) == ("circuit.pump.load.0.earth_wire", True)
    pump["load"].append({**pump["load"][0], "name": "Second pump"})
    del pump["load"][0]["earth"]
    found, = asked(data)
    assert found.key == "circuit.pump.load.1.earth_wire"
    assert not asked(with_value(data, ("circuit", "pump", "load", 1, "earth_wire"), WIRE))


def test_a_new_plan_is_not_asked_it_and_each_wire_taken_out_of_one_in_another_zone_is() -> None:
    names = sorted(name for name, each in definitions().items()
                   if not any("out_of_scope" in table for table in each.circuits.values()))
    data = tomllib.loads(starter_plan("car", names))
    assert not asked(data)
    bare = copy.deepcopy(data)
    apart = set()
    for name, circuit in bare["circuit"].items():
        circuit.pop("earth_wire", None)
        for load in circuit["load"]:
            load.pop("earth_wire", None)
            last = (load.get("wire") or circuit["wire"])[-1]["zone"]
            zone = bare["earth"][load.get("earth") or circuit["earth"]]["zone"]
            if last != zone and "earth_resistance" not in load and "to_feed" not in load:
                apart.add(name)
    assert len(apart) > 3
    found = {each.subject for each in asked(bare)}
    assert found >= apart
    assert "fan" in found - apart
    assert not {"glow_plugs", "starter_main", "horn"} & found


@pytest.mark.parametrize(("role", "is_asked"), [("socket", True), ("other", False)])
def test_a_socket_is_earthed_by_a_wire_whatever_it_is_rated_for(role: str, is_asked: bool) -> None:
    data = car("5 A")
    data["circuit"]["pump"] |= {"role": role, "earth": "body"}
    data["circuit"]["pump"]["wire"][0]["zone"] = "boot"
    data["circuit"]["pump"]["load"][0]["current"] = "2 A"
    assert [each.safety for each in asked(data)] == [True] * is_asked
