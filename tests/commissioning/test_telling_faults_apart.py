"""Faults that look alike in what the sheet asks for are told apart by the reading the program asks for next.

Readings are what each fault shows by hand: Ohm's law, a bulb of 21 W in series, a dead wire 0 V.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from fuseplan.bench.diagnosis import diagnose
from fuseplan.bench.diagnosis_records import Diagnosis, Taken
from fuseplan.bench.expected import expected
from fuseplan.bench.points import points
from fuseplan.bench.sheet import sheet_of
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.limits import limit_set
from tests.plans import plan_of

SUPPLY_V = 12.6
WIRE = [{"size": "2.5 mm2", "length": "3 m", "zone": "cabin"}]


def _car(load: dict[str, object], own_wire: bool = False, circuits: Sequence[str] = ("one",)) -> Assessment:
    on = {"when": ["key_on"], "evidence": "measured", **load, **({"wire": WIRE} if own_wire else {})}
    return assess(plan_of({
        "fuseplan": 1, "battery": {"open_circuit": f"{SUPPLY_V} V", "internal_resistance": "5 mohm"},
        "zone": {"cabin": {"ambient": "20 degC"}}, "feed": {"post": {}}, "earth": {"negative": {}},
        "circuit": {name: {"feed": "post", "fuse": {"kind": "blade", "rating": "15 A"}, "switch": {"rating": "20 A"},
                           "wire": WIRE, "earth": "negative", "earth_wire": WIRE, "load": [on]} for name in circuits},
        "condition": {"driving": {"state": "ignition", "when": ["key_on"]}}}), limit_set("road"))


def _told(car: Assessment, **read: float) -> Diagnosis:
    at = points(car)
    taken = {f"circuit.one.{what}": value for what, value in read.items() if "__" not in what}
    taken |= {"circuit." + what.replace("__", "."): value for what, value in read.items() if "__" in what}
    return diagnose(car, "one", [Taken(at["battery.volts"], "alone", SUPPLY_V), *(
        Taken(at[address], "unpowered" if address.endswith("ohm") else "alone", value)
        for address, value in taken.items())])


DEAD = {"current": 0.0, "supply_mv": SUPPLY_V, "return_mv": 0.0, "load_v": 0.0, "off_v": 0.0}


def test_a_bulb_tells_a_short_from_a_fuse_that_only_blew_once() -> None:
    """A motor of 5 A draws some 25 A cold, 0.5 Ω: an ohmmeter that shows tenths takes it for a short."""
    car = _car({"current": "5 A", "kind": "motor"})
    found = _told(car, **DEAD)
    assert found.next is not None
    assert found.next.point.what == "bulb_v"
    short = _told(car, **DEAD, bulb_v=12.4, plus_to_earth_ohm=float("inf"))
    assert short.suspects[0].fault.kind == "short_across_load"
    # 21 W at 12 V is 1.75 A: 0.5 Ω beside it leave the bulb 11.7 V.
    blown = _told(car, **DEAD, bulb_v=11.2, plus_to_earth_ohm=float("inf"))
    assert blown.suspects[0].fault.id == "open:circuit.one.fuse"
    assert _told(car, **DEAD, bulb_v=0.0).suspects[0].fault.kind not in ("short_across_load", "short_to_earth")


@pytest.mark.parametrize("true", ["two", "three"])
def test_of_equal_neighbours_the_one_whose_wire_is_swapped_is_found(true: str) -> None:
    """This circuit's wire feeds the other's load while that one is off."""
    car = _car({"current": "5 A", "kind": "resistive"}, circuits=("one", "two", "three"))
    swapped = {"current": 5.25, "supply_mv": SUPPLY_V, "return_mv": 0.0, "load_v": 0.0, "off_v": 12.5}
    first = _told(car, **swapped)
    assert {each.fault.kind for each in first.suspects[:2]} == {"wires_swapped"}
    assert first.next is not None
    assert first.next.point.what == "off_v"
    assert first.next.point.subject in ("two", "three")
    found = _told(car, **swapped, two__off_v=12.5 if true == "two" else 0.0)
    assert found.suspects[0].fault.place == f"circuit.one.and.{true}"


@pytest.mark.parametrize(("volts", "place"), [(0.0, "circuit.one.wire"), (SUPPLY_V, "circuit.one.own_wire.0")])
def test_an_open_is_found_on_its_side_of_the_end_of_the_common_wire(volts: float, place: str) -> None:
    car = _car({"current": "5 A", "kind": "resistive"}, own_wire=True)
    found = _told(car, **DEAD, bulb_v=0.0, contact_mv=0.0, holder_mv=0.0, own_wire_mv=volts)
    assert (found.suspects[0].fault.kind, found.suspects[0].fault.place) == ("open", place)


@pytest.mark.parametrize("ohm", [0.5, 0.6, 0.65])
def test_resistance_is_found_close_to_what_electronics_can_live_on(ohm: float) -> None:
    """Below half its voltage a load of constant power draws twice its current: 8 A at 13.5 V draws 16 A, and 0.65 Ω
    leave it 2 V. More current, or more resistance, and there is no such state at all."""
    car = _car({"current": "8 A", "at": "13.5 V", "kind": "electronic", "evidence": "typical"})
    lost = 16.0 * ohm
    volts = SUPPLY_V - 16.0 * (0.005 + 0.05) - lost
    found = _told(car, current=16.0, supply_mv=0.44, return_mv=lost + 0.35, load_v=volts, off_v=0.0,
                  earth_mv=lost + 0.35)
    assert found.suspects[0].fault.id == "resistance:circuit.one.return"
    assert found.suspects[0].size == pytest.approx(ohm, rel=0.2)


FUSE = {"fuse": {"kind": "blade", "rating": "30 A"}}
KEYED = {"live": ["ignition", "running"]}


@pytest.mark.one_in(3, first=1)
@pytest.mark.parametrize(("parted", "terminal"), [
    ({"coil_bus": FUSE}, "30 with the fuse of coil_bus out"), ({"load_bus": FUSE}, "86 with the fuse of load_bus out"),
    ({"coil_bus": KEYED}, "30 with the key off"), ({"load_bus": KEYED}, "86 with the key off")])
def test_feeds_of_coil_and_contact_that_are_swapped_are_told_by_leaving_one_dead(
        parted: dict[str, dict[str, object]], terminal: str) -> None:
    """Both feeds are live, so everything else reads as planned."""
    bus = {"from": "post", "wire": [{"size": "10 mm2", "length": "1 m", "zone": "cabin"}]}
    car = assess(plan_of({
        "fuseplan": 1, "battery": {"open_circuit": f"{SUPPLY_V} V", "internal_resistance": "5 mohm"},
        "zone": {"cabin": {"ambient": "20 degC"}}, "earth": {"negative": {}},
        "feed": {"post": {}, **{name: {**bus, **parted.get(name, {})} for name in ("coil_bus", "load_bus")}},
        "circuit": {"one": {"feed": "load_bus", "fuse": {"kind": "blade", "rating": "15 A"}, "wire": WIRE,
                            "earth": "negative", "earth_wire": WIRE,
                            "relay": {"contact": "mini_40", "coil_feed": "coil_bus"},
                            "load": [{"current": "5 A", "kind": "resistive", "evidence": "measured",
                                      "when": ["key_on"]}]}},
        "condition": {"driving": {"state": "ignition", "when": ["key_on"]}}}), limit_set("road"))
    assert f"relay {terminal}" in points(car)["circuit.one.relay_feed_v"].words
    meant = {what: expected(car, points(car)[f"circuit.one.{what}"], "alone").value
             for what in ("current", "supply_mv", "return_mv", "load_v", "off_v", "coil_v", "relay_feed_v")}
    as_planned = {what: value for what, value in meant.items() if value is not None}
    assert as_planned["relay_feed_v"] == pytest.approx(SUPPLY_V, abs=0.1)
    assert _told(car, **as_planned).suspects[0].fault.kind == "healthy"
    swapped = _told(car, **{**as_planned, "relay_feed_v": 0.0})
    assert swapped.suspects[0].fault.id == "feeds_swapped:circuit.one.relay"
    assert ("circuit.one.relay_feed_v", "alone") in {row.key for section in sheet_of(car) for row in section.rows}
