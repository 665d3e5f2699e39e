"""Laws of wires that are in no circuit: entered at their pins, they are cut, labelled, bought and joined as any other.
The figures are invented; what is tested is what becomes of them."""

from __future__ import annotations

import copy
import itertools
import math
from typing import Any

import pytest

from fuseplan.build.buying import wire_item
from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.build.marks import wire_labels
from fuseplan.checks.assessment import assess
from fuseplan.papers.paper import LabelSheet, Table, Wishes
from fuseplan.papers.sheets.cut_list import blocks as cut_list
from fuseplan.papers.sheets.labels import blocks as labels
from fuseplan.papers.sheets.loom_drawing import blocks as loom
from tests.laws.test_coil_wires import THIN
from tests.laws.test_coil_wires import data as coil_data
from tests.plans import plan_of

DATA: dict[str, Any] = {
    "fuseplan": 1,
    "run": {"trunk": {"from": "bulkhead", "to": "column", "length": "1 m", "sleeve": "corrugated tube"},
            "drop": {"from": "column", "to": "dash", "length": "0.5 m"}},
    "loom": {"car": {"kind": "chassis"}, "engine": {"kind": "donor"}},
    "connector": {
        "ecu": {"loom": "engine", "family": "round 20", "tab_size": "1.5 mm", "seal": "wire_seals", "pin": {
            "1": {"function": "crankshaft sensor", "signal": "pulse", "size": "0.5 mm2", "colour": "GN", "fate": "new",
                  "known": "measured", "other_end": {"connector": "dash", "pin": "A"}, "along": ["trunk", "drop"],
                  "insulation": "xlpe125", "twisted_with": "2", "twists": 30},
            "2": {"function": "sensor return", "signal": "sensor_return", "size": "0.5 mm2", "colour": "WH",
                  "fate": "keep", "known": "measured", "other_end": {"connector": "dash", "pin": "B"},
                  "length": "1.2 m"},
            "3": {"function": "coolant temperature sensor", "signal": "signal", "size": "0.75 mm2", "colour": "BU",
                  "fate": "extend", "known": "measured", "other_end": {"connector": "dash", "pin": "C"},
                  "extension": {"length": "0.4 m", "cut_back": "80 mm", "method": "crimp", "sleeve": "heat-shrink",
                                "along": ["drop"]}},
            "4": {"function": "oil pressure lamp", "signal": "signal", "size": "0.5 mm2", "colour": "YE",
                  "fate": "join", "known": "measured", "join_to": {"connector": "dash", "pin": "D"}},
            "5": {"function": "spare output", "signal": "signal", "size": "0.5 mm2", "fate": "cut_and_insulate",
                  "known": "measured"},
        }},
        "dash": {"loom": "car", "pin": {
            "A": {"function": "crankshaft sensor", "fate": "keep"},
            "B": {"function": "sensor return", "fate": "keep", "other_end": {"connector": "ecu", "pin": "2"}},
            "C": {"fate": "keep"},
            "D": {"function": "oil lamp", "signal": "signal", "size": "0.5 mm2", "colour": "BK", "fate": "keep",
                  "known": "measured", "splice": "S1"},
            "E": {"function": "oil lamp feed", "fate": "unknown", "size": "0.5 mm2"},
        }},
    },
}


def facts_with(**pins: dict[str, Any]) -> BuildFacts:
    """Facts of the plan, with changed keys of pins of the control unit."""
    data = copy.deepcopy(DATA)
    for pin, values in pins.items():
        data["connector"]["ecu"]["pin"][pin.removeprefix("pin")] |= values
    return build_facts(assess(plan_of(data)))


def test_each_wire_is_there_once_and_what_is_not_decided_is_not_built() -> None:
    pieces = {piece.number: piece for piece in facts_with().pieces}
    assert list(pieces) == ["ecu/1", "dash/B", "ecu/3", "ecu/4", "dash/D", "ecu/3-B"]
    assert {number for number, piece in pieces.items() if piece.is_cut} == {"ecu/1", "ecu/3-B"}
    assert {piece.segment.origin for piece in pieces.values()} == {"new", "donor", "existing"}


def test_its_number_stays_whichever_pin_is_entered_first() -> None:
    data = copy.deepcopy(DATA)
    data["connector"] = dict(reversed(data["connector"].items()))
    turned = build_facts(assess(plan_of(data)))
    assert {piece.number for piece in turned.pieces} == {piece.number for piece in facts_with().pieces}
    assert {piece.number for piece in facts_with(pin2={"number": "W7"}).pieces} == {
        "ecu/1", "W7", "ecu/3", "ecu/4", "dash/D", "ecu/3-B"}


def test_a_new_wire_is_cut_labelled_bought_and_laid_like_that_of_a_circuit() -> None:
    facts = facts_with()
    piece = next(each for each in facts.pieces if each.number == "ecu/1")
    assert piece.path_m == pytest.approx(1.65)  # runs and a tenth
    assert piece.cut_m is not None
    assert [label.lines[-1] for label in wire_labels(piece)] == ["to dash pin A", "to ecu pin 1"]
    assert {line.item for line in facts.buying if "ecu/1" in line.used} == {
        wire_item(piece), "terminal 1.5 mm of round 20, with wire seal, for 0.5 mm² wire",
        "terminals the plan does not name"}
    assert {bundle.id for bundle in facts.bundles if piece in bundle.pieces} == {"trunk", "drop"}
    assert {place.name for place in facts.layout.places for end in place.ends if end.piece is piece} == {
        "bulkhead", "dash"}
    assert [(line.connector, line.pin) for line in facts.pins for each, _ in line.ends if each is piece] == [
        ("ecu", "1"), ("dash", "A")]
    asked = next(point.words for point in facts.open_points if point.subject == "wire ecu/1")
    assert set(asked.split("; ")) == {"terminal", "strip length"}


def test_a_wire_of_a_twisted_pair_is_cut_longer_the_more_it_is_twisted() -> None:
    cut = []
    for twists in (1, 30, 100):
        piece = next(each for each in facts_with(pin1={"twists": twists}).pieces if each.number == "ecu/1")
        assert piece.cut_m is not None
        assert piece.path_m is not None
        assert piece.outside_mm is not None
        helix = math.hypot(1.0, math.pi * piece.outside_mm / 1000.0 * twists)
        assert 0.0 <= piece.cut_m - piece.path_m * helix - 4 * 0.015 <= 0.01 + 1e-9
        cut.append(piece.cut_m)
    assert all(one <= other for one, other in itertools.pairwise(cut))
    assert cut[0] < cut[-1]


def test_a_wire_made_longer_is_found_joined_and_added() -> None:
    facts = facts_with()
    found, added = (next(each for each in facts.pieces if each.number == number) for number in ("ecu/3", "ecu/3-B"))
    assert (found.start.splice, added.start.splice, added.end.pin) == ("ecu-3", "ecu-3", "3")
    assert found.draft is not None
    assert found.draft.cut_back == (("ecu-3", 0.08),)
    assert added.path_m == pytest.approx(0.4)
    joint = next(line for line in facts.splices if line.name == "ecu-3")
    assert ({piece.number for piece in joint.pieces}, joint.method, joint.sleeve, joint.barrel_mm2) == (
        {"ecu/3", "ecu/3-B"}, "crimp", "heat-shrink", 1.5)
    assert not joint.is_there


def test_a_join_of_two_looms_is_a_joint_to_make_and_a_splice_as_found_is_none() -> None:
    lines = {line.name: line for line in facts_with().splices}
    assert {piece.number for piece in lines["ecu-4 to dash-D"].pieces} == {"ecu/4", "dash/D"}
    assert not lines["ecu-4 to dash-D"].is_there
    assert lines["S1"].is_there
    assert {line.item for line in facts_with().buying if line.group == "Joints"} == {
        "joint, method: crimp, for 1.5 mm²", "joint, method: not stated, for 1 mm²"}


def test_pairs_stay_together_and_a_shielded_cable_is_bought_as_that() -> None:
    shielded = facts_with(pin1={"shield": "3"}, pin2={"fate": "new"})
    line, = shielded.pairs
    assert shielded.cables == (line,)
    assert not any("core of" in each.item for each in shielded.buying), "one cable, and no wire beside it"
    assert {piece.number for piece in line.wires} == {"ecu/1", "dash/B"}
    assert (line.shield is not None and line.shield.number, line.twists, line.is_shielded) == ("ecu/3", 30.0, True)
    plain, = facts_with().pairs
    assert (plain.shield, plain.is_shielded) == (None, False)
    assert facts_with(pin1={"twisted_with": None}).pairs == ()


CABLE = {"pin1": {"shield": "6", "along": ["trunk"]},
         "pin2": {"fate": "new", "shield": "6", "along": ["trunk", "drop"], "insulation": "xlpe125", "length": None},
         "pin6": {"function": "shield", "signal": "shield", "fate": "new", "known": "measured", "length": "0.2 m"}}


def cable_plan(**ecu: Any) -> dict[str, Any]:
    """The plan with a new pair and its shield, all on the control unit's plug; the second core is the longer one."""
    data = copy.deepcopy(DATA)
    pins = data["connector"]["ecu"]["pin"]
    for pin, values in CABLE.items():
        pins.setdefault(pin[3:], {}).update(values)
        pins[pin[3:]] = {key: value for key, value in pins[pin[3:]].items() if value is not None}
    data["connector"]["ecu"] |= ecu
    return data


def test_a_new_cable_is_one_length_in_cut_list_buy_list_and_on_the_loom() -> None:
    """The longest that any of its wires needs, once; none of them is cut or bought by itself as well."""
    facts = build_facts(assess(plan_of(cable_plan(plugged_into="control_unit"))))
    cable, = facts.cables
    lengths = {piece.number: piece.cut_m for piece in cable.pieces}
    assert set(lengths) == {"ecu/1", "dash/B", "ecu/6"}
    assert cable.cut_m == max(length for length in lengths.values() if length is not None) == lengths["dash/B"]
    assert cable.cut_m is not None
    assert cable.cut_m >= (cable.path_m or 0.0)
    line, = (each for each in facts.buying if each.group == "Cable")
    assert (line.item, line.net, line.used) == (cable.item, cable.cut_m, ("cable ecu/6",))
    assert line.item.startswith("shielded cable, 2 × 0.5 mm²")
    for number in lengths:
        assert not any(number in each.used for each in facts.buying if each.group == "Wire")
    cut, ends, pairs = (next(block for block in cut_list(facts.assessment, Wishes()) if isinstance(block, Table)
                             and block.name == name) for name in ("cut", "ends", "pairs"))
    row, = (row for row in cut.rows if str(row[0]).startswith("cable"))
    assert (row[0], row[4]) == ("cable ecu/6: ecu/1, dash/B, ecu/6", cable.cut_m * 1000.0)
    assert not {row[0] for row in cut.rows} & set(lengths)
    assert set(lengths) <= {row[0] for row in ends.rows}, "each core has its own ends"
    assert any("ecu/6: ecu pin 6: earthed" in str(cell) for row in pairs.rows for cell in row)
    sheet = next(block for block in labels(facts.assessment, Wishes()) if isinstance(block, LabelSheet))
    assert sum(label.lines[0] == "cable ecu/6" for label in sheet.labels) == 2
    drawn = next(block for block in loom(facts.assessment, Wishes()) if isinstance(block, Table)
                 and block.name == "runs")
    assert any("cable ecu/6 (" in str(row[-1]) for row in drawn.rows)


def test_a_cable_is_as_thick_in_its_run_as_its_jacket_and_is_asked_for_where_that_is_not_entered() -> None:
    data = cable_plan()
    data["connector"]["ecu"]["pin"]["6"]["cable_diameter"] = "6.5 mm"
    asked, stated = build_facts(assess(plan_of(cable_plan()))), build_facts(assess(plan_of(data)))
    bare, jacketed = (next(each for each in facts.bundles if each.id == "trunk") for facts in (asked, stated))
    assert bare.diameter_mm is not None
    assert jacketed.diameter_mm == pytest.approx(6.5), "the cable alone lies there"
    assert bare.diameter_mm < 6.5
    assert (len(bare.no_jacket), jacketed.no_jacket) == (1, ())
    questions = [{point.words for point in facts.open_points if point.subject == "run trunk"}
                 for facts in (asked, stated)]
    assert any("over the jacket" in words for words in questions[0])
    assert not any("over the jacket" in words for words in questions[1])


@pytest.mark.parametrize(("ecu", "shield", "earthed"), [
    ({"plugged_into": "control_unit"}, {}, ("ecu pin 6: earthed", "cut back")),
    ({"plugged_into": "loom"}, {}, ("the plan does not say to what", "cut back")),
    ({"mates": "dash"}, {}, ("the plan does not say to what", "cut back")),
    ({"plugged_into": "loom"}, {"other_end": {"connector": "dash", "pin": "Z"}}, ("not say to what",) * 2),
])
def test_a_shield_is_earthed_where_the_plan_says_so_and_nowhere_else(ecu: dict[str, Any], shield: dict[str, Any],
                                                                    earthed: tuple[str, str]) -> None:
    data = cable_plan(**ecu)
    data["connector"]["ecu"]["pin"]["6"] |= shield
    data["connector"]["dash"]["pin"]["Z"] = {"fate": "new", "signal": "shield"}
    cable, = build_facts(assess(plan_of(data))).cables
    assert len(cable.earthed) == 2
    for said, wanted in zip(sorted(cable.earthed, key=lambda each: "cut back" in each), earthed, strict=True):
        assert wanted in said


def test_a_pair_of_new_wires_is_one_length_too_and_a_longer_core_never_shortens_it() -> None:
    before = 0.0
    for metres in ("0.5 m", "1.5 m", "4 m"):
        facts = facts_with(pin1={"length": "1 m", "along": None}, pin2={"fate": "new", "length": metres})
        cable, = facts.cables
        assert not cable.is_shielded
        assert cable.item.startswith("twisted pair")
        assert (cable.cut_m or 0.0) >= before
        before = cable.cut_m or 0.0
    assert before > 4.0


def test_a_wire_joined_to_a_part_is_a_joint_to_make_too() -> None:
    for more in ({}, {"extension": {"length": "0.3 m"}}):
        facts = facts_with(pin4={"join_to": {"connector": "wire at the column"}, **more})
        line = next(line for line in facts.splices if line.name == "ecu-4 to wire at the column")
        assert not line.is_there
        assert [piece.number for piece in line.pieces] == ["ecu/4-B" if more else "ecu/4"]


def test_a_pin_beyond_a_splice_has_its_wire_whichever_pin_says_where_it_goes() -> None:
    """Pin 1 goes by a splice to pin A: that is one wire on each side of the splice."""
    for there in ({}, {"other_end": {"connector": "ecu", "pin": "1"}}):
        data = copy.deepcopy(DATA)
        data["connector"]["ecu"]["pin"]["1"]["splice"] = "S9"
        data["connector"]["dash"]["pin"]["A"] |= there
        facts = build_facts(assess(plan_of(data)))
        line = next(line for line in facts.splices if line.name == "S9")
        assert {piece.number for piece in line.pieces} == {"ecu/1", "dash/A"}
        assert [piece.number for line in facts.pins if (line.connector, line.pin) == ("dash", "A")
                for piece, _ in line.ends] == ["dash/A"]


def test_a_wire_takes_nothing_from_a_pin_that_is_entered_with_another_wire() -> None:
    data = copy.deepcopy(DATA)
    data["connector"]["dash"]["pin"]["F"] = {"size": "0.5 mm2", "fate": "keep", "known": "measured", "function": "tap",
                                             "other_end": {"connector": "ecu", "pin": "1"}}
    pieces = {piece.number: piece for piece in build_facts(assess(plan_of(data))).pieces}
    tap, own = pieces["dash/F"], pieces["ecu/1"]
    assert (tap.path_m, tap.runs, tap.is_cut) == (None, (), False)
    assert (tap.segment.colour, tap.segment.insulation) == (None, None)
    assert (tap.end.connector, tap.end.pin) == ("ecu", "1")
    assert own.path_m == pytest.approx(1.65)


def test_a_terminal_takes_all_wires_of_a_loom_in_its_pin_whichever_end_of_them_is_there() -> None:
    for side in ("start", "end"):
        data = copy.deepcopy(DATA)
        data["loom"]["engine"]["wire"] = [{"size": "1 mm2", side: {"connector": "ecu", "pin": "1"}}]
        lines = build_facts(assess(plan_of(data))).pins
        line = next(line for line in lines if (line.connector, line.pin) == ("ecu", "1"))
        assert len(line.ends) == 2
        assert all(line.shares(end) for _, end in line.ends)
        assert [line.barrel_mm2(end) for _, end in line.ends] == [1.5, 1.5]


def coil_plan(**loom: Any) -> dict[str, Any]:
    """The plan of the coil wires, the one from 85 ending on a pin of a loom whose pins are given."""
    data = coil_data(coil_feed="control", wire_86=[THIN], wire_85=[{**THIN, "end": {"connector": "ecu", "pin": "2"}}])
    pins = {"function": "fan relay", "signal": "coil_driver", "size": "0.5 mm2", "known": "measured", "fate": "new"}
    return data | {"loom": {"engine": {"kind": "donor"}}, "connector": {
        "ecu": {"loom": "engine", "pin": {"2": pins | loom.get("ecu", {})}},
        "base": {"loom": "engine", "pin": {"85": pins | loom.get("base", {})} if "base" in loom else {}}}}


def test_a_coil_wire_is_cut_once_though_the_loom_lists_its_pins() -> None:
    """Its pin at the control unit has no wire of its own beside it; a pin that names that one may: then it is asked."""
    to_base, to_ecu = ({"other_end": {"connector": name, "pin": pin}} for name, pin in (("base", "85"), ("ecu", "2")))

    def asked(facts: BuildFacts) -> list[str]:
        return [point.words for point in facts.open_points if point.subject == "ecu pin 2"]

    alone = build_facts(assess(plan_of(coil_plan())))
    metres = sum(line.net or 0.0 for line in alone.buying if line.group == "Wire")
    for ecu in ({}, {"other_end": {"connector": "relay", "pin": "85"}}):
        facts = build_facts(assess(plan_of(coil_plan(ecu=ecu))))
        assert [piece.number for piece in facts.pieces if piece.owner[0] == "connector"] == []
        assert sum(line.net or 0.0 for line in facts.buying if line.group == "Wire") == metres
        assert asked(facts) == []
    twice = coil_plan(ecu=to_base, base=to_ecu)
    (words,) = asked(build_facts(assess(plan_of(twice))))
    assert "pump-K85A" in words
    assert "base/85" in words
    stated = copy.deepcopy(twice)
    stated["circuit"]["pump"]["relay"]["wire_85"][0]["start"] = {"connector": "base", "pin": "85"}
    once = build_facts(assess(plan_of(stated)))
    assert [piece.number for piece in once.pieces if piece.owner[0] == "connector"] == []
    assert asked(once) == []
    twice["connector"]["ecu"]["pin"]["2"]["wires"] = 2
    assert asked(build_facts(assess(plan_of(twice)))) == []
