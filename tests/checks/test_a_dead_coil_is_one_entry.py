"""A relay whose coil is fed from where there is no supply is one fault, and its fix is about the coil: another feed for
its contact leaves the coil dead."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.planfile.starter import starter_plan
from tests.plans import plan_of

CHECKS = ("dead-when-needed", "load-without-supply")
START, ACCESSORY, ENGINE = "coils_50", "accessory_bus", "engine_bus"


def pump(feed: str, coil_feed: str) -> dict[str, Any]:
    data = tomllib.loads(starter_plan("car", ["fuel_pump_in_line", "ecu_main", "starter_solenoid", "radio"]))
    data["circuit"]["fuel_pump"]["feed"] = feed
    data["circuit"]["fuel_pump"]["relay"]["coil_feed"] = coil_feed
    return data


def dead(found: Assessment) -> list[Finding]:
    return [each for each in found.findings if each.check in CHECKS and each.subject == "fuel_pump"]


@pytest.mark.parametrize(("feed", "coil_feed", "named", "taken"), [
    (ENGINE, START, "relay.coil_feed", "take the coil of its relay from"),
    (ACCESSORY, "coils_15", "feed", "take it from"),
    (ACCESSORY, ACCESSORY, "feed", "take it, and the coil of its relay, from"),
])
def test_the_fix_is_about_what_is_dead_and_removes_it(feed: str, coil_feed: str, named: str, taken: str) -> None:
    first, *others = dead(assess(plan_of(pump(feed, coil_feed))))
    assert first.fix.startswith(taken)
    assert first.fields[0] == f"circuit.fuel_pump.{named}"
    for fed in re.findall(r"\((\w+)\)", first.fix):
        cured = pump(feed if named == "relay.coil_feed" else fed,
                     coil_feed if taken == "take it from" else fed)
        assert not dead(assess(plan_of(cured))), fed
    assert all(each.cause is not None and each.fields[0] == first.fields[0] for each in others)


def test_a_load_that_is_dead_for_its_coil_is_told_with_what_the_coil_leaves_dead() -> None:
    findings = assess(plan_of(pump(ENGINE, START))).findings
    other, = (each for each in findings if each.check == "load-without-supply")
    assert other.cause is not None
    assert findings[other.cause].check == "dead-when-needed"


ENGINE_CIRCUITS = ["fuel_pump_in_line", "ecu_main", "injectors"]


def behind_its_own_contact(**relay: str) -> dict[str, Any]:
    """A main relay whose coil is fed from behind its contact, in a car without a bus that follows the key."""
    data = tomllib.loads(starter_plan("car", ENGINE_CIRCUITS))
    for name in ("coils_15", "ignition_bus", "accessory_bus", "coils_30"):
        data["feed"].pop(name, None)
    data["feed"][ENGINE]["relay"] |= {"coil_feed": "coils_87"} | relay
    return data


def main_relay_fix(data: dict[str, Any]) -> str:
    fix, = {each.fix for each in assess(plan_of(data)).findings if each.check == "dead-when-needed"}
    return fix


def test_a_coil_goes_to_a_permanent_feed_where_what_switches_it_opens_it_with_the_key() -> None:
    fix = main_relay_fix(behind_its_own_contact())
    fed = re.findall(r"\((\w+)\)", fix)
    assert fed
    for each in fed:
        cured = assess(plan_of(behind_its_own_contact(coil_feed=each))).findings
        assert not [one for one in cured if one.check in (*CHECKS, "live-when-off")], each


def test_a_coil_that_nothing_switches_goes_to_no_permanent_feed() -> None:
    data = behind_its_own_contact()
    del data["feed"][ENGINE]["relay"]["driver"]
    assert "no feed of the plan is, so add one" in main_relay_fix(data)


def test_a_circuit_whose_coil_alone_is_dead_is_told_with_what_is_behind_the_same_relay() -> None:
    data = behind_its_own_contact()
    data["circuit"]["fuel_pump"]["feed"] = "main_bus"
    assert data["circuit"]["fuel_pump"]["relay"]["coil_feed"] == "coils_87"
    assert "'Engine bus, behind the main relay'" in main_relay_fix(data)


def test_a_circuit_that_no_feed_of_the_plan_suits_is_told_so() -> None:
    data = tomllib.loads(starter_plan("car", ["fuel_pump_in_line"]))
    for feed in data["feed"].values():
        feed["live"] = ["accessory"]
    assert [each.fix for each in assess(plan_of(data)).findings if each.check == "dead-when-needed"] == [
        "no feed of the plan is live in all the states it must run in: add one"]


def test_loads_that_no_state_is_stated_for_are_told_with_the_others_behind_their_relay() -> None:
    data = tomllib.loads(starter_plan("car", [*ENGINE_CIRCUITS, "idle_valve", "purge_valve"]))
    data["feed"][ENGINE]["relay"]["coil_feed"] = START
    findings = assess(plan_of(data)).findings
    leading = [each for each in findings if each.check in CHECKS and each.cause is None]
    assert {each.check for each in leading} == {"dead-when-needed"}
    assert {"idle_valve", "purge_valve"} <= {each.subject for each in findings if each.check == "load-without-supply"}
