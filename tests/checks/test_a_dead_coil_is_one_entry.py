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
