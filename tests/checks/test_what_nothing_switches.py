"""A load that is not always on and that nothing in the plan switches is a question, not an ok."""

from __future__ import annotations

import itertools

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.papers.car_facts import car_facts
from fuseplan.papers.power_parts import standing_lines
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


UNDRIVEN = 'relay = {{ contact = "mini_40", coil_feed = "{coil}", coil_earth = "body" }}'


@pytest.mark.parametrize("role", ["stop_lamps", "reverse_lamps", "wipers", "heater_blower"])
@pytest.mark.parametrize("coil", ["post", "key", "button"])
@pytest.mark.parametrize("key", ["", RELAY])
def test_a_relay_whose_driver_is_left_out_is_asked_about_wherever_the_key_alone_closes_it(
        role: str, coil: str, key: str) -> None:
    """A relay does not answer what the load without it is asked; a switch that opens its coil's feed does."""
    own = UNDRIVEN.format(coil=coil)
    assert _asked(_car(role, "post", own, key, ECU + BUTTON), "driver") == (coil != "button")
    assert _asked(_car(role, "post", own, key, ECU + BUTTON, kind="electronic"), "driver") == (coil == "post")


def test_a_switch_that_opens_a_coil_of_another_circuit_too_is_not_the_lamps_own() -> None:
    lamps = UNDRIVEN.format(coil="key")
    main = ECU.replace('feed = "key"', 'feed = "post"').replace("\nload", f"\n{lamps}\nload")
    assert _asked(_car("reverse_lamps", "post", lamps, RELAY, main), "driver")
    assert not _asked(_car("reverse_lamps", "post", lamps, RELAY), "driver")


@pytest.mark.parametrize("coil", ["post", "key"])
def test_the_relay_of_a_feed_for_lamps_alone_is_asked_what_drives_it(coil: str) -> None:
    """It is what switches them; with a switch of their own it is an ignition bus, which the key may close."""
    bus = '[feed.bus]\nfrom = "post"\n' + UNDRIVEN.format(coil=coil)
    found = _car("reverse_lamps", "bus", extra=bus)
    assert [each.subject for each in found.not_said if each.kind == "driver"] == ["bus"]
    assert not _asked(found, "switched_by")
    switched = _car("reverse_lamps", "bus", 'switch = { rating = "20 A" }', extra=bus)
    assert [each.subject for each in switched.not_said if each.kind == "driver"] == ["bus"] * (coil == "post")


@pytest.mark.parametrize("own", ["", UNDRIVEN.format(coil="key")])
@pytest.mark.parametrize("more", [', also_opens = ["ignition"]', ""])
def test_a_battery_isolator_switches_no_lamp(own: str, more: str) -> None:
    isolator = f'from = "behind"\nswitch = {{{{ rating = "300 A"{more} }}}}'
    starter = '[feed.behind]\n[circuit.starter]\nrole = "starter"\nfeed = "post"\nearth = "body"\n'
    plan = CAR.replace("[feed.post]", "[feed.post]\n" + isolator)
    text = plan.format(role="horn", feed="post", own=own, key="", extra=starter, kind="lamp", when="night")
    assert _asked(assess(parse_plan(text)), "driver" if own else "switched_by")


@pytest.mark.parametrize("role", ["headlamps", "heater_blower", "horn", "cooling_fan"])
def test_a_load_the_driver_switches_and_nothing_in_the_plan_does_is_asked_about(role: str) -> None:
    assert _asked(_car(role), "switched_by")
    assert not _asked(_car(role, own='switch = { rating = "20 A" }'), "switched_by")
    assert not _asked(_car(role, own=RELAY), "switched_by")
    assert not _asked(_car(role, key='switch = { rating = "20 A" }'), "switched_by")
    assert not _asked(_car(role, kind="electronic"), "switched_by")


@pytest.mark.parametrize("role", ["headlamps", "side_lamps", "fog_lamps", "work_lamps", "interior_lamps"])
def test_the_switch_of_a_feed_for_lamps_alone_is_asked_what_they_are_switched_by_or_judged_by_the_factor_of_lamps(
        role: str) -> None:
    for key, others in itertools.product(('switch = { rating = "20 A" }', 'switch = { rating = "60 A" }'), ("", ECU)):
        found = _car(role, key=key, extra=others)
        overloaded = "switch-overloaded" in [each.check for each in found.findings_for("feed", "key")]
        assert (_asked(found, "switched_by"), overloaded) == (others != "", "20 A" in key and not others)


PERMANENT = {"feed": "post", "kind": "resistive"}


def _stands(role: str, **keys: str) -> str:
    return dict(car_facts(_car(role, **{**PERMANENT, **keys})))["Stands"].partition(":")[0]


@pytest.mark.parametrize("role", ["work_lamps", "interior_lamps", "comfort", "instruments", "other"])
def test_a_load_that_nothing_switches_on_a_permanent_feed_is_not_taken_as_off_when_parked(role: str) -> None:
    """Its words of when it is on are not what turns it off. Electronics, and the motors of locks, aerials and windows,
    switch themselves: those are taken at their word."""
    assert _asked(_car(role, **PERMANENT), "switched_by")
    assert any("may not be all" in line for line in standing_lines(_car(role, **PERMANENT), 200))
    assert _stands(role) == _stands(role, own=UNDRIVEN.format(coil="post")) == "not known"
    assert _stands(role, own='switch = { rating = "20 A" }') == _stands(role, own=RELAY) == "yes"
    assert _stands(role, feed="key", key=RELAY, extra=ECU) == _stands(role, kind="electronic") == "yes"
    assert _stands(role, kind="motor") == ("yes" if role == "comfort" else "not known")
    assert _stands(role, when="always") == "no"


CLOCK = """
[circuit.alarm]
role = "alarm"
feed = "post"
fuse = { kind = "blade", rating = "5 A", distance = "0.1 m" }
wire = [{ size = "1 mm2", length = "1 m", zone = "bay" }]
earth = "body"
load = [{ current = "0.2 A", at = "12 V", kind = "electronic", when = ["always"], evidence = "measured" }]
"""


def test_days_that_an_unswitched_load_may_shorten_are_not_told_without_it() -> None:
    """The alarm alone is too much; a lamp that nothing is said to switch may draw more, and is not counted. One that is
    always on is counted already."""
    for keys, open_ended in (({}, True), ({"own": 'switch = { rating = "20 A" }'}, False), ({"when": "always"}, False)):
        found = _car("work_lamps", **{**PERMANENT, "extra": CLOCK, **keys})
        stands = dict(car_facts(found))["Stands"]
        assert stands.startswith("no: ")
        assert ("or more: what switches" in stands) is open_ended
        assert any("may not be all" in line for line in standing_lines(found, 200)) is open_ended


@pytest.mark.parametrize("role", ["socket", "audio", "alarm", "parking_heater", "converter", "engine_control_memory"])
def test_what_switches_itself_on_a_permanent_feed_is_taken_at_its_word(role: str) -> None:
    assert not _asked(_car(role, **PERMANENT), "switched_by")
    assert _stands(role) == "yes"


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
