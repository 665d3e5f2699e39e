"""Laws of what is cut, labelled and bought: nothing too short, nothing lost between the lists, nothing passed over."""

from __future__ import annotations

import copy
import tomllib
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.build.buying import fuse_item, wire_item
from fuseplan.build.cutting import cut, rounded_up_m
from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.build.marks import wire_labels, wire_marks
from fuseplan.build.numbers import letter, made_number
from fuseplan.checks.assessment import assess
from fuseplan.errors import PlanError
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import wires_of
from fuseplan.planfile.read import parse_plan
from tests import hostile
from tests.plans import plan_of

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
LENGTHS = st.floats(0.001, 100.0)
ENDS = st.floats(0.001, 0.06)


def data_of(name: str) -> dict[str, Any]:
    return tomllib.loads((EXAMPLES[0].parent / f"{name}.toml").read_text(encoding="utf-8"))


@cache
def facts_of(path: Path) -> BuildFacts:
    return build_facts(assess(plan_of(tomllib.loads(path.read_text(encoding="utf-8")))))


@cache
def hostile_facts() -> BuildFacts:
    return build_facts(assess(plan_of(hostile.plan_data(hostile.hostile))))


ALL = [*EXAMPLES, None]


def each_facts(path: Path | None) -> BuildFacts:
    return hostile_facts() if path is None else facts_of(path)


@given(LENGTHS, ENDS, ENDS)
def test_a_cut_is_never_shorter_than_its_way_and_its_ends(path_m: float, start_m: float, end_m: float) -> None:
    found = cut(path_m, start_m, end_m)
    assert found.cut_m >= path_m + 2 * (start_m + end_m) - 1e-9
    assert found.cut_m <= path_m + 2 * (start_m + end_m) + 0.010 + 1e-9
    assert found.over_mm > 0


@given(LENGTHS, LENGTHS, ENDS)
def test_a_longer_way_never_shortens_a_cut(one_m: float, other_m: float, end_m: float) -> None:
    short, long = sorted((one_m, other_m))
    assert cut(short, end_m, end_m).cut_m <= cut(long, end_m, end_m).cut_m
    assert rounded_up_m(short) <= rounded_up_m(long)


def test_a_longer_run_never_shortens_anything() -> None:
    data = data_of("coupe_turbo")
    before = build_facts(assess(plan_of(data)))
    data["run"]["bulkhead"]["length"] = "0.75 m"
    after = build_facts(assess(plan_of(data)))
    longer = 0
    for one, other in zip(before.pieces, after.pieces, strict=True):
        assert (other.path_m or 0.0) >= (one.path_m or 0.0)
        assert (other.cut_m or 0.0) >= (one.cut_m or 0.0)
        assert (wire_marks(other) or 0) >= (wire_marks(one) or 0)
        longer += (other.cut_m or 0.0) > (one.cut_m or 0.0)
    assert longer >= 5
    for one, other in zip(before.bundles, after.bundles, strict=True):
        assert (other.clips or 0) >= (one.clips or 0)


@pytest.mark.parametrize("path", ALL, ids=lambda each: each.stem if each else "hostile")
def test_the_wires_are_those_of_the_plan(path: Path | None) -> None:
    facts = each_facts(path)
    segments = facts.assessment.results.network.segments
    assert len(facts.pieces) > 10
    keys = list(zip(segments.owner, segments.place, strict=True))
    assert {piece.key for piece in facts.pieces} >= set(keys)
    assert len({piece.key for piece in facts.pieces}) == len(facts.pieces)
    plan = facts.assessment.plan
    entered = Counter((owner, f"{place}.{at}") for owner, place, wire in wires_of(plan) for at in range(len(wire))
                      if owner[0] != "circuit" or plan.circuit[owner[1]].out_of_scope is None)
    assert Counter((("alternator", "alternator") if piece.owner[0] == "alternator" else piece.owner, piece.place)
                   for piece in facts.pieces if piece.owner[0] != "connector") == entered
    lengths = dict(zip(keys, segments.length_m.tolist(), strict=True))
    for piece in facts.pieces:
        known = lengths.get(piece.key)
        if known is not None and known == known:
            assert piece.path_m == pytest.approx(known)
            assert piece.cut_m is None or piece.cut_m >= known - 1e-9
            assert (piece.cut_m is not None) == piece.is_cut


@pytest.mark.parametrize("path", ALL, ids=lambda each: each.stem if each else "hostile")
def test_metres_bought_are_the_metres_cut(path: Path | None) -> None:
    facts = each_facts(path)
    bought: Counter[str] = Counter()
    for line in facts.buying:
        if line.group in ("Wire", "Cable") and line.net is not None:
            bought[line.item] += line.net
            assert line.buy is not None
            assert line.buy >= line.net * 1.1 - 1e-9
    needed: Counter[str] = Counter()
    for piece in facts.pieces:
        if piece.cut_m is not None and piece.key not in facts.cable_of:
            needed[wire_item(piece)] += piece.cut_m
    for cable in facts.cables:
        needed[cable.item] += cable.cut_m or 0.0
    assert {item: pytest.approx(length) for item, length in needed.items()} == dict(bought)
    listed = {number for line in facts.buying if line.group == "Wire" for number in line.used}
    assert listed == {piece.number for piece in facts.pieces if piece.is_cut and piece.key not in facts.cable_of}


@pytest.mark.parametrize("path", ALL, ids=lambda each: each.stem if each else "hostile")
def test_every_fuse_of_the_map_is_bought_with_a_spare(path: Path | None) -> None:
    facts = each_facts(path)
    lines = {line.item: line for line in facts.buying if line.group == "Fuses"}
    mapped = Counter(fuse_item(fuse) for box in facts.boxes for slot in box.slots for fuse in slot.fuses
                     if not facts.is_idle(fuse.owner))
    elsewhere = Counter(fuse_item(fuse) for fuse in facts.loose_fuses)
    assert mapped + elsewhere == Counter(fuse_item(fuse) for fuse in facts.fuses)
    at_far_ends = Counter(fuse_item(fuse) for fuse in facts.far_fuses)
    for item, count in (mapped + elsewhere + at_far_ends).items():
        line = lines[item]
        assert line.used
        if "not known" not in item:
            assert line.net == count
            assert (line.buy or 0) >= count + 1


@pytest.mark.parametrize("path", ALL, ids=lambda each: each.stem if each else "hostile")
def test_every_end_of_a_wire_has_a_label_and_where_it_goes_or_says_what_is_missing(path: Path | None) -> None:
    facts = each_facts(path)
    asked = {}
    for point in facts.open_points:
        kind, _, named = point.subject.partition(" ")
        for number in named.split(", ") if kind == "wires" else (named,):
            asked[f"wire {number}"] = point.words
    for piece in facts.pieces:
        for label in wire_labels(piece):
            assert piece.label in label.lines[0]
            assert sum(line.startswith("to ") for line in label.lines) >= 1
            assert all(len(line) <= 24 for line in label.lines[1:] if line != piece.label)
            assert label.height_mm >= 1.75
        for end in (piece.start, piece.end):
            assert end.words
            finished = end.crimped.known or end.splice is not None or (end.connector is not None and end.pin)
            if piece.is_cut and not finished:
                assert end.lacking
            for what in end.lacking:
                assert what in asked[f"wire {piece.number}"]


@pytest.mark.parametrize("path", ALL, ids=lambda each: each.stem if each else "hostile")
def test_every_circuit_has_its_way_or_is_said_to_have_none(path: Path | None) -> None:
    facts = each_facts(path)
    asked = {point.subject for point in facts.open_points}
    for name, circuit in facts.assessment.plan.circuit.items():
        if circuit.out_of_scope is not None:
            assert (circuit.name or name) in asked
            assert not facts.owned.get(("circuit", name))
            continue
        way = facts.path(name)
        kinds = [step.what for step in way.steps]
        assert kinds.count("load") == len(circuit.load)
        assert kinds.count("wire") >= len(circuit.wire)
        assert (circuit.fuse is not None) <= ("fuse" in kinds)
        assert way.condition is not None


def test_the_way_of_a_circuit_that_is_never_on_has_no_figures() -> None:
    data = data_of("coupe_turbo")
    data["circuit"]["washer"]["load"][0]["when"] = ["never"]
    way = build_facts(assess(plan_of(data))).path("washer")
    assert way.condition is None
    assert {(step.volts, step.amps) for step in way.steps} == {(None, None)}


def test_numbers_are_stable_under_edits_of_other_circuits() -> None:
    data = data_of("coupe_turbo")
    before = {piece.key: piece.number for piece in build_facts(assess(plan_of(data))).pieces}
    more = copy.deepcopy(data["circuit"]["washer"])
    more["wire"][0].pop("number", None)
    changed = {"first": {**more, "name": "One more"}, **data["circuit"], "last": more}
    del changed["radio"]
    changed["blower"]["wire"].append({"size": "1 mm2", "length": "1 m"})
    data["circuit"] = changed
    after = {piece.key: piece.number for piece in build_facts(assess(plan_of(data))).pieces}
    kept = before.keys() & after.keys()
    assert len(kept) > 60
    assert all(before[key] == after[key] for key in kept)
    assert len(set(after.values())) == len(after)


NAMES = st.text(st.sampled_from("ab-2AN."), min_size=1, max_size=8) | st.sampled_from(["feed", "feed-a", "earth-a-A"])


@given(st.lists(st.tuples(st.sampled_from(["circuit", "feed", "earth"]), NAMES, st.sampled_from(
    ["wire.0", "wire.1", "earth_wire.0", "load.1.wire.0", "load.1.earth_wire.0", "load.11.wire.0"])), unique=True,
    min_size=2, max_size=6))
def test_two_wires_never_get_the_same_made_number(wires: list[tuple[str, str, str]]) -> None:
    numbers = [made_number((kind, name), place) for kind, name, place in wires
               if kind == "circuit" or place.startswith("wire")]
    assert len(set(numbers)) == len(numbers)


def test_letters_leave_out_what_is_mistaken_for_a_figure_or_an_earth() -> None:
    assert [letter(index) for index in (0, 7, 8, 22, 23)] == ["A", "H", "J", "Z", "AA"]
    assert not {"I", "O", "N"} & {letter(index) for index in range(23)}
    assert len({letter(index) for index in range(2000)}) == 2000


def test_a_number_entered_stays_and_shared_ones_get_letters() -> None:
    data = data_of("coupe_turbo")
    for segment in data["circuit"]["fuel_pump"]["wire"]:
        segment["number"] = "12"
    data["circuit"]["washer"]["wire"][0]["number"] = "40"
    found = {piece.key: (piece.number, piece.made) for piece in build_facts(assess(plan_of(data))).pieces}
    assert [found[("circuit", "fuel_pump"), f"wire.{index}"] for index in range(3)] == [
        ("12A", False), ("12B", False), ("12C", False)]
    assert found[("circuit", "washer"), "wire.0"] == ("40", False)
    data["circuit"]["radio"]["wire"][0]["number"] = " 40"
    assessment = assess(plan_of(data))
    twice = [each for each in assessment.findings if each.check == "duplicate-label"]
    assert [each.fields for each in twice] == [("circuit.radio.wire.0.number", "circuit.washer.wire.0.number")]
    data["circuit"]["radio"]["wire"][0]["number"] = "40"
    asked = build_facts(assess(plan_of(data))).open_points
    assert any(point.subject == "wire 40" and "2 wires have this number" in point.words for point in asked)


def test_what_the_plan_leaves_out_is_asked_for() -> None:
    text = {"fuseplan": 1, "feed": {"post": {}}, "earth": {"body": {}},
            "circuit": {"lamp": {"feed": "post", "earth": "body", "wire": [{}], "load": [{"name": "bulb"}]}}}
    facts = build_facts(assess(Plan.model_validate(text)))
    [piece] = facts.pieces
    assert (piece.cut_m, piece.path_m, piece.outside_mm, piece.area_mm2) == (None, None, None, None)
    said = {point.subject: point.words for point in facts.open_points}["wire lamp-A"]
    for what in ("size", "length", "insulation", "colour", "whether it is new", "terminal", "strip length"):
        assert what in said
    for group in ("Wire", "Labels"):
        [line] = [line for line in facts.buying if line.group == group]
        assert (line.net, line.buy) == (None, None)


def test_a_position_that_takes_another_fuse_says_so() -> None:
    data = data_of("coupe_turbo")
    data["fuse_box"]["cabin"]["largest"] = "10 A"
    facts = build_facts(assess(plan_of(data)))
    wrong = [slot.way.position for slot in facts.boxes[0].slots if slot.wrong]
    assert {"F4", "F9", "F17"} <= set(wrong)


def test_the_layout_is_to_scale_along_every_run() -> None:
    for path in EXAMPLES:
        layout = facts_of(path).layout
        for section in layout.sections:
            if section.to_scale:
                across = (section.end.x_m - section.start.x_m, section.end.y_m - section.start.y_m)
                assert (across[0] ** 2 + across[1] ** 2) ** 0.5 == pytest.approx(float(section.bundle.run.length),
                                                                                  abs=1e-5)
        assert len({place.name for place in layout.places}) == len(layout.places)


def test_the_wires_of_a_section_are_those_laid_along_its_run() -> None:
    facts = facts_of(EXAMPLES[0])
    for bundle in facts.bundles:
        assert {piece.key for piece in bundle.pieces} == {piece.key for piece in facts.pieces
                                                          if bundle.id in piece.runs}
    assert sum(len(bundle.pieces) for bundle in facts.bundles) == sum(len(piece.runs) for piece in facts.pieces)


def ends_of(data: dict[str, Any], kind: str, name: str) -> list[tuple[str, str]]:
    pieces = build_facts(assess(plan_of(data))).owned[kind, name]
    return [(piece.start.words, piece.end.words) for piece in pieces if not piece.returns]


def test_a_relay_or_switch_sits_where_the_plan_says() -> None:
    data = data_of("coupe_turbo")
    feed = data["feed"]["dip_bus"]
    [(start, end)] = ends_of(data, "feed", "dip_bus")
    assert start.startswith("fuse of Dip beams")
    assert end == "relay of Dip beams, behind their relay on the wing, pin 30"
    feed["relay"]["wire_before"] = 0
    [(start, end)] = ends_of(data, "feed", "dip_bus")
    assert start == "relay of Dip beams, behind their relay on the wing, pin 87"
    assert end == "Dip beams, behind their relay on the wing"
    del feed["relay"]["wire_before"]
    facts = build_facts(assess(plan_of(data)))
    assert any(point.subject == feed["name"] and "whether its relay sits at" in point.words
               for point in facts.open_points)
    [fitted] = [each for each in facts.relays if each.owner == ("feed", "dip_bus")]
    assert all(" or " in dict(fitted.pins)[pin] for pin in ("30", "87"))


def test_the_wire_before_a_switch_is_asked_for_until_the_plan_says_where_it_sits() -> None:
    data = data_of("coupe_turbo")
    circuit = data["circuit"]["stop_lamps"]
    assert "the wire from its fuse to its switch" in build_facts(assess(plan_of(data))).path("stop_lamps").gaps
    circuit["wire"].insert(0, {"size": "2.5 mm2", "length": "0.8 m", "insulation": "pvc70"})
    circuit["switch"]["wire_before"] = 1
    facts = build_facts(assess(plan_of(data)))
    assert "the wire from its fuse to its switch" not in facts.path("stop_lamps").gaps
    first, second = ends_of(data, "circuit", "stop_lamps")
    assert (first[0], first[1]) == ("fuse F12, Cabin fuse box", "switch of Stop lamps, incoming side")
    assert second[0] == "switch of Stop lamps, outgoing side"
    kinds = [step.what for step in facts.path("stop_lamps").steps]
    at = len(kinds) - 1 - kinds[::-1].index("switch")
    assert (kinds[at - 1], kinds[at + 1]) == ("wire", "wire")
    [fitted] = [each for each in facts.switches if each.owner == ("circuit", "stop_lamps")]
    assert fitted.wires == ("311",)


def test_no_more_wire_comes_before_a_relay_than_there_is() -> None:
    text = (EXAMPLES[0].parent / "coupe_turbo.toml").read_text(encoding="utf-8")
    with pytest.raises(PlanError, match=r"`relay` has 3 as `wire_before`, but `wire` has 1 segments"):
        parse_plan(text.replace("wire_before = 1", "wire_before = 3", 1))
