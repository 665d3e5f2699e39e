"""Checks on connectors, splices, pairs and buses: the law behind each, and published figures in their messages."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.checks import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.papers.summary import first_page
from fuseplan.plan.mating import mating
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import Nets
from fuseplan.plan.unknown_pins import blocking
from fuseplan.plan.words import LIVE_SIGNALS, SIGNALS, Signal

KNOWN = {"known": "measured", "fate": "keep", "function": "x"}
ROOTS: dict[str, Any] = {"fuseplan": 1, "feed": {"post": {}, "bus": {"from": "post", "terminal": "15"}},
                         "earth": {"negative": {}}}


def assessed(connectors: dict[str, Any], **more: Any) -> Assessment:
    return assess(Plan.model_validate({**ROOTS, "connector": connectors, **more}))


def found(assessment: Assessment, check: str) -> list[Finding]:
    return [each for each in assessment.findings if each.check == check]


def bus(**keys: Any) -> dict[str, Any]:
    return {"plug": {"pin": {"1": {**KNOWN, "signal": "bus_high", "twisted_with": "2", "twists": 30, **keys},
                             "2": {**KNOWN, "signal": "bus_low", "twisted_with": "1", "twists": 30}}}}


def test_a_stub_is_held_against_every_published_limit_and_all_are_shown() -> None:
    # 0.8 m at 250 kbit/s: within the 1 m of SAE J1939-11, above the 0.3 m of ISO 11898 as makers state it
    only, = found(assessed(bus(stub="0.8 m", bus_rate="250 kbit/s")), "bus-stub-too-long")
    assert "within 1 m, SAE J1939-11" in only.message
    assert "above 0.3 m, ISO 11898" in only.message
    assert only.level == "advice"
    beyond, = found(assessed(bus(stub="1.2 m", bus_rate="250 kbit/s")), "bus-stub-too-long")
    assert beyond.level == "warning"


def test_an_added_length_counts_to_the_stub() -> None:
    assert not found(assessed(bus(stub="0.2 m")), "bus-stub-too-long")
    longer = found(assessed(bus(stub="0.2 m", extension={"length": "0.2 m", "twists": 30})), "bus-stub-too-long")
    assert longer[0].figure == pytest.approx(0.4)


def test_18_twists_per_metre_are_below_both_makers() -> None:
    # one maker of engine control units asks for 20 per metre (every 50 mm), another for 25 (every 40 mm)
    only, = found(assessed(bus(twists=18)), "pair-untwisted")
    assert "below 20 per metre" in only.message
    assert "below 25 per metre" in only.message
    assert only.level == "warning"


@given(st.integers(1, 12))
def test_a_splice_is_judged_by_its_number_of_wires(count: int) -> None:
    pins = {str(number): {**KNOWN, "signal": "signal", "size": "0.5 mm2", "splice": "S1"} for number in range(count)}
    levels = [each.level for each in found(assessed({"plug": {"pin": pins}}), "crowded-splice")]
    assert levels == ([] if count <= 5 else ["advice"] if count <= 8 else ["warning"])


def test_areas_at_a_splice_add_up() -> None:
    # several wires in one barrel: add the areas, NASA-STD-8739.4, 19.11; 1.5 + 1 + 1 mm² are 3.5 mm²
    sizes = ["1.5 mm2", "1 mm2", "1 mm2", "0.5 mm2", "0.5 mm2", "0.5 mm2"]
    pins = {str(number): {**KNOWN, "signal": "signal", "size": size, "splice": "S1"}
            for number, size in enumerate(sizes)}
    only, = found(assessed({"plug": {"pin": pins}}), "crowded-splice")
    assert "5 mm² together" in only.message


def wanted_blocked(plan: Plan) -> set[str]:
    return {each.connector for each in blocking(Nets(plan))}


def test_an_unknown_pin_blocks_every_plug_on_its_feed_and_no_other() -> None:
    live = {**KNOWN, "signal": "supply_15", "feed": "bus"}
    other = {**KNOWN, "signal": "supply_30", "feed": "post"}
    plan = Plan.model_validate({**ROOTS, "connector": {
        "a": {"pin": {"1": live, "2": {"colour": "BK"}}}, "b": {"pin": {"1": live}}, "c": {"pin": {"1": other}},
        "d": {"pin": {"1": {**KNOWN, "signal": "supply_15"}}}, "e": {"pin": {"1": {**KNOWN, "signal": "signal"}}}}})
    assert wanted_blocked(plan) == {"a", "b", "d"}  # d: terminal 15 of a feed that is not stated may be this one
    assert {each.subject for each in found(assess(plan), "unknown-pin-on-live-plug")} == {"a", "b", "d"}


@pytest.mark.parametrize("settled", [
    {"fate": "cut_and_insulate"}, {"fate": "spare"}, {**KNOWN, "signal": "signal"},
    {**KNOWN, "signal": "signal", "fate": "join", "join_to": {"connector": "lamp"}},
])
def test_a_settled_pin_blocks_nothing(settled: dict[str, Any]) -> None:
    plan = Plan.model_validate({**ROOTS, "connector": {"a": {"cavities": 1, "pin": {"1": settled}}}})
    assert not blocking(Nets(plan))


@pytest.mark.parametrize("unsettled", [
    {}, {"colour": "RD"}, {**KNOWN, "signal": "signal", "known": "guess"}, {"function": "x", "signal": "signal"},
    {**KNOWN, "signal": "signal", "fate": "join"}, {"fate": "keep", "known": "measured", "signal": "signal"},
])
def test_a_guess_or_a_gap_blocks_power(unsettled: dict[str, Any]) -> None:
    plan = Plan.model_validate({**ROOTS, "connector": {"a": {"pin": {"1": unsettled}}}})
    assert wanted_blocked(plan) == {"a"}


def test_a_cavity_of_which_nothing_is_entered_is_unknown() -> None:
    plan = Plan.model_validate({**ROOTS, "connector": {"a": {"cavities": 3, "pin": {"1": {"fate": "spare"}}}}})
    only, = blocking(Nets(plan))
    assert only.because[0].words(plan) == "a: 2 cavities not entered"


def test_the_mating_half_and_the_plug_at_the_other_end_are_blocked_too() -> None:
    plan = Plan.model_validate({**ROOTS, "connector": {
        "a": {"mates": "b", "pin": {"1": {"other_end": {"connector": "c", "pin": "1"}}}},
        "b": {"pin": {"1": {**KNOWN, "signal": "signal"}}}, "c": {"pin": {"1": {**KNOWN, "signal": "signal"}}}}})
    assert wanted_blocked(plan) == {"a", "b", "c"}


def test_a_wire_that_is_cut_off_joins_nothing() -> None:
    ends: dict[str, Any] = {"other_end": {"connector": "b", "pin": "1"}}
    pins = {"a": {"pin": {"1": {**KNOWN, "signal": "sensor_return", **ends}}},
            "b": {"pin": {"1": {**KNOWN, "signal": "earth_31"}}}}
    assert found(assessed(pins), "sensor-return-to-earth")
    pins["a"]["pin"]["1"]["fate"] = "cut_and_insulate"
    assert not found(assessed(pins), "sensor-return-to-earth")


def test_splices_of_wires_made_longer_are_staggered_and_away_from_the_plug() -> None:
    # 40 mm to 51 mm between splices, and from connectors and branches: three makers' workshop manuals
    def gaps(*places: str) -> list[float]:
        pins = {str(number): {**KNOWN, "fate": "extend", "signal": "signal",
                              "extension": {"length": place}}
                for number, place in enumerate(places)}
        return [each.figure for each in found(assessed({"plug": {"pin": pins}}), "joints-side-by-side")
                if each.figure is not None]

    assert gaps("51 mm", "102 mm", "153 mm") == []
    assert gaps("30 mm", "102 mm", "130 mm") == pytest.approx([0.030, 0.028])


def test_a_current_through_several_contacts_is_held_against_the_rule_for_parallel_ones() -> None:
    def over(current: str) -> bool:
        pins = {"1": {**KNOWN, "signal": "supply_87", "size": "AWG 18", "current": current, "splice": "S1"},
                "2": {**KNOWN, "signal": "supply_87", "size": "AWG 18", "splice": "S1"}}
        plug = {"contact_current": "10 A", "cavities": 2, "pin": pins}
        return bool(found(assessed({"plug": plug}), "contact-overloaded"))

    # two of two loaded: 0.297 of 10 A each, 1.6 times one together
    assert not over("4.75 A")
    assert over("4.76 A")


def limit_a(**beside: Any) -> float:
    """What a contact may carry beside a second one on its splice; without one where nothing is said of it."""
    pins = {"1": pin(current="4 A", splice="S1")} | ({"2": pin(splice="S1", **beside)} if beside else {})
    only, = found(assessed({"plug": RATED | {"contact_current": "1 A", "pin": pins}}), "contact-overloaded")
    assert only.limit is not None
    return only.limit


def test_only_a_contact_that_does_the_same_takes_current_off_another() -> None:
    parallel = limit_a(fate="keep")
    for branch in ({"function": "y"}, {"signal": "switched_supply"}):
        assert limit_a(**branch) == pytest.approx(parallel / 1.6)  # two contacts side by side: 1.6 times one
    assert limit_a(fate="spare") == limit_a() > parallel / 1.6, "no wire, no share, and no heat"


RATED: dict[str, Any] = {"contact_current": "10 A", "cavities": 4}


def pin(**keys: Any) -> dict[str, Any]:
    return {**KNOWN, "signal": "supply_87", "size": "AWG 20", **keys}


@pytest.mark.parametrize(("beside", "loaded"), [
    (pin(current="1 A"), True), (pin(), True), (pin(signal="earth_31"), True), (pin(signal="coil_driver"), True),
    ({"colour": "BK"}, True), (pin(signal="signal"), False), (pin(signal="sensor_return"), False),
    ({"fate": "spare"}, False), (pin(fate="cut_and_insulate"), False)])
def test_a_neighbour_of_unknown_current_heats_like_a_loaded_one(beside: dict[str, Any], loaded: bool) -> None:
    # one connector maker's product specification 108-40005, figure 4B, AWG 20: 3.5 A passes alone, not beside another
    plug = RATED | {"pin": {"1": pin(current="3.5 A"), "2": beside}}
    assert bool(found(assessed({"plug": plug}), "contact-overloaded")) is loaded


def test_the_current_of_a_supply_in_a_rated_connector_is_not_taken_for_nothing() -> None:
    plug = RATED | {"pin": {"1": pin(), "2": pin(signal="signal")}}
    assessment = assessed({"plug": plug})
    words = [each.words for each in assessment.unjudged if each.check == "contact-overloaded"]
    assert words == ["current through plug pin 1"]
    assert "Not checked (1): plug" in first_page(assessment), "no verdict tells of it"


def test_a_wire_of_a_loom_does_not_take_the_current_off_its_pin() -> None:
    plug = RATED | {"pin": {"1": pin(current="12 A")}}
    wire = {"size": "AWG 20", "length": "1 m", "end": {"connector": "plug", "pin": "1"}}
    for looms in ({}, {"engine": {"kind": "engine", "wire": [wire]}}):
        only, = found(assessed({"plug": plug}, loom=looms), "contact-overloaded")
        assert only.figure == 12.0


@pytest.mark.parametrize(("size", "least_a"), [("0.2 mm2", 2.0), (None, 2.0), ("AWG 20", 3.0), ("4 mm2", 5.0)])
@pytest.mark.parametrize("current_a", [1.0, 2.0, 3.0, 4.0, 40.0])
def test_a_rating_left_out_is_asked_for_or_every_terminal_on_file_carries_the_current(
        size: str | None, least_a: float, current_a: float) -> None:
    """The least on file is that of a 2.8 mm push-on terminal, by its wire: TE catalogue 82004, p. 3-11."""
    def asked(pin_keys: dict[str, Any], **keys: Any) -> list[bool]:
        plug = {"pin": {"1": pin(current=f"{current_a} A", size=size, **pin_keys)}, **keys}
        return [each.safety for each in assessed({"plug": plug}).not_said if each.kind == "contact"]

    assert asked({}) == ([] if current_a <= least_a else [True])
    assert not asked({}, contact_current="50 A")
    assert not asked({"fate": "spare"})


def ending_on_one_pin(*currents: float | None, onward: bool = False, **more: Any) -> Assessment:
    """Circuits that end on one contact; or, onward, one that comes to it and whose loads go on from it."""
    end = {"connector": "plug", "pin": "1"}
    segment = {"size": "2.5 mm2", "length": "1 m"}

    def load(amperes: float | None) -> dict[str, Any]:
        stated = {} if amperes is None else {"current": f"{amperes} A", "at": "12 V"}
        return {**stated, "kind": "electronic", "evidence": "measured"}

    way = {"feed": "bus", "earth": "negative", "wire": [segment | {"end": end}], **more}
    circuits = {f"c{number}": way | {"load": [load(each)]} for number, each in enumerate(currents)}
    if onward:
        circuits = {"all": way | {"load": [load(each) | {"wire": [segment | {"start": end}]} for each in currents]}}
    plug = {"contact_current": "0.1 A", "pin": {"1": pin()}}
    return assessed({"plug": plug}, circuit=circuits)


def through_one_pin(*currents: float | None, onward: bool = False) -> float:
    only, = found(ending_on_one_pin(*currents, onward=onward), "contact-overloaded")
    assert only.figure is not None
    return only.figure


def test_currents_of_wires_that_meet_in_one_contact_add_up() -> None:
    """Kirchhoff's first law."""
    total = pytest.approx(through_one_pin(2) + through_one_pin(3))
    assert through_one_pin(2, 3) == total
    assert through_one_pin(2, 3, onward=True) == total, "what comes in goes on, and counts once"


@pytest.mark.parametrize(("stated", "wire", "of_the_two"), [
    (None, "1 mm2", "1 mm2"), ("2.5 mm2", "1 mm2", "1 mm2"), ("1 mm2", "2.5 mm2", "1 mm2")])
def test_a_contact_is_judged_by_the_wire_of_the_circuit_that_ends_on_it(stated: str | None, wire: str, of_the_two: str
                                                                        ) -> None:
    def limit(stated: str | None, wire: str) -> float | None:
        segment = {"size": wire, "length": "1 m", "end": {"connector": "plug", "pin": "1"}}
        load = {"current": "9 A", "at": "12 V", "kind": "electronic", "evidence": "measured"}
        plug = RATED | {"contact_current": "1 A", "pin": {"1": pin(size=stated)}}
        only, = found(assessed({"plug": plug}, circuit={"c": {
            "feed": "bus", "earth": "negative", "wire": [segment], "load": [load]}}), "contact-overloaded")
        return only.limit

    assert limit(stated, wire) == limit(of_the_two, of_the_two)


@pytest.mark.parametrize("assessment", [
    ending_on_one_pin(None), ending_on_one_pin(2, None), ending_on_one_pin(2, out_of_scope="immobiliser")])
def test_what_a_circuit_does_not_state_is_not_nothing_in_its_contact(assessment: Assessment) -> None:
    assert not found(assessment, "contact-overloaded")
    assert "current through plug pin 1" in {each.words for each in assessment.unjudged}


def test_the_fix_of_two_unlike_wires_is_no_second_splice() -> None:
    pins = {str(number): {**KNOWN, "signal": "signal", "size": size, "splice": "S1"}
            for number, size in enumerate(("10 mm2", "0.5 mm2"))}
    only, = found(assessed({"plug": {"pin": pins}}), "crowded-splice")
    assert "two splices" not in only.fix


def test_halves_that_are_not_made_for_each_other_are_no_wrong_cavity() -> None:
    one, other = {"mates": "b", "cavities": 2, "pin": {"1": pin()}}, {"cavities": 3, "pin": {"1": pin(), "2": pin()}}
    fixes = [each.fix for each in found(assessed({"a": one, "b": other}), "mating-pins-differ")]
    assert len(set(fixes)) == len(fixes) == 2
    assert not any("to the right cavity" in each for each in fixes)


@pytest.mark.parametrize("one", SIGNALS)
@pytest.mark.parametrize("other", SIGNALS)
def test_what_must_not_meet_is_a_danger_whichever_half_it_is_on(one: Signal, other: Signal) -> None:
    plan = Plan.model_validate({**ROOTS, "connector": {
        name: {"pin": {"1": {**KNOWN, "signal": signal}}} for name, signal in (("a", one), ("b", other))}})
    verdict = mating(plan, "a", "b").cavities[0].verdict
    assert verdict == mating(plan, "b", "a").cavities[0].verdict
    live = (one in LIVE_SIGNALS) + (other in LIVE_SIGNALS)
    always = {"supply_30", "supply_50"} & {one, other}
    assert verdict == ("agrees" if one == other else "danger" if live == 1 or (live == 2 and always) else "differs")
