"""One resistance that is too large, stated beside the wires, is one entry of the findings: all that follows from it
names it first, and once it is mended none of that is left."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.causes import remedied_at
from fuseplan.checks.rule import Finding
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.plain import with_value
from tests.laws.test_silence_never_helps import GOOD
from tests.plans import path_of

BAD: dict[str, tuple[Any, str]] = {
    "earth.body.resistance": ("60 mohm", "1 mohm"),
    "earth.engine.resistance": ("30 mohm", "0.1 mohm"),
    "feed.bus.switch.resistance": ("40 mohm", "1 mohm"),
    "feed.bus.wire.0.joint.resistance": ("60 mohm", "1 mohm"),
    "feed.ignition.relay.resistance": ("300 mohm", "1 mohm"),
    "circuit.fan.relay.resistance": ("150 mohm", "1 mohm"),
    "circuit.lamps.wire.0.joint.resistance": ("300 mohm", "1 mohm"),
    "circuit.lamps.load.0.earth_resistance": ("300 mohm", "1 mohm"),
    "circuit.starter.earth_wire.0.joint.resistance": ("30 mohm", "0.1 mohm"),
    "alternator.cable.0.joint.resistance": ("30 mohm", "1 mohm"),
}
"""Each with a bad value, and one that is good."""


def put(path: str, value: str) -> Assessment:
    """The good plan with one resistance stated."""
    data: Any = tomllib.loads(GOOD)
    if ".switch." in path and path.startswith("feed."):
        data = with_value(data, ("feed", path.split(".")[1], "switch"), {"rating": "60 A"})
    if ".joint." in path:
        data = with_value(data, path_of(path)[:-1], {"method": "crimp, sealed"})
    return assess(Plan.model_validate(with_value(data, path_of(path), value)))


def named(findings: tuple[Finding, ...]) -> set[tuple[str, str]]:
    return {(each.check, each.subject) for each in findings if not each.measure}


@pytest.mark.parametrize("path", BAD)
def test_all_that_follows_from_one_bad_contact_is_one_entry_that_names_it(path: str) -> None:
    bad, good = (put(path, value) for value in BAD[path])
    before = named(good.findings)
    new = [each for each in bad.findings if not each.measure and (each.check, each.subject) not in before]
    assert new
    assert {remedied_at(each) for each in new} == {path}, [(each.check, each.subject, each.fields) for each in new]
    assert len([each for each in new if each.cause is None]) == 1
    assert all("fit a new" in each.fix or "clean" in each.fix or "anew" in each.fix for each in new)


def test_what_a_bad_earth_point_makes_of_a_short_and_of_the_drops_stands_in_one_entry() -> None:
    found = put("earth.body.resistance", "60 mohm")
    entry = [each for each in found.findings if remedied_at(each) == "earth.body.resistance"]
    assert [each.check for each in entry] == ["no-trip-far-end", "not-selective", *["voltage-drop"] * 4]
    assert [each.cause is None for each in entry] == [True, *[False] * 5]


def test_a_thin_wire_with_a_good_earth_is_still_cured_by_the_wire() -> None:
    data: Any = with_value(tomllib.loads(GOOD), ("circuit", "fan", "wire", 0, "size"), "0.75 mm2")
    drops = [each for each in assess(Plan.model_validate(data)).findings
             if each.check == "voltage-drop" and each.subject == "fan"]
    assert drops
    assert all(remedied_at(each) == "circuit.fan.wire.0.size" for each in drops)


@pytest.mark.parametrize(("name", "earth", "value"), [
    ("boot_battery", "shell_front", "0.8 mohm"), ("coupe_turbo", "engine_block", "0.8 mohm"),
    ("track_car", "engine_block", "1 mohm")])
def test_what_fails_with_it_only_by_what_is_assumed_stands_there_too(name: str, earth: str, value: str) -> None:
    """What is stated as bad is mended before anything else is measured."""
    data = tomllib.loads((shipped_folder("examples") / f"{name}.toml").read_text(encoding="utf-8"))
    data["earth"][earth]["resistance"] = value
    findings = assess(Plan.model_validate(data)).findings
    key = f"earth.{earth}.resistance"
    of = [number for number, each in enumerate(findings) if key in each.fields]
    assert [number for number in of if "resistances that are assumed" in findings[number].message]
    assert len({number if findings[number].cause is None else findings[number].cause for number in of}) == 1
    assert all(findings[number].fix.startswith("clean") for number in of)
