"""The wires of a relay's coil are judged as every other wire is, and no plan looks better for leaving them out."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.errors import PlanError
from fuseplan.plan.coils import is_coil_wire
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from fuseplan.results.coil import CoilResult
from tests.checks.check_plans import BASE

PUMP = """
[feed.thick]
from = "bus"
zone = "cabin"
fuse = { kind = "maxi", rating = "30 A", position = "9" }
wire = [{ size = "6 mm2", length = "0.5 m", zone = "cabin", insulation = "xlpe125" }]

[feed.control]
from = "thick"
zone = "cabin"
fuse = { kind = "mini", rating = "3 A", position = "10" }

[circuit.pump]
feed = "thick"
role = "horn"
fuse = { kind = "blade", rating = "15 A", position = "1" }
wire = [{ size = "4 mm2", length = "3 m", zone = "cabin", insulation = "pvc105" }]
earth = "body"
earth_wire = [{ size = "4 mm2", length = "0.5 m", zone = "cabin", insulation = "pvc105" }]
relay = { contact = "mini_40", coil_feed = "thick", driver = "ecu", driver_limit = "1 A", suppression = "diode" }
[[circuit.pump.load]]
current = "6 A"
at = "13.5 V"
kind = "resistive"
when = ["engine"]
evidence = "measured"
"""
THIN = {"size": "0.5 mm2", "length": "2 m", "zone": "cabin", "insulation": "pvc105"}


def data(**relay: Any) -> dict[str, Any]:
    found = tomllib.loads(BASE + PUMP)
    found["circuit"]["pump"]["relay"] |= relay
    return found


def judged(plan: dict[str, Any]) -> Assessment:
    return assess(Plan.model_validate(plan))


def found(plan: dict[str, Any]) -> set[tuple[str, str, str]]:
    return {(each.check, each.subject, each.level) for each in judged(plan).findings}


def coil(plan: dict[str, Any]) -> CoilResult:
    result = judged(plan).circuit("pump").coil
    assert result is not None
    return result


def test_a_thin_coil_wire_behind_the_fuse_of_a_thick_feed_is_a_danger_and_a_fuse_of_its_own_removes_it() -> None:
    plain = found(data())
    for side in ("wire_86", "wire_85"):
        bare = found(data(**{side: [THIN]})) - plain
        assert ("fuse-exceeds-wire", "thick", "danger") in bare
        fused = found(data(**{side: [THIN], "coil_feed": "control"})) - found(data(coil_feed="control"))
        assert not [each for each in fused if each[2] == "danger"]


def test_a_coil_wire_that_no_fuse_protects_is_a_danger_however_short() -> None:
    plan = data(wire_86=[THIN | {"length": "0.1 m"}])
    del plan["feed"]["thick"]["fuse"], plan["feed"]["bus"]["fuse"]
    named = [each for each in judged(plan).findings if each.check == "no-fuse" and each.subject == "pump"]
    assert [each.level for each in named] == ["danger"]
    assert "coil wires" in named[0].message


def test_coil_wires_only_ever_add_findings() -> None:
    plain = found(data(coil_feed="control"))
    for more in ({"wire_86": [THIN]}, {"wire_85": [THIN]}, {"wire_86": [THIN], "wire_85": [THIN]},
                 {"wire_86": [{"length": "1 m"}]}, {"wire_86": [{"size": "0.5 mm2"}]}):
        assert found(data(coil_feed="control", **more)) >= plain, more


@pytest.mark.parametrize("without", ["size", "length"])
def test_a_coil_wire_that_is_described_in_part_leaves_its_circuit_unknown(without: str) -> None:
    segment = {key: value for key, value in THIN.items() if key != without}
    assert judged(data(coil_feed="control", wire_86=[THIN])).verdict("pump") != "unknown"
    assert judged(data(coil_feed="control", wire_86=[segment])).verdict("pump") in ("unknown", "fails")
    wires = coil(data(coil_feed="control", wire_86=[segment])).wires
    assert wires is not None
    assert wires.far_end_a is None


def test_the_voltage_and_the_current_of_a_coil_close_over_its_wires() -> None:
    """Two wires of 2 m and 0.5 mm² at 37.1 mΩ/m, ISO 6722 at 20 °C, and hotter copper: the coil has its feed's voltage
    less what its own current loses in them."""
    plain, wired = coil(data(coil_feed="control")), coil(data(coil_feed="control", wire_86=[THIN], wire_85=[THIN]))
    assert plain.volts is not None
    assert wired.volts is not None
    assert wired.current_a is not None
    lost = plain.volts - wired.volts
    ohm = sum(each.resistance_ohm or 0.0 for each in wired.segments)
    assert 4 * 0.0371 <= ohm <= 4 * 0.0371 * 1.4
    assert 0 < lost == pytest.approx(wired.volts / 90.0 * ohm, rel=0.02)


def test_a_short_at_the_coil_is_limited_by_its_own_wires() -> None:
    short, long = (far_end(length) for length in ("1 m", "20 m"))
    assert short > 3 * long
    assert long < 13.0 / (20 * 0.0371)
    slow = found(data(coil_feed="thick", wire_86=[THIN | {"length": "20 m"}]))
    assert ("no-trip-far-end", "thick", "danger") in slow


def far_end(length: str) -> float:
    wires = coil(data(coil_feed="control", wire_86=[THIN | {"length": length}])).wires
    assert wires is not None
    assert wires.far_end_a is not None
    return wires.far_end_a


def test_a_short_in_one_coil_wire_is_that_of_its_own_coil_whichever_side_is_stated() -> None:
    """Two coils behind one fuse: a short in the near one's wire draws what it always did, whatever the far one's is."""
    for side in ("wire_86", "wire_85"):
        plan = data(coil_feed="control", **{side: [THIN]})
        alone = coil_segment(plan)
        plan["circuit"]["far"] = copy.deepcopy(plan["circuit"]["pump"])
        plan["circuit"]["far"]["relay"][side] = [THIN | {"length": "40 m"}]
        assert coil_segment(plan) == pytest.approx(alone, rel=1e-3)


def coil_segment(plan: dict[str, Any]) -> float:
    """Smallest short circuit through the wire of the pump's coil [A]."""
    results = judged(plan).results
    segments = results.network.segments
    [index] = [index for index, (owner, place) in enumerate(zip(segments.owner, segments.place, strict=True))
               if owner == ("circuit", "pump") and is_coil_wire(place)]
    return float(results.faults.segment_fault_a[index])


def test_a_coil_wire_carries_the_current_of_its_coil_whatever_the_load_draws() -> None:
    """12 Ω at the 14.2 V that a regulator holds: 1.2 A, and 15 % more at its worst case at most."""
    plan = data(coil_feed="control", coil="12 ohm", wire_86=[THIN], wire_85=[THIN])
    del plan["circuit"]["pump"]["load"][0]["current"], plan["circuit"]["pump"]["load"][0]["at"]
    wires = coil(plan).wires
    assert wires is not None
    for segment in coil(plan).segments:
        assert segment.current_a == pytest.approx(14.2 / 12.0, rel=0.15)


def test_a_coil_with_too_few_volts_is_reported_and_a_shorter_wire_removes_it() -> None:
    far = {"coil": "5 ohm", "wire_86": [THIN | {"length": "90 m"}], "coil_feed": "control"}
    [short] = [each for each in judged(data(**far)).findings if each.check == "relay-cannot-pull-in"]
    assert short.figure_side == "limit"
    assert (short.figure or 0.0) < (short.limit or 0.0)
    assert "up to" in short.message
    assert "relay-cannot-pull-in" not in {each[0] for each in found(data(**far | {"wire_86": [THIN]}))}


def test_the_wires_of_a_coil_are_no_wires_of_its_circuit() -> None:
    plain, wired = (judged(data(coil_feed="control", **more)).circuit("pump")
                    for more in ({}, {"wire_86": [THIN], "wire_85": [THIN]}))
    assert plain.wire == wired.wire == "4 mm2"
    assert len(plain.segments) == len(wired.segments) == 2
    assert wired.coil is not None
    assert [each.place for each in wired.coil.segments] == [
        "relay.wire_86.0", "relay.wire_85.0"]


def test_coil_wires_not_said_are_asked_and_safety_rests_on_them_behind_a_large_fuse() -> None:
    def asked(plan: dict[str, Any]) -> list[str]:
        return [each.what for each in judged(plan).not_said if each.kind == "coil_wire"]

    both, one = data(), data(wire_86=[THIN])
    assert asked(both) == ["the wires of its relay's coil, to terminal 86 and from terminal 85"]
    assert asked(one) == ["the wire of its relay's coil, from terminal 85"]
    assert asked(data(wire_86=[THIN], wire_85=[THIN])) == []
    (question,) = [each for each in judged(both).not_said if each.kind == "coil_wire"]
    assert question.safety
    assert "30 A" in question.detail
    assert "0.5 mm² allows" in question.detail
    (small,) = [each for each in judged(data(coil_feed="control")).not_said if each.kind == "coil_wire"]
    assert small.detail == ""
    assert not small.safety


def test_where_nothing_is_on_file_for_a_usual_coil_wire_safety_rests_on_it_whatever_the_fuse() -> None:
    """The table for small craft begins at a thicker size."""
    (question,) = [each for each in assess(Plan.model_validate(data(coil_feed="control")), "small_craft").not_said
                   if each.kind == "coil_wire"]
    assert question.safety
    assert "nothing on file for 0.5 mm²" in question.detail


def test_the_fuse_named_for_coil_wires_without_one_is_not_that_of_some_of_them_alone() -> None:
    def named(**relay: Any) -> str:
        plan = data(**relay)
        del plan["feed"]["thick"]["fuse"], plan["feed"]["bus"]["fuse"]
        return next(each.fix for each in judged(plan).findings if each.check == "no-fuse" and each.subject == "pump")

    assert "of at most" in named(wire_86=[THIN], wire_85=[THIN])
    assert "of at most" not in named(wire_86=[THIN], wire_85=[{"length": "2 m"}])


def test_a_diode_whose_terminals_the_plan_swaps_is_reported() -> None:
    wired = {"coil_feed": "control", "wire_86": [THIN | {"end": {"connector": "socket", "pin": "85"}}]}
    assert "no-suppression" in {each[0] for each in found(data(**wired))}
    assert "no-suppression" not in {each[0] for each in found(data(**wired | {"suppression": "resistor"}))}
    right = copy.deepcopy(wired)
    right["wire_86"][0]["end"]["pin"] = "86"
    assert "no-suppression" not in {each[0] for each in found(data(**right))}


@pytest.mark.parametrize(("relay", "words"), [
    ('driver_side = "earth"', "but not by what"),
    ('driver = "ecu", driver_before = 1', "its `wire_85` has 0 segments"),
    ('driver = "switch", driver_before = 2, wire_86 = [{ size = "0.5 mm2" }]', "its `wire_86` has 1 segments"),
    ('coil_earth = "nowhere"', "nowhere"),
    ('wire_86 = [{ along = ["nowhere"] }]', "nowhere"),
])
def test_what_a_relay_says_of_its_coil_must_fit_together(relay: str, words: str) -> None:
    text = (BASE + PUMP).replace('coil_feed = "thick", driver = "ecu", driver_limit = "1 A", suppression = "diode"',
                                 f'coil_feed = "thick", {relay}')
    assert text != BASE + PUMP
    with pytest.raises(PlanError, match=words):
        parse_plan(text)


def test_a_joint_of_unknown_resistance_in_a_coil_wire_is_among_what_is_taken() -> None:
    plan = data(coil_feed="control", wire_85=[THIN | {"joint": {"method": "crimp"}}])
    assert "circuit.pump.relay.wire_85.0.joint.resistance" in {each.key for each in judged(plan).assumptions}
