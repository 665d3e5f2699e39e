"""Looms merged: every function on file says what can be done in each state, and the state follows from what the looms
offer, whatever the function."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.looms.functions import GROUPS, function_of, functions
from fuseplan.looms.merging import Merge, merges
from fuseplan.plan.model import Plan
from fuseplan.plan.words import SIGNALS

FUNCTIONS = functions()
BOTH = [name for name, each in FUNCTIONS.items() if each.sides == "both"]
ONE = [name for name, each in FUNCTIONS.items() if each.sides == "one"]


def state_of(function: str, pins: dict[str, list[dict[str, Any]]], joined: bool = False) -> Merge | None:
    """The state of a function with pins of these looms: each loom one connector."""
    kinds = {"car": "chassis", "donor": "donor", "old_engine": "engine", "fresh": "new"}
    connectors: dict[str, Any] = {}
    for loom, listed in pins.items():
        connectors[f"plug_{loom}"] = {"loom": loom, "pin": {
            str(number): {"function": FUNCTIONS[function].name, "known": "measured", "fate": "keep", **each}
            for number, each in enumerate(listed)}}
    if joined:
        first, second = list(connectors)[:2]
        connectors[first]["pin"]["0"]["other_end"] = {"connector": second, "pin": "0"}
    plan = Plan.model_validate({"fuseplan": 1, "loom": {loom: {"kind": kinds[loom]} for loom in (pins or {"car": 0})},
                                "connector": connectors})
    return next((each for each in merges(plan) if each.function == function), None)


def test_the_topics_of_every_swap_are_on_file() -> None:
    for words in ("oil pressure gauge", "coolant temperature gauge", "vehicle speed signal", "tachometer",
                  "alternator lamp", "reverse switch", "neutral switch", "inertia switch", "immobiliser",
                  "fuel level sender", "brake switch", "clutch pedal switch", "accelerator pedal"):
        assert function_of(words) is not None, words
    assert function_of("Oil_Pressure-Gauge") is FUNCTIONS["oil_pressure_gauge"]
    assert function_of("oil pressure gage thing") is None


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_says_what_can_be_done_in_every_state_it_can_have(name: str) -> None:
    each = FUNCTIONS[name]
    assert each.group in GROUPS
    assert each.signal in SIGNALS
    assert each.measure
    if each.sides == "both":
        assert each.missing_engine
        assert each.missing_car
        assert not each.compare or each.mismatched
    elif each.wanted == "always":
        assert each.missing
    without_power = each.measure.startswith("ohms")
    assert not (without_power and "volts" in each.measure.partition(";")[0])
    for text in (each.missing, each.missing_engine, each.missing_car, each.doubled, each.mismatched, each.measure):
        assert not text.endswith(".")


def test_no_two_functions_share_a_name() -> None:
    words = [word for each in FUNCTIONS.values() for word in each.words]
    assert len(words) == len(set(words))


@pytest.mark.parametrize("name", BOTH)
def test_a_function_of_both_sides_is_matched_only_where_both_offer_it_alike_and_joined(name: str) -> None:
    each = FUNCTIONS[name]
    alike = {"characteristic": "as the other"}
    matched = state_of(name, {"car": [alike], "donor": [alike]}, joined=True)
    assert matched is not None
    assert matched.state == "matched"
    apart = state_of(name, {"car": [alike], "donor": [alike]})
    assert apart is not None
    assert apart.state == "not joined"
    for there, missing in (("car", each.missing_engine), ("donor", each.missing_car)):
        alone = state_of(name, {there: [alike]})
        assert alone is not None
        assert (alone.state, alone.to_do) == ("missing", missing)
    differs = state_of(name, {"car": [{"characteristic": "one"}], "donor": [{"characteristic": "two"}]}, joined=True)
    assert differs is not None
    assert differs.state == "mismatched"
    assert differs.to_do
    kinds = state_of(name, {"car": [{**alike, "signal": "signal"}], "donor": [{**alike, "signal": "bus_high"}]},
                     joined=True)
    assert kinds is not None
    assert kinds.state == "mismatched"
    silent = state_of(name, {"car": [{}], "donor": [{}]}, joined=True)
    assert silent is not None
    assert silent.state == ("not known" if each.compare else "matched")


@pytest.mark.parametrize("name", FUNCTIONS)
def test_two_looms_of_one_side_double_a_function(name: str) -> None:
    alike = {"characteristic": "as the other"}
    doubled = state_of(name, {"donor": [alike], "old_engine": [alike], "car": [alike]})
    assert doubled is not None
    assert doubled.state == "doubled"
    assert doubled.to_do


@pytest.mark.parametrize("name", ONE)
def test_a_function_of_one_loom_is_matched_by_any_loom(name: str) -> None:
    for loom in ("car", "donor", "fresh"):
        found = state_of(name, {loom: [{}]})
        assert found is not None
        assert found.state == "matched"


@pytest.mark.parametrize("name", FUNCTIONS)
def test_what_no_loom_offers_is_missing_only_where_it_is_always_wanted(name: str) -> None:
    found = state_of(name, {})
    assert (found is not None and found.state == "missing") == (FUNCTIONS[name].wanted == "always")


def test_a_wire_that_is_cut_off_offers_nothing() -> None:
    assert state_of("immobiliser", {"donor": [{"fate": "cut_and_insulate"}]}) is None


def test_functions_in_the_plans_own_words_meet_by_those_words() -> None:
    pin = {"known": "measured", "fate": "keep", "signal": "signal", "function": "Boost gauge"}
    plan = Plan.model_validate({"fuseplan": 1, "loom": {"car": {"kind": "chassis"}, "donor": {"kind": "donor"}},
                                "connector": {
                                    "a": {"loom": "car", "pin": {"1": pin}},
                                    "b": {"loom": "donor", "pin": {"1": {**pin, "function": "boost-gauge"}}}}})
    own = [each for each in merges(plan) if each.group == "other"]
    assert [each.state for each in own] == ["not joined"]
