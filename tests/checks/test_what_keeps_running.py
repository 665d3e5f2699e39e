"""What keeps an engine or a pump running is found by what is joined to what, and by what it is for, not by where it
stands in the plan."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.cut_offs import ENGINE_ROLES
from fuseplan.checks.rule import Finding
from fuseplan.checks.subjects import state_words
from fuseplan.plan.model import Plan
from fuseplan.plan.roles import roles
from fuseplan.plan.words import STATES, CircuitRole
from tests.checks.check_plans import failing

KEY = ["ignition", "crank", "running"]
SWITCHED = {"coil_feed": "ignition_bus", "driver": "switch", "suppression": "diode", "contact": "mini_40"}


def found(data: dict[str, Any], check: str) -> list[Finding]:
    return [each for each in assess(Plan.model_validate(data)).findings if each.check == check]


def fan_on(feeds: dict[str, Any], fan: str, coils: str) -> bool:
    """Whether a fan without a relay on one feed keeps ignition coils on another alive."""
    data = tomllib.loads(failing("fan-feeds-back"))
    data["feed"] |= {name: {"zone": "cabin", **feed} for name, feed in feeds.items()}
    del data["circuit"]["radiator"]["relay"]
    data["circuit"]["radiator"]["feed"], data["circuit"]["coils"]["feed"] = fan, coils
    return bool(found(data, "fan-feeds-back"))


BEHIND = {"fan_bus": {"from": "ignition_bus"}}
BESIDE = BEHIND | {"coil_bus": {"from": "ignition_bus"}}


@pytest.mark.parametrize(("feeds", "fan", "coils", "alive"), [
    ({}, "ignition_bus", "ignition_bus", True),
    (BEHIND, "fan_bus", "ignition_bus", True),
    (BEHIND, "ignition_bus", "fan_bus", True),
    (BESIDE, "fan_bus", "coil_bus", True),
    ({}, "accessory_bus", "ignition_bus", False),  # two contacts of the key lie between
    ({}, "bus", "ignition_bus", False),
    ({"late": {"from": "ignition_bus", "live": ["running"]}}, "ignition_bus", "late", False),  # one contact
    # A relay holds where what it is held by is held, and opens where it is not.
    ({"fan_bus": {"from": "ignition_bus", "relay": SWITCHED}}, "fan_bus", "ignition_bus", True),
    ({"fan_bus": {"from": "ignition_bus", "relay": SWITCHED | {"coil_feed": "accessory_bus"}}}, "fan_bus",
     "ignition_bus", False),
    ({"fan_bus": {"from": "ignition_bus", "relay": SWITCHED | {"coil_feed": "accessory_bus",
                                                               "contact": "mini_40_nc"}}}, "fan_bus",
     "ignition_bus", True),
    # So does a relay from a permanent feed, as an engine's main relay is, with all that it supplies.
    ({"main_relay": {"from": "bus", "relay": SWITCHED, "live": KEY}}, "ignition_bus", "main_relay", True),
    ({"main_relay": {"from": "bus", "relay": SWITCHED, "live": KEY}, "coil_bus": {"from": "main_relay"}},
     "ignition_bus", "coil_bus", True),
    ({"main_relay": {"from": "bus", "relay": SWITCHED, "live": KEY}}, "main_relay", "ignition_bus", False),
    ({"main_relay": {"from": "bus", "relay": SWITCHED | {"coil_feed": "accessory_bus"}, "live": KEY}}, "ignition_bus",
     "main_relay", False),
    # So does one whose coil is fed with the key off too: what drives it need not let go with the key.
    ({"fan_bus": {"from": "ignition_bus", "relay": SWITCHED | {"coil_feed": "bus"}}}, "fan_bus", "ignition_bus", True),
])
def test_a_coasting_fan_feeds_whatever_the_key_does_not_part_from_it(feeds: dict[str, Any], fan: str, coils: str,
                                                                     alive: bool) -> None:
    assert fan_on(feeds, fan, coils) is alive


@pytest.mark.parametrize(("coil_feed", "alive"), [("ignition_bus", True), ("bus", True), ("accessory_bus", False)])
@pytest.mark.parametrize("of", ["radiator", "coils"])
def test_a_relay_of_the_fan_or_of_what_it_feeds_parts_them_only_where_its_coil_goes_dead_with_the_key(
        of: str, coil_feed: str, alive: bool) -> None:
    data = tomllib.loads(failing("fan-feeds-back"))
    data["circuit"][of]["relay"] = SWITCHED | {"coil_feed": coil_feed, "driver": "thermo_switch"}
    assert bool(found(data, "fan-feeds-back")) is alive


@pytest.mark.parametrize(("feed", "keys", "alive"), [
    ("bus", {"coil_feed": "ignition_bus"}, True),
    ("bus", {"coil_feed": "ignition_bus", "contact": "mini_40_nc"}, False),  # it opens while its coil is fed
    ("accessory_bus", {"coil_feed": "ignition_bus"}, False),  # the key's other contact opens
    ("ignition_bus", {"coil_feed": "accessory_bus"}, False),
    ("ignition_bus", {"coil_feed": "accessory_bus", "contact": "mini_40_nc"}, True)])
@pytest.mark.parametrize("also", [None, "bus", "ignition_bus"])
def test_what_a_coasting_fan_keeps_alive_is_fed_through_a_relay_that_is_closed_or_past_it(
        feed: str, keys: dict[str, str], alive: bool, also: str | None) -> None:
    data = tomllib.loads(failing("fan-feeds-back"))
    del data["circuit"]["radiator"]["relay"]
    data["circuit"]["coils"] |= {"feed": feed, "relay": SWITCHED | keys, "also_from": [also] if also else []}
    assert bool(found(data, "fan-feeds-back")) is (alive or also == "ignition_bus")


def test_a_coasting_fan_is_not_said_to_keep_the_starter_turning() -> None:
    data = tomllib.loads(failing("fan-feeds-back"))
    del data["circuit"]["radiator"]["relay"]
    data["circuit"]["coils"]["role"] = "starter_solenoid"
    assert not found(data, "fan-feeds-back")


def test_a_fan_of_which_it_is_not_said_that_it_is_a_motor_is_one() -> None:
    data = tomllib.loads(failing("fan-feeds-back"))
    del data["circuit"]["radiator"]["load"][0]["kind"]
    assert found(data, "fan-feeds-back")


@pytest.mark.parametrize("role", sorted({*ENGINE_ROLES, "cooling_fan", "horn"}))
def test_a_contact_that_may_weld_is_a_danger_where_it_keeps_the_engine_or_a_pump_running(role: CircuitRole) -> None:
    data = tomllib.loads(failing("relay-inrush-too-high"))
    data["circuit"]["fan"]["role"] = role
    levels = {each.level for each in found(data, "relay-inrush-too-high") if not each.measure}
    assert levels == {"danger" if role in ENGINE_ROLES else "warning"}


@pytest.mark.parametrize("role", ["fuel_pump", "heated_glass", "ignition"])
def test_what_must_be_off_is_so_by_the_source_of_its_role(role: CircuitRole) -> None:
    data = tomllib.loads(failing("live-when-off"))
    circuit = data["circuit"]["fuel_pump"]
    circuit["role"] = role
    for key in ("must_run", "must_stop"):
        del circuit[key]
    (only,) = found(data, "live-when-off")
    assert only.source == roles()[role].source
    circuit |= {"role": "horn", "must_stop": ["off"]}
    assert [each.source for each in found(data, "live-when-off")] == ["the plan itself states that it must stop"]


@pytest.mark.parametrize("stated", [{}, {"must_stop": ["off"]}])
def test_a_charge_lamp_that_stays_lit_is_a_flat_battery_and_no_engine_that_runs_on(
        stated: dict[str, list[str]]) -> None:
    """Lit through the rotor it is no more than a lamp left on: common practice, no source."""
    data = tomllib.loads(failing("live-when-off"))
    circuit = data["circuit"]["fuel_pump"]
    for key in ("must_run", "must_stop"):
        del circuit[key]
    circuit |= {"role": "alternator_exciter", **stated}
    assert [each.level for each in found(data, "live-when-off")] == ["warning"]


def test_power_steering_on_its_permanent_feed_is_no_fault_unless_the_plan_says_it_must_stop() -> None:
    """Its control unit is fed all the time through a large fuse, and woken by the ignition through a small one: two
    pages of car service data."""
    data = tomllib.loads(failing("live-when-off"))
    circuit = data["circuit"]["fuel_pump"]
    for key in ("must_run", "must_stop", "relay"):
        del circuit[key]
    circuit |= {"role": "power_steering"}
    assert not found(data, "live-when-off")
    circuit["must_stop"] = ["off"]
    assert [each.level for each in found(data, "live-when-off")] == ["warning"]


@pytest.mark.parametrize(("name", "keys", "needed"), [
    ("alarm", {}, True), ("x", {"role": "alarm"}, True), ("x", {"role": "engine_control_memory"}, True),
    ("x", {"must_run": ["off"]}, True), ("x", {"name": "Immobiliser"}, True), ("cabin_clock", {}, True),
    ("x", {"role": "audio"}, False), ("x", {"name": "Overclocked display"}, False)])
def test_what_runs_with_the_key_off_is_not_to_be_fed_from_a_switched_bus(
        name: str, keys: dict[str, Any], needed: bool) -> None:
    data = tomllib.loads(failing("standing-drain"))
    data["circuit"] = {name: {**data["circuit"]["alarm"], **keys}}
    [finding] = found(data, "standing-drain")
    assert ("switched bus" in finding.fix) is not needed
    assert ("draws less" in finding.fix) is needed


@pytest.mark.parametrize("driver", ["switch", "ecu"])
def test_an_isolator_that_is_a_relay_leaves_the_alternator_feeding_as_a_switch_does(driver: str) -> None:
    """A relay on a switch that no position of the key opens is a battery isolator; one that a control unit drives is
    none that anybody can open."""
    data = tomllib.loads(failing("alternator-not-isolated"))
    master = data["feed"]["master"]
    del master["switch"]
    master["relay"] = {"contact": "maxi_70", "coil_feed": "battery_post", "driver": driver, "suppression": "diode"}
    assert bool(found(data, "alternator-not-isolated")) is (driver == "switch")
    data["alternator"]["feed"] = "battery_post"
    assert not found(data, "alternator-not-isolated")


@pytest.mark.parametrize("role", [word for word, role in roles().items() if "off" in role.must_stop])
def test_what_is_live_when_off_is_fed_from_what_lives_while_it_runs_and_no_fuel_is_named_that_it_does_not_move(
        role: CircuitRole) -> None:
    data = tomllib.loads(failing("fan-feeds-back"))
    zone = {"from": "ignition_bus", "zone": "cabin"}
    data["feed"] |= {"start_bus": {"live": ["crank"], **zone}, "late_bus": {"live": ["ignition", "running"], **zone}}
    data["circuit"]["radiator"] |= {"role": role, "feed": "bus"}
    data["circuit"]["radiator"].pop("relay", None)
    live, = (each for each in found(data, "live-when-off") if each.subject == "radiator")
    assert ("fuel" in live.caution.lower()) is (role in {"fuel_pump", "diesel_pump", "injection"})
    offered = [name for name in data["feed"] if f"({name})" in live.fix or f" {name}" in live.fix]
    runs = roles()[role].must_run
    assert ("start_bus" in offered) is (runs == ("crank",))
    assert offered
    assert "bus" not in offered
    if "crank" in runs:
        assert "late_bus" not in offered


@pytest.mark.parametrize("current", ["3 A", "15 A"])
def test_a_control_unit_on_the_accessory_feed_is_moved_once_for_what_is_live_and_for_what_is_dead(current: str) -> None:
    """A relay with its coil on the ignition would leave its contact dead while cranking; nor is the unit fed through
    the relay it closes itself."""
    data = tomllib.loads(failing("dead-when-needed"))
    data["feed"]["main_relay"] = {"from": "bus", "zone": "cabin", "relay": {
        "contact": "mini_40", "coil_feed": "ignition_bus", "driver": "ecu", "suppression": "diode"}}
    unit = data["circuit"]["control_unit"]
    unit |= {"role": "engine_control_unit", "must_stop": ["off", "accessory"]}
    unit["fuse"]["rating"] = "30 A"
    unit["load"][0]["current"] = current
    live, = found(data, "live-when-off")
    dead, = found(data, "dead-when-needed")
    assert live.fields[0] == dead.fields[0] == "circuit.control_unit.feed"
    assert dead.cause is not None
    assert "main_relay" not in live.fix + dead.fix
    unit["feed"] = "ignition_bus"
    assert not found(data, "live-when-off") + found(data, "dead-when-needed")


def test_a_fan_with_a_second_feed_is_one_entry_that_a_diode_mends() -> None:
    data = tomllib.loads(failing("fan-feeds-back"))
    data["circuit"]["radiator"]["also_from"] = ["bus"]
    data["circuit"]["radiator"]["relay"]["coil_feed"] = "bus"
    told = found(data, "fan-feeds-back") + found(data, "back-feed")
    assert {each.check for each in told} == {"fan-feeds-back", "back-feed"}
    assert {each.fields[0] for each in told} == {"circuit.radiator.diode"}
    assert [each.cause for each in told].count(None) == 1
    data["circuit"]["radiator"]["diode"] = True
    assert not found(data, "fan-feeds-back") + found(data, "back-feed")


ENGINE = {"unit": "engine_control_unit", "coils": "ignition", "jets": "injection"}


def engine_bus(**keys: Any) -> dict[str, Any]:
    """A plan with three circuits that must run while cranking, on a feed behind a relay."""
    data = tomllib.loads(failing("dead-when-needed"))
    data["feed"]["main"] = {"from": "bus", "zone": "cabin", "fuse": {"kind": "blade", "rating": "30 A"}, "relay": {
        "contact": "mini_40", "coil_feed": "accessory_bus", "driver": "switch", "suppression": "diode"}, **keys}
    unit = data["circuit"].pop("control_unit")
    del unit["must_run"]
    data["circuit"] |= {name: {**unit, "feed": "main", "role": role} for name, role in ENGINE.items()}
    return data


def test_circuits_that_a_shared_relay_leaves_dead_are_one_entry_that_its_coil_mends() -> None:
    data = engine_bus()
    dead = found(data, "dead-when-needed")
    assert {each.subject for each in dead} == set(ENGINE)
    assert {each.fields[0] for each in dead} == {"feed.main.relay.coil_feed"}
    assert [each.cause for each in [*dead, *found(data, "load-without-supply")]].count(None) == 1
    assert "ignition_bus" in dead[0].fix
    data["feed"]["main"]["relay"]["coil_feed"] = "ignition_bus"
    assert not found(data, "dead-when-needed")


def test_all_feeds_named_for_the_coil_of_a_shared_relay_run_and_stop_what_is_behind_it() -> None:
    """One live while cranking alone would stop the engine as it starts, a permanent one would not stop it."""
    data = engine_bus()
    data["feed"] |= {"start": {"from": "bus", "zone": "cabin", "live": ["crank"]},
                     "permanent": {"from": "bus", "zone": "cabin"}}
    for name in ENGINE:
        data["circuit"][name]["must_stop"] = ["off"]
    words = found(data, "dead-when-needed")[0].fix
    named = [name for name in data["feed"] if name != "main" and name in re.split(r"\W+", words)]
    assert named == ["ignition_bus"]
    for name in named:
        data["feed"]["main"]["relay"]["coil_feed"] = name
        assert not found(data, "dead-when-needed") + found(data, "live-when-off")


def test_a_coil_behind_its_own_contact_is_one_entry_with_all_it_leaves_dead() -> None:
    data = engine_bus()
    data["feed"]["main"]["relay"]["coil_feed"] = "main"
    entries = [each for check in ("dead-when-needed", "relay-cannot-pull-in") for each in found(data, check)]
    assert len(entries) == 4
    assert [each.cause for each in entries].count(None) == 1


def test_where_the_plan_states_when_a_feed_is_live_that_is_corrected() -> None:
    data = engine_bus(live=["ignition", "running"])
    data["feed"]["main"]["relay"]["coil_feed"] = "ignition_bus"
    assert {each.fields[0] for each in found(data, "dead-when-needed")} == {"feed.main.live"}
    data["feed"]["main"]["live"].append("crank")
    assert not found(data, "dead-when-needed")


@pytest.mark.parametrize("others", ["one of three", "one must stop then"])
def test_a_circuit_on_the_wrong_feed_is_moved_and_the_relay_left(others: str) -> None:
    """Most of what is behind it may be dead then, or must be."""
    data = engine_bus()
    left = ["coils", "jets"] if others == "one of three" else ["jets"]
    for name in left:
        data["circuit"][name] |= {"role": "comfort"} if others == "one of three" else {
            "role": "heated_glass", "must_stop": ["crank"]}
    dead = found(data, "dead-when-needed")
    assert dead
    assert all(each.fields[0] == f"circuit.{each.subject}.feed" for each in dead)


@pytest.mark.parametrize(("feed", "cut"), [("ignition_bus", True), ("accessory_bus", True), ("bus", False)])
def test_a_parking_heater_behind_the_key_is_cut_while_it_runs_on(feed: str, cut: bool) -> None:
    """It heats with the key off and runs on after switch-off: common practice, no source."""
    data = tomllib.loads(failing("fan-feeds-back"))
    data["circuit"]["radiator"] |= {"role": "parking_heater", "feed": feed}
    data["circuit"]["radiator"].pop("relay", None)
    assert bool([each for each in found(data, "dead-when-needed") if each.subject == "radiator"]) is cut


@pytest.mark.parametrize("relay", [True, False])
@pytest.mark.parametrize("run", [["crank"], ["crank", "running"], []])
@pytest.mark.parametrize("stop", [["off"], ["off", "accessory"], ["off", "accessory", "ignition", "running"],
                                  ["running"]])
def test_where_no_feed_suits_the_fix_says_in_which_states_a_new_one_is_dead_and_in_which_live(
        stop: list[str], run: list[str], relay: bool) -> None:
    """Such as the start signal: behind the ignition alone a solenoid stays live with the engine running. A feed that is
    dead where it must stop, but also in one of the states it must run in, is no answer, and is not said to be none that
    is dead."""
    run = [each for each in run if each not in stop]
    needed = run or [each for each in ("running",) if each not in stop]
    data = tomllib.loads(failing("live-when-off"))
    data["feed"] = {name: feed for name, feed in data["feed"].items() if "live" not in feed}
    if needed:
        data["feed"]["short"] = {"from": "bus", "zone": "cabin", "live": [
            each for each in STATES if each not in (*stop, needed[0])]}
    circuit = data["circuit"]["fuel_pump"] | {"must_run": run, "must_stop": stop, "role": "other"}
    if not relay:
        del circuit["relay"]
    data["circuit"] = {"solenoid": circuit}
    [finding] = found(data, "live-when-off")
    assert f"dead {state_words(stop)}{f' and live {state_words(needed)}' if needed else ''}, and feed" in finding.fix
    data["feed"]["added"] = {"from": "bus", "zone": "cabin", "live": [each for each in STATES if each not in stop]}
    if relay:
        circuit["relay"]["coil_feed"] = "added"
    else:
        circuit["feed"] = "added"
    assert not found(data, "live-when-off")
    assert not found(data, "dead-when-needed")


@pytest.mark.parametrize("coils", [True, False])
def test_a_coil_fed_from_a_bus_for_more_than_coils_gets_a_small_fuse(coils: bool) -> None:
    data = tomllib.loads(failing("live-when-off"))
    bus = "ignition_bus"
    if coils:
        data["feed"]["coils"] = {"from": bus, "fuse": {"kind": "blade", "rating": "5 A", "distance": "100 mm"}}
        data["circuit"]["horn"] = data["circuit"]["fuel_pump"] | {
            "role": "comfort", "must_run": ["running"], "must_stop": [],
            "relay": data["circuit"]["fuel_pump"]["relay"] | {"coil_feed": "coils"}}
    finding, = (each for each in found(data, "live-when-off") if each.subject == "fuel_pump")
    assert finding.fix.startswith("feed the coil from coils" if coils else f"feed the coil from {bus}")
    assert ("a fuse small enough for its coil wires" in finding.fix) is not coils
    assert (bus in finding.fix) is not coils, "what is for coils alone needs no fuse of its own"


def joined(load: dict[str, Any], **circuit: Any) -> list[str]:
    """Levels of what is said where a lamp's wire is shared by the permanent bus and the ignition with one circuit on
    it."""
    data = tomllib.loads(failing("back-feed"))
    lamp, ecu = data["circuit"]["tell_tale"], data["circuit"]["ecu"]
    del lamp["load"][0]["to_feed"], ecu["relay"], data["circuit"]["ecu"]
    lamp |= {"feed": "bus", "also_from": ["ignition_bus"]}
    data["circuit"]["one"] = ecu | circuit | {"load": [{"current": "4 A", "evidence": "measured", "when": ["engine"],
                                                        **load}]}
    return [each.level for each in found(data, "back-feed")]


@pytest.mark.parametrize("load", [{"kind": "coil", "pulse_peak": "8 A"}, {"kind": "coil"}, {"kind": "electronic"},
                                  {"kind": "motor"}, {}], ids=str)
def test_what_runs_on_a_shared_wire_with_the_key_off_is_a_danger_where_it_is_the_engine_or_a_pump(
        load: dict[str, Any]) -> None:
    """Through a wire alone the whole voltage is there: an ignition coil fires, and a pump pumps, whatever holds in."""
    for role in ("ignition", "fuel_pump", "injection"):
        assert joined(load, role=role) == ["danger"]
    assert joined(load, role="wipers") == ["warning"]


@pytest.mark.parametrize(("role", "level"), [("ignition", "danger"), ("injection", "danger"), ("comfort", "warning")])
def test_a_main_relay_that_is_held_is_what_is_behind_it(role: str, level: str) -> None:
    data = tomllib.loads(failing("back-feed"))
    ecu = data["circuit"]["ecu"]
    data["feed"]["engine_bus"] = {"from": "bus", "zone": "cabin", "live": KEY, "relay": ecu.pop("relay")}
    data["feed"]["behind"] = {"from": "engine_bus", "zone": "cabin"}
    ecu |= {"feed": "behind", "role": role}
    assert [each.level for each in found(data, "back-feed")] == [level]


@pytest.mark.parametrize("stop", ["ecu", "tachometric_relay", "alternator"])
@pytest.mark.parametrize("diode", [True, False])
@pytest.mark.parametrize(("also", "relay", "wrong"), [
    ("bus", True, {"live-when-off", "no-fuel-cut-off"}), ("bus", False, {"live-when-off", "no-fuel-cut-off"}),
    ("ignition_bus", True, {"no-fuel-cut-off"}), ("accessory_bus", True, {"live-when-off", "no-fuel-cut-off"}),
    (None, True, set())])
def test_a_further_feed_keeps_a_pump_running_past_its_relay_whichever_way_a_diode_lets_current_pass(
        also: str | None, relay: bool, wrong: set[str], diode: bool, stop: str) -> None:
    """The diode keeps the pump from feeding that bus, not the bus from feeding the pump."""
    data = tomllib.loads(failing("live-when-off"))
    pump = data["circuit"]["fuel_pump"]
    pump |= {"feed": "ignition_bus", "cut_off": [stop], "diode": diode, "also_from": [also] if also else []}
    pump["relay"] |= {"coil_feed": "ignition_bus", "driver": "ecu"}
    if not relay:
        del pump["relay"]
    findings = [each for check in ("live-when-off", "no-fuel-cut-off") for each in found(data, check)]
    assert {each.check for each in findings} == wrong
    assert {each.level for each in findings} <= {"danger"}
    assert all("take the wire from" in each.fix and "also_from" in each.fields[0] for each in findings) or not wrong


@pytest.mark.parametrize("role", [role for role in ENGINE_ROLES if roles()[role].must_stop])
@pytest.mark.parametrize(("also", "wrong"), [(None, False), ("ignition_bus", False), ("bus", True)])
def test_what_must_stop_and_has_no_feed_yet_is_asked_for_it_and_is_judged_by_its_further_feeds_alone(
        role: CircuitRole, also: str | None, wrong: bool) -> None:
    data = tomllib.loads(failing("live-when-off"))
    circuit = data["circuit"]["fuel_pump"]
    circuit |= {"role": role, "also_from": [also] if also else []}
    del circuit["feed"], circuit["relay"], circuit["must_run"]
    circuit["must_stop"] = ["off"]
    assessed = assess(Plan.model_validate(data))
    findings = [each for each in assessed.findings if each.check == "live-when-off"]
    assert bool(findings) is wrong
    assert all("is also fed from" in each.message and each.fields == ("circuit.fuel_pump.also_from",)
               for each in findings)
    assert any("feed" in each for each in assessed.missing("fuel_pump")) or also
    assert assessed.verdict("fuel_pump") != "ok"


@pytest.mark.parametrize(("feed", "wrong"), [("behind", False), ("ignition_bus", True)])
def test_a_further_feed_behind_the_same_relay_stops_with_it(feed: str, wrong: bool) -> None:
    data = tomllib.loads(failing("live-when-off"))
    pump = data["circuit"]["fuel_pump"]
    data["feed"]["behind"] = {"from": "ignition_bus", "zone": "cabin", "relay": {
        **pump.pop("relay"), "coil_feed": "ignition_bus", "driver": "switch"}}
    data["feed"]["other"] = {"from": feed, "zone": "cabin"}
    pump |= {"feed": "behind", "cut_off": ["tachometric_relay"], "also_from": ["other"]}
    assert bool(found(data, "no-fuel-cut-off")) == wrong


FURTHER = ["left_bus", "right_bus"]


@pytest.mark.parametrize("own", ["circuit", "feed"])
@pytest.mark.parametrize(("relays", "wrong"), [
    (["ecu", "ecu"], []), (["ecu", "switch"], ["right_bus"]), (["ecu", None], ["right_bus"]),
    (["switch", "ecu"], ["left_bus"]), ([None, None], ["left_bus", "right_bus"])], ids=str)
def test_a_control_unit_stops_a_pump_where_it_opens_each_feed_whose_wire_reaches_it(
        relays: list[str | None], wrong: list[str], own: str) -> None:
    data = tomllib.loads(failing("live-when-off"))
    pump = data["circuit"]["fuel_pump"]
    relay = {**pump.pop("relay"), "coil_feed": "ignition_bus", "driver": "ecu"}
    data["feed"] |= {name: {"from": "ignition_bus", "zone": "cabin", **({} if driver is None else {
        "relay": relay | {"driver": driver}})} for name, driver in zip(FURTHER, relays, strict=True)}
    pump |= {"feed": "ignition_bus", "relay": relay} if own == "circuit" else {"feed": "ignition_bus"}
    if own == "feed":
        data["feed"]["pump_bus"] = {"from": "ignition_bus", "zone": "cabin", "relay": relay}
        pump["feed"] = "pump_bus"
    pump |= {"cut_off": ["ecu"], "also_from": FURTHER}
    told = found(data, "no-fuel-cut-off")
    assert bool(told) is bool(wrong)
    assert all([name for name in FURTHER if name in each.message] == wrong for each in told)
