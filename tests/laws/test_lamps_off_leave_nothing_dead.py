"""Horn, stop lamps, hazard lamps and indicators work with the lamps off: common practice, no source. Behind the light
switch they are said to be dead when needed; behind the ignition switch, a battery isolator or a switch of their own
they are not; behind a switch of which the plan does not say when it is closed, it is asked."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks import assess
from tests.checks.check_plans import BASE
from tests.plans import plan_of

SWITCH: dict[str, Any] = {"switch": {"rating": "30 A"}}
RELAY = {"relay": {"contact": "mini_40", "coil_feed": "bus", "driver": "switch", "suppression": "diode"}}
LAMPS = {"head": "headlamps", "side": "side_lamps", "fog": "fog_lamps"}
NEEDED = ("horn", "stop_lamps", "hazard_lamps", "indicators")


def said(switched: dict[str, Any], behind: dict[str, str], others: dict[str, str] | None = None,
         coil: str | None = None) -> tuple[list[str], list[str]]:
    """The circuits said to be dead when needed, and the feeds asked when their switch is closed, of a plan with a
    switched feed, circuits by role behind it, and others in front of it."""
    data = tomllib.loads(BASE)
    data["feed"]["switched"] = {"from": "bus", **switched}
    circuit = {"wire": [{"size": "2.5 mm2", "length": "2 m"}],
               "load": [{"current": "3 A", "kind": "lamp"}]}
    data["circuit"] = {}
    for feed, roles in (("switched", behind), ("bus", {"coils": "ignition"} if others is None else others)):
        data["circuit"] |= {name: {**circuit, "role": role, "feed": feed} for name, role in roles.items()}
    if coil is not None:
        data["circuit"][coil] |= {"feed": "bus", "relay": {**RELAY["relay"], "coil_feed": "switched"}}
    found = assess(plan_of(data))
    return ([each.subject for each in found.findings if each.check == "dead-when-needed" and each.subject != "coils"],
            [each.subject for each in found.not_said if each.kind == "feed_live"])


@pytest.mark.parametrize("role", NEEDED)
@pytest.mark.parametrize("switched", [SWITCH, RELAY], ids=["switch", "relay"])
def test_behind_the_light_switch_it_is_dead(role: str, switched: dict[str, Any]) -> None:
    assert said(switched, {"it": role, **LAMPS}) == (["it"], [])
    assert said({}, {"it": role, **LAMPS}) == ([], [])
    assert said({**switched, "live": ["off", "accessory", "ignition", "crank", "running", "run_on"]},
                {"it": role, **LAMPS}) == ([], [])


@pytest.mark.parametrize("role", NEEDED)
def test_so_it_is_with_the_coil_of_its_relay_there(role: str) -> None:
    assert said(SWITCH, {"it": role, **LAMPS}, coil="it") == (["it"], [])


@pytest.mark.parametrize("role", NEEDED)
@pytest.mark.parametrize("switched", [SWITCH, RELAY], ids=["switch", "relay"])
@pytest.mark.parametrize("engine", ["ignition", "engine_control_unit", "starter"])
def test_the_ignition_switch_and_an_isolator_are_what_the_states_say(
        role: str, switched: dict[str, Any], engine: str) -> None:
    assert said(switched, {"it": role, "engine": engine, **LAMPS}) == ([], [])
    assert said({"switch": {"rating": "30 A", "also_opens": []}}, {"it": role, **LAMPS}) == ([], [])


@pytest.mark.parametrize("role", NEEDED)
def test_a_switch_of_its_own_is_no_fault(role: str) -> None:
    assert said(SWITCH, {"it": role, "second": role}) == ([], [])


def test_hazard_lamps_and_indicators_share_a_switch() -> None:
    assert said(SWITCH, {"left": "indicators", "both": "hazard_lamps"}) == ([], [])


@pytest.mark.parametrize("role", NEEDED)
def test_what_is_not_plain_is_asked(role: str) -> None:
    assert said(SWITCH, {"it": role, "radio": "audio", **LAMPS}) == ([], ["switched"])
    assert said(SWITCH, {"it": role, "reading": "interior_lamps"}) == ([], ["switched"])
    assert said(SWITCH, {"it": role, **LAMPS}, others={}) == ([], ["switched"]), "it may be an isolator"
