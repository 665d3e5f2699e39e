"""A load that is not always on and that nothing in the plan switches is a question, not an ok."""

from __future__ import annotations

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.planfile.read import parse_plan

CAR = """
fuseplan = 1
[battery]
cold_crank = "500 A"
capacity = "60 Ah"
[alternator]
label = "14V 55/90A"
[zone.bay]
ambient = "40 degC"
[feed.post]
[feed.key]
from = "post"
live = ["ignition", "crank", "running"]
{key}
wire = [{{ size = "6 mm2", length = "0.5 m", zone = "bay" }}]
fuse = {{ kind = "maxi", rating = "30 A", distance = "0.1 m" }}
{extra}
[earth.body]
[circuit.it]
role = "{role}"
feed = "{feed}"
{own}
fuse = {{ kind = "blade", rating = "15 A", distance = "0.1 m" }}
wire = [{{ size = "2.5 mm2", length = "1 m", zone = "bay" }}]
earth = "body"
load = [{{ current = "7 A", at = "12 V", kind = "{kind}", when = ["{when}"], evidence = "measured" }}]
"""
BUTTON = """
[feed.button]
from = "key"
switch = { rating = "20 A" }
"""
COLUMN = '[feed.start]\nfrom = "key"\nlive = ["crank"]\n'
RELAY = ('relay = { contact = "mini_40", coil_feed = "post", coil_earth = "body", '
         'driver = "switch" }')


def _car(role: str, feed: str = "key", own: str = "", key: str = "", extra: str = "", kind: str = "lamp",
         when: str = "night") -> Assessment:
    return assess(parse_plan(CAR.format(role=role, feed=feed, own=own, key=key, extra=extra, kind=kind, when=when)))


def _asked(found: Assessment, kind: str) -> bool:
    return any(each.kind == kind and each.subject == "it" for each in found.not_said)


ECU = """
[circuit.ecu]
role = "engine_control_unit"
feed = "key"
fuse = { kind = "blade", rating = "5 A", distance = "0.1 m" }
wire = [{ size = "1 mm2", length = "1 m", zone = "bay" }]
earth = "body"
load = [{ current = "1 A", at = "12 V", kind = "electronic", when = ["engine"], evidence = "measured" }]
"""


@pytest.mark.parametrize("role", ["stop_lamps", "reverse_lamps", "indicators", "wipers"])
def test_an_ignition_bus_behind_a_relay_switches_none_of_the_lamps_and_motors_on_it(role: str) -> None:
    """Leaving out the brake switch does not answer what its rating was asked for."""
    assert _asked(_car(role, key=RELAY, extra=ECU), "switched_by")
    assert not _asked(_car(role, key=RELAY, extra=ECU, own='switch = { rating = "20 A" }'), "switched_by")
    assert not _asked(_car(role, key=RELAY), "switched_by")


@pytest.mark.parametrize("role", ["headlamps", "heater_blower", "horn", "cooling_fan"])
def test_a_load_the_driver_switches_and_nothing_in_the_plan_does_is_asked_about(role: str) -> None:
    assert _asked(_car(role), "switched_by")
    assert not _asked(_car(role, own='switch = { rating = "20 A" }'), "switched_by")
    assert not _asked(_car(role, own=RELAY), "switched_by")
    assert not _asked(_car(role, key='switch = { rating = "20 A" }'), "switched_by")
    assert not _asked(_car(role, kind="electronic"), "switched_by")


def _solenoid(feed: str = "key", own: str = "", key: str = "", extra: str = "") -> Assessment:
    return _car("starter_solenoid", feed, own, key, extra, "coil", "crank")


def test_a_starter_that_nothing_lets_go_of_is_unknown() -> None:
    """Also behind a key switch that other circuits share: that one stays on when the engine runs."""
    shared = '[circuit.lamp]\nrole = "instruments"\nfeed = "key"\nearth = "body"\n'
    for found in (_solenoid(), _solenoid(key='switch = { rating = "30 A" }', extra=shared)):
        assert _asked(found, "start_switch")
        assert {view.id: view.verdict for view in found.circuits}["it"] != "ok"
    for found in (_solenoid(own=RELAY), _solenoid(own='switch = { rating = "20 A" }'),
                  _solenoid("start", extra=COLUMN), _solenoid("button", extra=BUTTON)):
        assert not _asked(found, "start_switch")
