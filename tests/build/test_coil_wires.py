"""The wires of a relay's coil are cut, labelled, bought and earthed like every other wire, and what lacks is said."""

from __future__ import annotations

from typing import Any

from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.build.numbers import made_number
from fuseplan.checks.assessment import assess
from fuseplan.papers.circuit_text import circuit_report
from fuseplan.papers.paper import Wishes, Words
from fuseplan.papers.sheets import cut_list
from fuseplan.plan.model import Plan
from tests.laws.test_coil_wires import THIN, data

BOTH = {"wire_86": [THIN], "wire_85": [THIN], "coil_feed": "control"}


def facts(**relay: Any) -> BuildFacts:
    return build_facts(assess(Plan.model_validate(data(**relay))))


def gaps(**relay: Any) -> list[str]:
    return [each for each in facts(**relay).path("pump").gaps if "coil" in each]


def test_every_coil_wire_is_cut_and_labelled_and_its_metres_are_bought() -> None:
    plain, wired = facts(coil_feed="control"), facts(**BOTH)
    new = {piece.number for piece in wired.pieces} - {piece.number for piece in plain.pieces}
    assert new == {"pump-K86A", "pump-K85A"}
    thin = [piece for piece in wired.pieces if piece.number in new]
    bought = [line for line in wired.buying if line.unit == "m" and "0.5 mm²" in line.item]
    assert len(bought) == 1
    assert bought[0].net == sum(piece.cut_m or 0.0 for piece in thin)
    assert {piece.number for piece in wired.owned["circuit", "pump"]} == {
        piece.number for piece in plain.owned["circuit", "pump"]}


def test_a_made_number_of_a_coil_wire_is_no_number_of_another_wire() -> None:
    owner = ("circuit", "pump")
    places = ("wire", "earth_wire", "load.85.wire", "load.84.earth_wire")
    others = {made_number(owner, f"{place}.{at}") for place in places for at in range(800)}
    assert not others & {made_number(owner, f"relay.wire_{pin}.{at}") for pin in (85, 86) for at in range(800)}


def test_the_ends_of_the_coil_wires_follow_from_what_switches_the_coil() -> None:
    ends = {piece.number: (piece.start.words, piece.end.words) for piece in facts(**BOTH).pieces}
    assert ends["pump-K86A"] == ("fuse 10", "relay of pump, pin 86")
    assert ends["pump-K85A"] == ("relay of pump, pin 85", "output of the control unit for the relay of pump")
    button = {"driver": "switch", "driver_before": 1, "wire_86": [THIN, THIN], "wire_85": [THIN], "coil_earth": "body"}
    ends = {piece.number: (piece.start.words, piece.end.words) for piece in facts(**button).pieces}
    assert ends["pump-K86A"][1] == "switch for the relay of pump, incoming side"
    assert ends["pump-K86B"][0] == "switch for the relay of pump, outgoing side"
    assert ends["pump-K85A"][1] == "earth point: body"


def test_a_key_switch_before_the_fuse_of_the_coils_is_what_switches_them() -> None:
    plan = data(**BOTH, driver="switch", coil_earth="body")
    plan["feed"]["thick"]["switch"] = {"rating": "30 A"}
    built = build_facts(assess(Plan.model_validate(plan)))
    ends = {piece.number: piece.start.words for piece in built.pieces}
    assert ends["pump-K86A"] == "fuse 10"
    assert not [each for each in built.path("pump").gaps if "coil" in each]


def test_a_wire_from_85_lands_on_its_earth_point_and_on_none_where_it_goes_to_what_switches_it() -> None:
    def landing(**relay: Any) -> dict[str, list[str]]:
        return {point.result.id: [piece.number for piece in point.landing] for point in facts(**relay).earths}

    earthed = landing(**BOTH, driver="switch", coil_earth="body")
    assert "pump-K85A" in earthed["body"]
    assert not any("pump-K85A" in numbers for numbers in landing(**BOTH, coil_earth="body").values())


def test_what_lacks_of_the_two_ways_is_said_and_nothing_where_nothing_lacks() -> None:
    assert gaps() == ["the wires of its relay's coil, pins 86 and 85"]
    assert gaps(wire_86=[THIN]) == ["the wire of its relay's coil, pin 85"]
    assert gaps(**BOTH) == []
    assert gaps(**BOTH, driver="switch") == ["the wire from the feed of its relay's coil to what switches it"]
    assert gaps(**BOTH, driver="switch", driver_before=1) == []
    assert gaps(**BOTH, driver="switch", driver_side="earth") == [
        "the wire from what switches its relay's coil to earth"]


def test_the_cut_list_names_the_relays_whose_coil_wires_it_lacks_and_no_others() -> None:
    def named(**relay: Any) -> list[str]:
        assessment = assess(Plan.model_validate(data(**relay)))
        return [block.text for block in cut_list.blocks(assessment, Wishes()) if isinstance(block, Words)
                and "coil wires" in block.text]

    assert named(**BOTH) == []
    for relay in ({}, {"wire_86": [THIN]}, {**BOTH, "driver": "switch"}, {
            **BOTH, "driver": "switch", "driver_side": "earth"}):
        assert bool(gaps(**relay)) == (len(named(**relay)) == 1)
        assert gaps(**relay)


def test_the_pins_of_a_relay_name_the_wires_on_86_and_85() -> None:
    (relay,) = facts(**BOTH).relays
    assert dict(relay.pins)["86"] == "wire pump-K86A, from fuse 10"
    assert dict(relay.pins)["85"] == "wire pump-K85A, to output of the control unit for the relay of pump"


def test_the_report_of_a_circuit_says_which_coil_wires_it_lacks() -> None:
    for relay in ({}, {"wire_86": [THIN]}, BOTH, {**BOTH, "driver": "switch"}):
        text = " ".join(circuit_report(assess(Plan.model_validate(data(**relay))), "pump").split())
        assert [f"Not in the plan: {gap}." in text for gap in gaps(**relay)] == [True] * len(gaps(**relay))
        assert ("Not in the plan: the wire" in text) == bool(gaps(**relay))
