"""Wires made longer: splices staggered whatever the pins and the distance, partners together, and a plan that holds
together and passes the checks on splices afterwards."""

from __future__ import annotations

import copy
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuseplan.build.facts import build_facts
from fuseplan.checks import assess
from fuseplan.checks.rules.joints_side_by_side import STAGGER_M
from fuseplan.errors import EditError
from fuseplan.looms.extending import Longer, edits, furthest_back, in_order, longer
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import PinId
from fuseplan.planfile.plain import with_value
from fuseplan.quantities import writing
from tests.looms.two_looms import plan_data

PINS = [str(number) for number in range(1, 25)]


def made_longer(data: dict[str, Any], pins: list[PinId], by_m: float) -> tuple[dict[str, Any], list[Longer]]:
    plan = Plan.model_validate(data)
    found = longer(plan, pins, by_m)
    for each in in_order(found):
        pin = plan.connector[each.at.connector].pin[each.at.pin]
        for path, value in edits(data, each, pin, plan.connector[each.at.connector].zone):
            data = with_value(data, path, value)
    return data, found


@settings(max_examples=12, deadline=None)
@given(st.sets(st.sampled_from(PINS), min_size=1, max_size=12), st.floats(0.01, 5.0))
def test_no_two_splices_lie_side_by_side_nor_at_the_connector(pins: set[str], by_m: float) -> None:
    data, found = made_longer(plan_data(), [PinId("ecu", pin) for pin in sorted(pins)], by_m)
    places = sorted(each.length_m for each in found)
    assert places[0] >= STAGGER_M * (1 - 1e-9)
    assert all(far - near >= STAGGER_M * (1 - 1e-6) for near, far in pairwise(places))
    assert all(each.length_m - each.cut_back_m == pytest.approx(by_m) for each in found)
    said = {each.check for each in assess(Plan.model_validate(data)).findings}
    assert not said & {"joints-side-by-side", "pair-parted", "extension-thinner"}


def test_how_far_back_the_last_wire_of_a_whole_plug_is_cut_is_said_first() -> None:
    plan = Plan.model_validate(plan_data())
    found = longer(plan, [PinId("ecu", pin) for pin in PINS], 0.4)
    last = max(found, key=lambda each: each.cut_back_m)
    assert last.cut_back_m == pytest.approx((len(found) - 1) * STAGGER_M)
    said = furthest_back(plan, found)
    assert f"of {last.at.words}, cuts its wire back by {writing.burden(last.cut_back_m, 'm')}" in said
    assert "a plug between old and new wires" in said
    few = furthest_back(plan, longer(plan, [PinId("ecu", "1"), PinId("ecu", "2")], 0.4))
    assert "51 mm" in few
    assert "plug" not in few
    assert furthest_back(plan, longer(plan, [PinId("ecu", "1")], 0.4)) == ""


@pytest.mark.parametrize("first", ["9", "10", "11"])
def test_a_pair_and_its_shield_go_together_whichever_is_named(first: str) -> None:
    found = longer(Plan.model_validate(plan_data()), [PinId("ecu", first)], 0.4)
    assert {each.at.pin for each in found} == {"9", "10", "11"}
    assert any("twisted" in note for note in found[0].notes)
    assert any("earthed at the control unit only" in note for note in found[2].notes)


@settings(max_examples=12, deadline=None)
@given(st.sets(st.sampled_from(PINS), min_size=1, max_size=8), st.floats(0.01, 1.0), st.floats(0.01, 1.0))
def test_a_plug_moved_twice_has_wires_for_both_distances_and_splices_apart(pins: set[str], first_m: float,
                                                                          second_m: float) -> None:
    once, _ = made_longer(plan_data(), [PinId("ecu", pin) for pin in sorted(pins)], first_m)
    once["connector"]["ecu"]["pin"]["1"].setdefault("extension", {"length": "2 m"})["colour"] = "WH"
    data, found = made_longer(once, [PinId("ecu", pin) for pin in once["connector"]["ecu"]["pin"]], second_m)
    plan = Plan.model_validate(data)
    was = Plan.model_validate(once).connector["ecu"].pin
    for each in found:
        before, now = was[each.at.pin].extension, plan.connector["ecu"].pin[each.at.pin].extension
        assert now is not None
        added, cut = (0.0, 0.0) if before is None else (float(before.length), float(before.cut_back or 0.0))
        assert float(now.length) - float(now.cut_back or 0.0) == pytest.approx(added - cut + second_m, abs=2e-3)
    kept = plan.connector["ecu"].pin["1"].extension
    assert kept is not None
    assert kept.colour == "WH"
    assert "joints-side-by-side" not in {each.check for each in assess(plan).findings}


@pytest.mark.parametrize("fate", ["join", "new"])
def test_a_wire_that_is_joined_or_new_stays_that_when_it_is_made_longer(fate: str) -> None:
    data = plan_data()
    data["connector"]["dash"]["pin"]["4"]["fate"] = fate
    after, _ = made_longer(data, [PinId("dash", "4")], 0.5)
    pin = Plan.model_validate(after).connector["dash"].pin["4"]
    assert pin.fate == fate
    assert pin.extension is not None


def test_a_bus_stub_is_held_against_all_published_limits() -> None:
    data = plan_data()
    data["connector"]["donor_bulkhead"]["pin"]["14"]["stub"] = "0.2 m"
    found = longer(Plan.model_validate(data), [PinId("donor_bulkhead", "14")], 0.4)
    notes = " ".join(found[0].notes)
    assert "0.60 m" in notes or "0.6 m" in notes
    assert "0.30 m" in notes or "0.3 m" in notes


def test_spare_and_cut_wires_stay_as_they_are() -> None:
    plan = Plan.model_validate(plan_data())
    found = longer(plan, [PinId("dash", number) for number in plan.connector["dash"].pin], 1.0)
    assert {"21", "22"} & {each.at.pin for each in found} == set()
    with pytest.raises(EditError, match="cut off or spare"):
        longer(plan, [PinId("dash", "21")], 1.0)


def test_an_airbag_plug_is_refused() -> None:
    data = plan_data()
    data["connector"]["dash"]["out_of_scope"] = "airbag"
    with pytest.raises(EditError, match="the maker's own procedure"):
        longer(Plan.model_validate(data), [PinId("dash", "1")], 0.5)


def circuit_data() -> dict[str, Any]:
    data = plan_data()
    data["zone"] = {"bay": {"ambient": "60 degC"}, "cabin": {"ambient": "40 degC"}}
    data["battery"] = {"capacity": "60 Ah", "cold_crank": "500 A"}
    data["feed"] = {"post": {"zone": "cabin"}, "main": {"from": "post", "terminal": "30"},
                    "key": {"from": "main", "terminal": "15"}, "relay": {"from": "main", "terminal": "87"}}
    data["connector"]["car_bulkhead"]["zone"] = "bay"
    data["circuit"] = {"pump": {
        "feed": "post", "fuse": {"kind": "blade", "rating": "15 A"}, "earth": "negative",
        "wire": [{"size": "1.5 mm2", "length": "2 m", "zone": "cabin", "insulation": "pvc105", "colour": "RDGN",
                  "end": {"connector": "car_bulkhead", "pin": "11"}},
                 {"size": "1.5 mm2", "length": "3 m", "zone": "cabin", "insulation": "pvc105", "colour": "RDGN",
                  "start": {"connector": "donor_bulkhead", "pin": "9"}}],
        "load": [{"current": "6 A", "at": "13.5 V", "kind": "motor", "evidence": "measured"}]}}
    return data


@pytest.mark.parametrize("at", [PinId("car_bulkhead", "11"), PinId("donor_bulkhead", "9")])
def test_the_wire_of_a_circuit_gets_a_segment_and_the_longer_way_counts_at_once(at: PinId) -> None:
    before = circuit_data()
    after, found = made_longer(copy.deepcopy(before), [at], 1.0)
    plan = Plan.model_validate(after)
    wire = plan.circuit["pump"].wire
    assert len(wire) == 3
    assert sum(float(each.length or 0) for each in wire) == pytest.approx(6.0)
    new = next(each for each in wire if each.joint is not None)
    assert new.origin == "new"
    assert (new.size, new.colour) == ("1.5 mm2", "RDGN")
    ends = [end for each in wire for end in (each.start, each.end) if end is not None and end.connector is not None]
    assert [(end.connector, end.pin) for end in ends] == [("car_bulkhead", "11"), ("donor_bulkhead", "9")]
    assert found[0].end is not None
    was, now = (assess(Plan.model_validate(data)).circuit("pump") for data in (before, after))
    assert was.drop is not None
    assert now.drop is not None
    assert was.drop.judged_v is not None
    assert now.drop.judged_v is not None
    assert now.drop.judged_v > was.drop.judged_v
    assert plan.connector[at.connector].pin[at.pin].extension is None
    facts = build_facts(assess(plan))
    splice, = [line for line in facts.splices if line.name == found[0].splice]
    assert (splice.method, splice.sleeve, len(splice.pieces)) == ("crimp", "adhesive-lined heat-shrink", 2)
    cut, = [piece for piece in facts.pieces if piece.segment == new]
    assert len(cut.cuts) == 1
    assert cut.cuts[0].cut_m >= 1.0
    again, second = made_longer(after, [at], 0.5)
    assert second[0].splice != found[0].splice
    assert len(Plan.model_validate(again).circuit["pump"].wire) == 4


def test_splices_in_circuits_and_in_lone_wires_of_a_plug_lie_apart() -> None:
    data, first = made_longer(circuit_data(), [PinId("car_bulkhead", "11")], 1.0)
    _, second = made_longer(data, [PinId("car_bulkhead", "9")], 1.0)
    assert first[0].end is not None
    assert second[0].end is None
    assert abs(first[0].length_m - second[0].length_m) >= STAGGER_M * (1 - 1e-9)
