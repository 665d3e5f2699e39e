"""What one thin wire or wrong fuse does is one entry of the first page, and what its fix names removes all of it."""

from __future__ import annotations

from tomllib import loads as toml
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from tests.checks.check_plans import BASE, passing
from tests.laws.test_a_fix_changes_something import fixed
from tests.laws.test_silence_never_helps import GOOD
from tests.plans import plan_of


def raised(found: Assessment) -> list[Finding]:
    return [each for each in found.findings if each.level in ("danger", "warning")]


def removed(data: dict[str, Any]) -> set[str]:
    """The checks of the one entry a plan has, of which nothing is left once what it names is entered; a drop for which
    no size is named stands for itself."""
    found = assess(plan_of(data))
    [leader] = [each for each in raised(found) if each.cause is None and (each.values or each.unit != "V")]
    names = {leader.check, *(found.findings[number].check for number in leader.follows)}
    assert leader.values
    assert not names & {each.check for each in raised(fixed(plan_of(data), leader))}
    return names


def test_a_thin_engine_strap_is_the_cause_of_what_the_alternator_loses_in_it() -> None:
    data = toml(BASE)
    assert raised(assess(plan_of(data))) == []
    data["earth"]["engine"]["wire"][0]["size"] = "4 mm2"
    assert "charging-voltage-drop" in removed(data)


def test_a_link_too_thin_for_its_load_is_the_cause_of_the_fuses_at_both_its_ends() -> None:
    data = toml(passing("second-battery-unprotected"))
    link = data["circuit"]["link"]
    assert raised(assess(plan_of(data))) == []
    link["wire"][0]["size"] = "1.5 mm2"
    assert {"second-battery-unprotected", "no-trip-far-end", "wire-overloaded"} <= removed(data)
    link["wire"][0]["size"] = "1.5 mm2"
    del link["fuse"]["rating"]
    [leader] = [each for each in raised(assess(plan_of(data))) if each.cause is None]
    assert leader.check == "no-fuse-fits"


def test_where_no_fuse_is_sold_for_a_load_and_its_wire_the_figure_is_above_the_limit() -> None:
    data = toml(BASE)
    wire = {"size": "2.5 mm2", "length": "1 m", "zone": "cabin", "insulation": "xlpe125"}
    load = {"at": "13.5 V", "kind": "resistive", "when": ["engine"], "evidence": "measured"}
    between = 0
    for current in range(15, 40):
        data["circuit"] = {"glass": {"feed": "bus", "earth": "body", "wire": [wire], "earth_wire": [wire],
                                     "role": "heated_glass", "fuse": {"kind": "blade"},
                                     "load": [load | {"current": f"{current} A"}]}}
        for each in assess(plan_of(data)).findings:
            if each.check == "no-fuse-fits":
                assert (each.figure or 0) > (each.limit or 0)
                between += "is sold between" in each.message
    assert between


@pytest.mark.parametrize("evidence", ["measured", "typical", "guess"])
def test_a_fuse_that_is_named_in_place_of_a_larger_one_withstands_what_is_switched_on_behind_it(evidence: str) -> None:
    """As entered and at the worst-case current; a proposal fits the same."""
    data = toml(BASE)
    wire = {"size": "2.5 mm2", "length": "1 m", "zone": "cabin", "insulation": "xlpe125"}
    load = {"current": "8 A", "at": "13.5 V", "kind": "motor", "inrush": 3, "inrush_time": "400 ms",
            "when": ["engine"], "evidence": evidence}
    data["circuit"] = {"fan": {"feed": "bus", "earth": "body", "wire": [wire], "earth_wire": [wire], "load": [load],
                               "role": "cooling_fan", "fuse": {"kind": "blade", "rating": "40 A"}}}
    [leader] = [each for each in raised(assess(plan_of(data))) if each.cause is None]
    assert leader.check == "fuse-exceeds-wire"
    proposed, = (each for each in propose(plan_of(data), limit_set("road")).changes if each.path[-1] == "rating")
    assert (".".join(map(str, proposed.path)), proposed.new) == leader.values[0]
    checks = {each.check for each in fixed(plan_of(data), leader).findings}
    assert not {"blows-at-switch-on", "fuse-exceeds-wire"} & checks


def test_an_earth_is_named_where_the_wires_end_and_none_of_sensors_before_those_of_power() -> None:
    data = toml(BASE)
    data["zone"]["boot"] = {"ambient": "45 degC"}
    data["earth"] |= {"sensor_earth": {"to": "engine", "zone": "boot"}, "rear": {"to": "body", "zone": "boot"}}
    wire = {"size": "4 mm2", "length": "1 m", "zone": "boot"}
    load = {"current": "2 A", "kind": "resistive", "when": ["always"], "evidence": "measured"}
    data["circuit"] = {"fridge": {"feed": "bus", "wire": [wire], "load": [load], "role": "comfort",
                                  "fuse": {"kind": "blade"}}}
    [missing] = [each for each in assess(plan_of(data)).findings if each.check == "no-earth"]
    assert missing.fix.startswith("name rear")
    assert "sensor_earth" not in missing.fix
    data["circuit"]["fridge"]["role"] = "sensor_supply"
    [missing] = [each for each in assess(plan_of(data)).findings if each.check == "no-earth"]
    assert missing.fix.startswith("name sensor_earth")


@pytest.mark.parametrize("seconds", ["0.1 s", "0.5 s", "2 s"])
def test_a_smaller_fuse_named_with_a_thicker_wire_does_not_blow_at_switch_on(seconds: str) -> None:
    data = toml(BASE)
    wire = {"size": "1.5 mm2", "length": "1 m", "zone": "cabin", "insulation": "xlpe125"}
    load = {"current": "32 A", "at": "12 V", "kind": "resistive", "inrush": 3, "inrush_time": seconds,
            "when": ["engine"], "use": "intermittent", "evidence": "measured"}
    data["circuit"] = {"plugs": {"feed": "bus", "earth": "engine", "wire": [wire], "load": [load],
                                 "role": "glow_plugs", "fuse": {"kind": "maxi", "rating": "60 A"}}}
    leader = next(each for each in raised(assess(plan_of(data))) if each.check == "fuse-exceeds-wire")
    checks = {each.check for each in fixed(plan_of(data), leader).findings}
    assert not {"blows-at-switch-on", "fuse-exceeds-wire"} & checks


@pytest.mark.parametrize("current", [19, 20])
@pytest.mark.parametrize("size", ["0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2"])
def test_a_wire_far_too_thin_for_its_load_is_the_cause_of_its_drop(current: int, size: str) -> None:
    """What it lacks is far more than the limit; a proposal fits the same."""
    data = toml(BASE)
    wire = {"size": "6 mm2", "length": "4 m", "zone": "cabin", "insulation": "pvc105"}
    load = {"current": f"{current} A", "at": "13.5 V", "kind": "motor", "when": ["engine"], "evidence": "measured"}
    data["circuit"] = {"fan": {"feed": "bus", "earth": "body", "wire": [wire], "load": [load], "role": "cooling_fan",
                               "earth_wire": [wire | {"length": "0.2 m"}], "fuse": {"kind": "maxi", "rating": "40 A"}}}
    assert raised(assess(plan_of(data))) == []
    data["circuit"]["fan"]["wire"][0] = wire | {"size": size}
    found = assess(plan_of(data))
    [leader] = [each for each in raised(found) if each.cause is None]
    assert "voltage-drop" in {found.findings[number].check for number in leader.follows}
    assert raised(fixed(plan_of(data), leader)) == []
    proposed = propose(plan_of(data), limit_set("road"), look_for_savings=False).changes
    assert dict(leader.values) == {".".join(map(str, each.path)): str(each.new) for each in proposed}


def test_a_short_that_the_size_for_the_fuse_of_a_strap_lets_blow_in_time_follows_from_that_strap() -> None:
    """Whatever multiple of its rating blows the alternator's fuse."""
    data = toml(GOOD)
    data["earth"]["bracket"] = {"to": "body", "zone": "cabin", "wire": [
        {"size": "1 mm2", "length": "80 mm", "zone": "cabin", "insulation": "xlpe125"}]}
    data["circuit"]["fan"]["earth"] = "bracket"
    del data["circuit"]["fan"]["earth_wire"]  # bolted to the bracket, which a short may return by
    data["earth"]["bracket"]["resistance"] = "0.1 mohm"
    data["circuit"]["fan"] |= {"fuse": {"kind": "blade", "rating": "30 A"}}
    data["circuit"]["fan"]["wire"][0]["size"] = "10 mm2"
    seen = set()
    for tenths in range(70, 90):
        data["alternator"]["fuse"] |= {"kind": "strip", "blows_at": tenths / 10}
        found = assess(plan_of(data)).findings
        [strap] = [each for each in found if each.check == "fuse-exceeds-strap"]
        slow = [each for each in found if (each.check, each.subject) == ("no-trip-far-end", "alternator")
                and each.level == "danger"]
        cured = "no-trip-far-end" not in {each.check for each in fixed(plan_of(data), strap).findings}
        assert all((each.cause is not None and found[each.cause].owner == strap.owner) is cured for each in slow)
        seen.add((bool(slow), cured))
    assert seen == {(True, True), (True, False), (False, True)}
