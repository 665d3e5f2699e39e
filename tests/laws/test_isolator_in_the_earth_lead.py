"""A battery isolator in an earth lead: its contact is on the way back, it is rated for what returns through it, and
what it does not cut is said."""

from __future__ import annotations

import copy
from tomllib import loads as toml
from typing import Any

import numpy as np
import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.isolators import earth_way
from tests.checks.check_plans import passing
from tests.plans import plan_of


def behind() -> dict[str, Any]:
    """A car whose every strap goes through the isolator."""
    return toml(passing("isolator-bypassed"))


def judged(data: dict[str, Any]) -> Assessment:
    return assess(plan_of(data))


def checks(data: dict[str, Any]) -> set[tuple[str, str, str]]:
    return {(each.check, each.level, each.subject) for each in judged(data).findings}


def test_its_contact_is_on_the_way_back_of_all_behind_it_and_of_nothing_else() -> None:
    data = behind()
    data["circuit"]["clock"] = copy.deepcopy(data["circuit"]["coil"]) | {"earth": "battery_negative"}
    data["earth"]["body"]["switch"]["resistance"] = "0 ohm"
    bare = judged(data)
    data["earth"]["body"]["switch"]["resistance"] = "10 mohm"
    fitted = judged(data)
    before, after = bare.results.drops.return_v[0], fitted.results.drops.return_v[0]
    names = [fitted.results.network.consumers.owner[number][1] for number in range(len(after))]
    coil, clock = names.index("coil"), names.index("clock")
    current = float(fitted.results.entered(fitted.results.solution.consumer_a)[:, coil].max())
    assert after[coil] - before[coil] == pytest.approx(0.010 * current, rel=0.02)
    assert np.isclose(after[clock], before[clock])


@pytest.mark.parametrize(("kind", "factor"), [("resistive", 1), ("lamp", 5), ("motor", 2), ("coil", 2)])
def test_it_is_rated_with_the_factors_of_the_loads_behind_it(kind: str, factor: int) -> None:
    """FAA AC 43.13-1B table 11-4, 12 V."""
    data = behind()
    data["circuit"]["coil"]["load"][0] |= {"kind": kind, "current": "8 A"}
    del data["earth"]["body"]["switch"]["rating"]
    [asked] = [each for each in judged(data).not_said if each.kind == "switch_rating"]
    assert (asked.subject_kind, asked.subject, asked.key) == ("earth", "body", "earth.body.switch.rating")
    needed = float(asked.detail.split()[0])
    assert 8.0 * factor * 0.9 < needed < 8.0 * factor * 1.15
    data["earth"]["body"]["switch"]["rating"] = f"{1.2 * needed} A"
    assert "switch-overloaded" not in {check for check, _, _ in checks(data)}
    data["earth"]["body"]["switch"]["rating"] = f"{needed - 0.5} A"
    assert "switch-overloaded" in {check for check, _, _ in checks(data)}
    data["earth"]["body"]["switch"]["rating"] = "4 A"
    assert ("switch-overloaded", "danger", "body") in checks(data)


@pytest.mark.parametrize("where", ["earth", "feed"])
def test_the_rating_asked_of_it_carries_what_a_flat_battery_takes_of_the_alternator(where: str) -> None:
    """A flat battery takes all that an alternator is rated for, through the isolator: common practice, no source."""
    data = behind()
    data["alternator"] = {"rated": "70 A", "low_speed": "40 A", "pulley_ratio": 2.2, "earth": "engine"}
    switch = data["earth"]["body"]["switch"]
    del switch["rating"]
    if where == "feed":
        del data["earth"]["body"]["switch"]
        wire = {"size": "25 mm2", "length": "0.4 m", "zone": "cabin", "insulation": "xlpe125", "cover": "conduit"}
        data["feed"]["main"] = {"from": "battery_post", "role": "battery_link", "switch": switch, "zone": "cabin",
                                "wire": [wire]}
        data["feed"]["ignition"]["from"] = data["alternator"]["feed"] = "main"
    [asked] = [each for each in judged(data).not_said if each.kind == "switch_rating"]
    assert asked.detail == "70 A"
    for rating, level in (("70 A", None), ("60 A", "danger")):
        switch["rating"] = rating
        overloaded = [each for each in judged(data).findings if each.check in ("switch-overloaded", "feed-overloaded")]
        assert {each.level for each in overloaded} == ({level} if level else set())


def test_what_has_an_earth_beyond_it_is_said_the_worse_the_more_it_keeps_alive() -> None:
    data = behind()
    assert "isolator-bypassed" not in {check for check, _, _ in checks(data)}
    clock = copy.deepcopy(data["circuit"]["coil"]) | {"earth": "battery_negative", "role": "instruments"}
    data["circuit"]["clock"] = clock
    assert ("isolator-bypassed", "advice", "body") in checks(data)
    data["earth"]["engine"]["to"] = "battery_negative"
    data["circuit"]["coil"]["earth"] = "body"
    assert ("isolator-bypassed", "warning", "body") in checks(data)
    clock["role"] = "fuel_pump"
    assert ("isolator-bypassed", "danger", "body") in checks(data)


@pytest.mark.parametrize("opens", ["none", "alternator_field", "ignition"])
@pytest.mark.parametrize("stop", [None, ["none"], ["tachometric_relay"], ["ecu"]], ids=str)
@pytest.mark.parametrize("feed", ["ignition", "battery_post"])
def test_what_is_earthed_past_it_runs_on_unless_it_opens_the_ignition_or_is_said_to_run_on_by_itself(
        opens: str, stop: list[str] | None, feed: str) -> None:
    """With the ignition opened, what it feeds is dead, and a pump stops with the engine; of one that does not, that is
    a danger, or asked, whatever an isolator does."""
    data = behind()
    relay = {"contact": "mini_40", "coil_feed": "ignition", "driver": "ecu", "suppression": "diode"}
    data["circuit"]["pump"] = copy.deepcopy(data["circuit"]["coil"]) | {
        "earth": "battery_negative", "role": "fuel_pump", "feed": feed, **({} if stop is None else {"cut_off": stop}),
        **({"relay": relay} if stop in (["tachometric_relay"], ["ecu"]) else {})}
    data["circuit"]["unit"] = copy.deepcopy(data["circuit"]["coil"]) | {"role": "engine_control_unit"}
    data["earth"]["body"]["switch"]["also_opens"] = [opens]
    assert (("isolator-bypassed", "danger", "body") in checks(data)) is (opens != "ignition")
    by_itself = {each for each in checks(data) if each[1:] == ("danger", "pump")} or [
        each for each in judged(data).not_said if each.subject == "pump" and each.kind == "cut_off" and each.safety]
    assert bool(by_itself) is (stop in (None, ["none"]))
    data["circuit"]["pump"]["earth"] = "body"
    assert "isolator-bypassed" not in {check for check, _, _ in checks(data)}


def test_an_alternator_behind_it_is_found_until_its_field_or_the_ignition_opens_too() -> None:
    data = behind()
    data["alternator"] = {"rated": "70 A", "low_speed": "40 A", "pulley_ratio": 2.2, "earth": "engine"}
    for opens, left in (("alternator_field", False), ("ignition", False), ("none", True)):
        data["earth"]["body"]["switch"]["also_opens"] = [opens]
        assert (("alternator-not-isolated", "danger", "body") in checks(data)) is left
    del data["earth"]["body"]["switch"]["also_opens"]
    assert ("alternator-not-isolated", "danger", "body") in checks(data)
    data["earth"]["engine"]["to"] = "battery_negative"
    assert "alternator-not-isolated" not in {check for check, _, _ in checks(data)}


def test_an_earth_way_ends_at_the_battery_whatever_the_plan_names() -> None:
    plan = plan_of(behind())
    assert list(earth_way(plan, "engine")) == ["engine", "body", "battery_negative"]
    assert list(earth_way(plan, "nowhere")) == list(earth_way(plan, None)) == ["battery_negative"]
