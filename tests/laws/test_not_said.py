"""Silence is not ok: what a plan does not say is asked, what a safe answer rests on leaves a circuit unknown, and no
statement of safety that is left out makes anything look better."""

from __future__ import annotations

import copy
import json
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from typing import Any, get_args

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.result_document import ResultDocument
from fuseplan.checks.whole_car import KIND
from fuseplan.limits import names
from fuseplan.papers.car_facts import car_facts
from fuseplan.papers.circuit_text import circuit_report
from fuseplan.papers.power_parts import cranking_lines
from fuseplan.papers.summary import LINES, first_page
from fuseplan.papers.text import report
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Plan
from fuseplan.plan.plain_names import named_otherwise
from fuseplan.plan.roles import MAY_BE_UNFUSED, proposed_role, role_named, roles
from fuseplan.plan.words import CircuitRole, CutOff
from fuseplan.planfile.library import definitions, shipped_folder
from fuseplan.planfile.plain import without
from fuseplan.planfile.starter import starter_plan
from fuseplan.results.schema import schema
from fuseplan.workspace.session import Session
from fuseplan.workspace.summary import summary_rows
from tests.checks.check_plans import BASE, failing
from tests.hostile import toml

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
LIBRARY = sorted(name for name, each in definitions().items()
                 if not any("out_of_scope" in table for table in each.circuits.values()))
OF_A_ROLE = ("role", "must_run", "must_stop", "drop_class", "cut_off")
"""Keys of a circuit that a role brings or asks for."""
RANK = {"fails": 0, "unknown": 1, "measure": 2, "ok": 3}


@cache
def text_of(source: str) -> str:
    """The TOML of an example, or of a new plan with one definition of the library."""
    return next((path.read_text(encoding="utf-8") for path in EXAMPLES if path.stem == source), None) \
        or starter_plan("car", [source])


def data_of(source: str) -> dict[str, Any]:
    return copy.deepcopy(tomllib.loads(text_of(source)))


def judged(data: dict[str, Any]) -> Assessment:
    return assess(Plan.model_validate(data))


def questions(data: dict[str, Any], kind: str) -> list[Any]:
    return [each for each in judged(data).not_said if each.kind == kind]


# --- laws -----------------------------------------------------------------------------------------------------------


@pytest.mark.one_in(5)
@pytest.mark.parametrize("source", [*(path.stem for path in EXAMPLES), *LIBRARY])
def test_without_what_their_roles_say_no_circuit_is_ok(source: str) -> None:
    data = data_of(source)
    for circuit in data["circuit"].values():
        for key in OF_A_ROLE:
            circuit.pop(key, None)
    assessment = judged(data)
    verdicts = {name: assessment.verdict(name) for name in assessment.plan.circuit}
    assert verdicts
    assert "ok" not in verdicts.values(), verdicts
    page = first_page(assessment)
    assert "No fault found" not in page
    assert "Not said" in page


@pytest.mark.one_in(5)
@pytest.mark.parametrize("source", [*(path.stem for path in EXAMPLES), *LIBRARY])
def test_shipped_circuits_say_what_their_safety_rests_on(source: str) -> None:
    """But for the switches of the coupe: nobody knows what forty-year-old ones are rated for; and for what the user
    alone knows of the first plan: its alternator, the cable of that and the key switch, the control unit that stops a
    pump, and when the bolt-in fuse at a second battery blows."""
    of_its_own = {("circuit", "cut_off_unit")} if source.startswith("fuel_pump") else \
        {("circuit", "clearing")} if source.startswith("second_battery") else set()
    asked = {(each.subject_kind, each.kind) for each in judged(data_of(source)).not_said if each.safety}
    assert asked <= ({("circuit", "switch_rating"), ("feed", "switch_rating")} if source == "coupe_turbo" else
                     {("alternator", "cable"), ("alternator", KIND), ("feed", "feed_switch"), *of_its_own}
                     if source in LIBRARY else set())


SAFETY = ("role", "cut_off", "must_run", "must_stop", "suppression", "driver", "driver_limit", "cover", "insulation",
          "out_of_scope", "earth", "essential", "diode", "wire_86", "wire_85")
"""Keys of a circuit that say something about its safety. Not among them: what states the very fault when it is too long
or does not fit (distance, position, colour), the parts themselves (fuse, relay, switch), the drop class, which its role
brings, and figures, which have a law of their own."""


def statements(value: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Places of all statements of safety within a circuit."""
    if isinstance(value, dict):
        for key, each in value.items():
            if key in SAFETY:
                yield (*at, key)
            yield from statements(each, (*at, key))
    elif isinstance(value, list):
        for number, each in enumerate(value):
            yield from statements(each, (*at, number))


def improved(source: str, every: int) -> tuple[list[tuple[str, Any]], int]:
    data = data_of(source)
    plain = judged(data)
    before = {name: plain.verdict(name) for name in plain.plan.circuit}
    found, tried = [], 0
    for number, (name, circuit) in enumerate(data["circuit"].items()):
        for place in list(statements(circuit))[number % every::every]:
            try:
                after = judged(without(data, ("circuit", name, *place)))
            except ValueError:
                continue
            tried += 1
            found += [(name, place) for other in before if after.verdict(other) == "ok" != before[other]]
    return found, tried


@pytest.mark.parametrize("source", ["track_car", "van_24v"])
def test_no_statement_of_safety_left_out_makes_anything_ok(source: str) -> None:
    found, tried = improved(source, 6)
    assert tried > 8
    assert found == []


@pytest.mark.long
@pytest.mark.parametrize("source", [path.stem for path in EXAMPLES])
def test_no_statement_of_safety_left_out_anywhere_makes_anything_ok(source: str) -> None:
    found, tried = improved(source, 1)
    assert tried > 30
    assert found == []


# --- roles ----------------------------------------------------------------------------------------------------------


def test_the_table_of_roles_has_them_all() -> None:
    assert set(roles()) == set(get_args(CircuitRole))
    assert set(MAY_BE_UNFUSED) == {"starter", "glow_plugs"}
    for role in roles().values():
        assert role.title
        assert role.source
        assert role.left_on in ("keeps_running", "injures", "stops_the_car")
        assert not set(role.must_run) & set(role.must_stop)


PUMP = """
[circuit.{name}]
feed = "ignition_bus"
fuse = {{ kind = "blade", rating = "15 A", position = "1" }}
wire = [{{ size = "4 mm2", length = "3 m", zone = "cabin", insulation = "pvc105" }}]
earth = "body"
earth_wire = [{{ size = "4 mm2", length = "0.5 m", zone = "cabin", insulation = "pvc105" }}]
drop_class = "control"
{more}
[circuit.{name}.relay]
contact = "mini_40"
coil_feed = "ignition_bus"
driver = "{driver}"
driver_limit = "1 A"
suppression = "diode"
[[circuit.{name}.load]]
current = "6 A"
at = "13.5 V"
kind = "motor"
inrush = 3
inrush_time = "100 ms"
when = ["engine"]
evidence = "measured"
"""


def pump(more: str = "", name: str = "pump", driver: str = "ecu") -> dict[str, Any]:
    return tomllib.loads(BASE + PUMP.format(name=name, more=more, driver=driver))


def verdict(data: dict[str, Any]) -> tuple[str, list[str]]:
    assessment = judged(data)
    (name,) = assessment.plan.circuit
    return assessment.verdict(name), [each.check for each in assessment.findings if each.level == "danger"]


def test_a_petrol_pump_needs_a_cut_off_that_works_with_the_key_on_and_the_engine_still() -> None:
    role = 'role = "fuel_pump"\n'
    assert verdict(pump(role)) == ("unknown", [])
    assert questions(pump(role), "cut_off")
    assert verdict(pump(f'{role}cut_off = ["oil_pressure"]'))[1] == []
    assert not [each for each in judged(pump(f'{role}cut_off = ["oil_pressure"]')).not_said_of("circuit", "pump")
                if each.safety and each.kind != "coil_wire"]
    for lacking in ("[]", '["none"]', '["inertia"]'):
        assert verdict(pump(f"{role}cut_off = {lacking}")) == ("fails", ["no-fuel-cut-off"])
    assert verdict(pump(f'{role}cut_off = ["ecu", "none"]'))[1] == ["no-fuel-cut-off"]
    for word in get_args(CutOff):
        data = pump(f'{role}cut_off = ["{word}", "inertia"]')
        assert ("no-fuel-cut-off" in verdict(data)[1]) is (word in ("inertia", "none"))


def test_a_control_unit_that_drives_no_relay_of_the_pump_does_not_stop_it() -> None:
    said = 'role = "fuel_pump"\ncut_off = ["ecu"]'
    assert verdict(pump(said, driver="switch"))[1] == ["no-fuel-cut-off"]
    data = pump(said, driver="switch")
    assert not questions(data, "cut_off_unit"), "one cause"
    data["feed"]["pump_bus"] = {"from": "bus", "zone": "cabin", "live": ["ignition", "crank", "running"], "relay": {
        "contact": "mini_40", "coil_feed": "ignition_bus", "driver": "ecu", "suppression": "diode"}}
    data["circuit"]["pump"]["feed"] = "pump_bus"
    assert verdict(data)[1] == []


def test_a_pump_that_only_the_engine_gives_supply_needs_no_other_cut_off() -> None:
    data = pump('role = "fuel_pump"')
    data["feed"]["ignition_bus"]["live"] = ["crank", "running"]
    assert not questions(data, "cut_off")


@pytest.mark.parametrize("words", [["ecu"], ["ecu", "inertia"], ["ecu", "oil_pressure"], ["tachometric_relay"]])
def test_a_control_unit_stops_a_pump_only_where_the_plan_has_one(words: list[str]) -> None:
    data = pump('role = "fuel_pump"')
    data["circuit"]["pump"]["cut_off"] = words
    alone = set(words) <= {"ecu", "inertia"}
    assert bool(questions(data, "cut_off_unit")) is alone
    if alone:
        assert verdict(data)[0] == "unknown"
    for role in ("engine_control_unit", "engine_control_memory"):
        unit = {**data["circuit"]["pump"], "role": role}
        unit.pop("cut_off")
        assert not questions({**data, "circuit": {**data["circuit"], "unit": unit}}, "cut_off_unit")


@pytest.mark.parametrize("words", [["tachometric_relay"], ["alternator", "inertia"], ["tachometric_relay", "ecu"],
                                   ["oil_pressure"]])
def test_a_relay_stops_a_pump_only_where_there_is_one(words: list[str]) -> None:
    data = pump('role = "fuel_pump"')
    data["circuit"]["pump"]["cut_off"] = words
    assert not questions(data, "cut_off_relay")
    relay = data["circuit"]["pump"].pop("relay")
    alone = set(words) <= {"tachometric_relay", "alternator", "inertia"}
    assert bool(questions(data, "cut_off_relay")) is alone
    if alone:
        assert verdict(data)[0] == "unknown"
    data["feed"]["ignition_bus"]["relay"] = {**relay, "coil_feed": "bus"}
    assert not questions(data, "cut_off_relay")


@pytest.mark.parametrize("name", ["fuel_pump", "petrol_lift_pump", "starter", "radio", "x7"])
def test_a_name_excuses_nothing_and_may_raise_dangers(name: str) -> None:
    data = pump(name=name)
    assert verdict(data)[0] in ("unknown", "fails")
    assert questions(data, "role")
    data["circuit"][name]["feed"] = data["circuit"][name]["relay"]["coil_feed"] = "bus"
    dangers = verdict(data)[1]
    assert ("live-when-off" in dangers) is ("pump" in name)
    assert judged(data).circuit(name).role_proposed == proposed_role(name, Plan.model_validate(data).circuit[name])


@pytest.mark.parametrize(("name", "role"), [
    ("Fresh water pump", "comfort"), ("tap_pump", "comfort"), ("Shower pump, water", "comfort"), ("Fridge", "comfort"),
    ("Water pump", "coolant_pump"), ("Auxiliary water pump", "coolant_pump"), ("Pump of the coolant", "coolant_pump"),
    ("Diesel lift pump", "diesel_pump"), ("Lift pump", "fuel_pump"), ("Stop solenoid", "injection")])
def test_a_pump_is_proposed_to_move_what_its_name_says(name: str, role: str) -> None:
    assert role_named(name) == role


NAMED = [
    ("Fuel pump", "other", True), ("fuel_pump", "relay_coils", True), ("Fuel pump and horn", "horn", True),
    ("Petrol pump", "diesel_pump", True), ("Diesel lift pump", "fuel_pump", True), ("Starter", "other", True),
    ("Starter solenoid", "horn", True), ("Glow plugs", "other", True), ("ECU", "other", True),
    ("ECU and cabin lamp", "interior_lamps", True), ("Headlamps", "other", False), ("Stop lamps", "fog_lamps", False),
    ("Headlamps", "starter", True), ("Horn", "glow_plugs", True), ("Fuel pump, battery side", "other", True),
    ("Fuel pump (isolator side)", "comfort", True), ("Fuel transfer pump", "other", True),
    ("Diesel supply pump", "comfort", True), ("Petrol main pump", "other", True),
    ("Engine control module", "other", True), ("Fuel pump control unit", "other", True), ("Fuelpump", "other", True),
    ("Petrolpump", "comfort", True), ("Fuel boost pump", "other", True), ("Pump (fuel)", "other", True),
    ("Pump for petrol", "socket", True), ("Ignition amplifier", "audio", True)]
"""What a circuit is called, the role stated for it, and whether safety rests on which is right."""


@pytest.mark.parametrize(("name", "role", "safety"), NAMED)
@pytest.mark.parametrize("place", ["id", "name", "taken_from"])
def test_a_role_that_the_name_contradicts_is_asked(name: str, role: str, safety: bool, place: str) -> None:
    circuit = re.sub(r"\W+", "_", name.lower()) if place == "id" else "x7"
    data = pump(f'role = "{role}"', circuit)
    data["circuit"][circuit] |= {} if place == "id" else {place: name if place == "name" else name.lower()}
    [asked] = questions(data, "role_or_name")
    assert asked.safety is safety
    assert asked.key == f"circuit.{circuit}.role"
    assert verdict(data)[0] != "ok"
    data["circuit"][circuit]["role"] = asked.proposed
    assert not questions(data, "role_or_name"), "the proposed role ends the question"


@pytest.mark.parametrize(("name", "role"), [
    ("Fuel pump relay coil", "other"), ("Fuel pump, relay coil", "relay_coils"), ("Fuel gauge", "other"),
    ("Starter motor relay", "other"), ("Starter motor relay", "relay_coils"), ("Starter battery charger", "other"),
    ("Fan override switch lamp", "other"), ("Relay coils: main, fuel pump, fan", "relay_coils"), ("Pump", "other"),
    ("Fuel pump", "diesel_pump"), ("Lift pump", "diesel_pump"), ("Starter", "starter_solenoid"),
    ("ABS control unit", "other"), ("ECU, injectors and coils", "injection"), ("ECU memory", "other"),
    ("Parking heater fuel pump", "other"), ("Charge lamp", "instruments"), ("Headlamps and side lamps", "side_lamps"),
    ("Leisure battery fridge", "comfort"), ("Glow plug lamp", "interior_lamps"), ("Coils 87", "relay_coils"),
    ("Fuel shut-off solenoid, energised to stop", "other"), ("Glow plug control unit", "engine_control_unit"),
    ("Control unit of the glow plugs", "engine_control_unit"), ("Fuel pump controller", "engine_control_unit"),
    ("Front fuel pump driver", "engine_control_unit"), ("Fuel pump driven by engine control unit", "fuel_pump"),
    ("Brake light bulb check", "instruments"), ("Fuel pump relay, coil side", "other"),
    ("Pump for fuel heater", "other"), ("Amplifier", "audio")])
def test_a_name_that_may_mean_something_else_is_believed(name: str, role: str) -> None:
    assert not questions(pump(f'role = "{role}"') | {"circuit": {"x7": pump(
        f'role = "{role}"\nname = "{name}"')["circuit"]["pump"]}}, "role_or_name")


@pytest.mark.parametrize(("name", "word"), [
    ("Airbag module", "airbag"), ("SRS", "airbag"), ("Seat-belt tensioner", "pretensioner"), ("ABS pump motor", "abs"),
    ("Pretensioner, left", "pretensioner"), ("Engine immobilizer", "immobiliser"),
    ("Airbag control unit and warning lamp", "airbag"),
    ("ABS and brake lights", "abs")])
def test_what_is_left_alone_by_its_name_is_asked(name: str, word: str) -> None:
    data = pump(f'role = "other"\nname = "{name}"', "x7")
    [asked] = questions(data, "out_of_scope")
    assert asked.safety
    assert f'out_of_scope = "{word}"' in asked.what
    assert verdict(data)[0] != "ok"
    data["circuit"]["x7"]["out_of_scope"] = word
    assert not questions(data, "out_of_scope")


@pytest.mark.parametrize("name", [
    "Airbag warning lamp", "ABS lamp", "Drive belt tensioner", "Absorber fan", "Fuel pump"])
def test_a_lamp_or_another_part_is_not_left_alone(name: str) -> None:
    assert not questions(pump(f'role = "other"\nname = "{name}"', "x7"), "out_of_scope")


def test_the_pump_of_a_diesel_beside_a_spark_ignition_is_asked() -> None:
    data = pump('role = "diesel_pump"', "x7")
    assert not questions(data, "fuel")
    coils = pump('role = "ignition"', "x8")["circuit"]["x8"]
    data["circuit"]["x8"] = coils
    [asked] = questions(data, "fuel")
    assert (asked.subject, asked.safety) == ("x7", True)
    data["circuit"]["x7"]["role"] = "fuel_pump"
    assert not questions(data, "fuel")
    assert questions(data, "cut_off"), "what stops a petrol pump is asked instead"


def test_nobody_is_told_to_probe_the_plug_of_an_airbag() -> None:
    data = pump()
    data["connector"] = {"c9": {"name": "Airbag plug", "pin": {"1": {"size": "0.5 mm2", "colour": "YE"}}}}
    said = assess(Plan.model_validate(data))
    assert [each.subject for each in said.not_said if each.kind == "out_of_scope"] == ["c9"]
    [finding] = [each for each in said.findings if each.check == "unknown-pin-on-live-plug"]
    assert finding.fix.startswith("do not probe it")


@pytest.mark.parametrize("source", [*(path.stem for path in EXAMPLES), *LIBRARY])
def test_no_shipped_name_contradicts_its_role(source: str) -> None:
    for name, circuit in Plan.model_validate(data_of(source)).circuit.items():
        assert named_otherwise(name, circuit) is None, name


def test_a_name_that_is_mended_beside_an_id_of_the_library_is_believed() -> None:
    """The definition a circuit was copied from asks only where the user has given it no name that says its role."""
    data = pump('role = "coolant_pump"\ntaken_from = "fuel_pump_lift"\nname = "Coolant pump"', "x7")
    assert not questions(data, "role_or_name")
    del data["circuit"]["x7"]["name"]
    assert questions(data, "role_or_name")


def test_a_name_does_not_let_a_wire_go_without_a_fuse() -> None:
    data = pump(name="starter")
    circuit = data["circuit"]["starter"]
    del circuit["fuse"], circuit["relay"]
    circuit |= {"feed": "battery_post", "wire": [circuit["wire"][0] | {"length": "1 m", "cover": "sleeve"}]}
    assert "no-fuse" in verdict(data)[1]


def test_what_a_role_asks_is_judged_although_the_plan_does_not_state_it() -> None:
    data = pump('role = "fuel_pump"\ncut_off = ["oil_pressure"]')
    data["circuit"]["pump"]["feed"] = data["circuit"]["pump"]["relay"]["coil_feed"] = "bus"
    assert verdict(data)[1] == ["live-when-off"]
    data["circuit"]["pump"]["must_run"] = ["off"]
    assert "live-when-off" in verdict(data)[1], "no statement takes that away"
    data = pump('role = "ignition"')
    data["circuit"]["pump"]["feed"] = data["circuit"]["pump"]["relay"]["coil_feed"] = "accessory_bus"
    assert "dead-when-needed" in [each.check for each in judged(data).findings]


# --- each question has a plan that shows it -------------------------------------------------------------------------


def other(**changed: Any) -> dict[str, Any]:
    data = pump('role = "other"')
    data["circuit"]["pump"] |= changed
    return data


def test_a_switch_without_a_rating_is_asked_for_the_one_it_needs() -> None:
    """FAA AC 43.13-1B table 11-4: 2 for a motor at 12 V, so 6 A, known within 5 %, ask for 12 A and a little."""
    data = other(switch={"resistance": "5 mohm"})
    del data["circuit"]["pump"]["relay"]
    (asked,) = questions(data, "switch_rating")
    assert asked.safety
    assert 12.0 <= float(asked.detail.split()[0]) < 13.5
    assert verdict(data)[0] == "unknown"
    data["circuit"]["pump"]["switch"]["rating"] = "20 A"
    assert not questions(data, "switch_rating")
    data["circuit"]["pump"]["load"][0] |= {"current": "1 A"}
    del data["circuit"]["pump"]["switch"]["rating"]
    assert [each.safety for each in questions(data, "switch_rating")] == [False]


@pytest.mark.parametrize(("kind", "factor"), [("resistive", 1), ("lamp", 5), ("motor", 2), ("coil", 2)])
def test_a_switch_in_a_feed_is_judged_with_the_factors_of_the_loads_behind_it(kind: str, factor: int) -> None:
    """FAA AC 43.13-1B table 11-4, 12 V."""
    data = other()
    del data["circuit"]["pump"]["relay"]
    data["circuit"]["pump"] |= {"feed": "ignition_bus"}
    data["circuit"]["pump"]["load"][0] |= {"kind": kind}
    data["feed"]["ignition_bus"]["switch"] = {"resistance": "5 mohm"}
    (asked,) = questions(data, "switch_rating")
    assert (asked.subject_kind, asked.subject, asked.safety) == ("feed", "ignition_bus", True)
    needed = float(asked.detail.split()[0])
    assert 6.0 * factor * 0.9 < needed < 6.0 * factor * 1.15
    for rating, found in ((needed + 1, []), (needed - 0.5, ["switch-overloaded"])):
        if rating > 7 or not found:
            data["feed"]["ignition_bus"]["switch"]["rating"] = f"{rating} A"
            assert [each.check for each in judged(data).findings_for("feed", "ignition_bus")
                    if each.check == "switch-overloaded"] == found


@pytest.mark.parametrize(("role", "own", "key", "factor"), [
    ("other", {}, {}, 5), ("other", {"switch": {"rating": "40 A"}}, {}, 1),
    ("other", {"relay": {"contact": "mini_40", "coil_feed": "bus", "driver": "switch", "suppression": "diode"}}, {}, 1),
    ("stop_lamps", {}, {}, 1), ("stop_lamps", {}, {"live": None}, 5),
    ("stop_lamps", {}, {"live": None, "switch": {"also_opens": ["ignition"]}}, 1)])
def test_a_switch_before_the_one_that_operates_a_load_carries_its_current(
        role: str, own: dict[str, Any], key: dict[str, Any], factor: int) -> None:
    """The factors of FAA AC 43.13-1B table 11-4 are those of a switch that operates a load: 5 for lamps at 12 V. What
    the driver switches is not operated by the key, nor by a battery isolator, though no switch of its own is
    entered; a light switch may be all it has."""
    data = other()
    del data["circuit"]["pump"]["relay"]
    pump = data["circuit"]["pump"]
    pump |= {"feed": "ignition_bus", "role": role} | own
    pump["load"][0] |= {"kind": "lamp", "design_voltage": "13.5 V"}
    data["feed"]["ignition_bus"] |= {"switch": {}} | key
    if data["feed"]["ignition_bus"].get("live", ()) is None:
        del data["feed"]["ignition_bus"]["live"]
    asked = [each for each in questions(data, "switch_rating") if each.subject_kind == "feed"]
    assert [6.0 * factor * 0.9 < float(each.detail.split()[0]) < 6.0 * factor * 1.15 for each in asked] == [True]


def test_a_contact_in_a_feed_between_operates_what_is_behind_it() -> None:
    data = other()
    del data["circuit"]["pump"]["relay"]
    data["circuit"]["pump"]["load"][0] |= {"kind": "lamp"}
    data["feed"]["ignition_bus"]["switch"] = {}
    data["feed"]["lamps"] = {"from": "ignition_bus", "zone": "cabin", "switch": {}}
    data["circuit"]["pump"]["feed"] = "lamps"
    keyed, lamps = (next(float(each.detail.split()[0]) for each in questions(data, "switch_rating")
                         if each.subject == name) for name in ("ignition_bus", "lamps"))
    assert lamps == pytest.approx(5.0 * keyed, rel=0.02)


@pytest.mark.parametrize("live", [None, ["accessory", "ignition", "crank", "running", "run_on"]])
@pytest.mark.parametrize("role", ["headlamps", "stop_lamps"])
def test_a_switch_behind_the_key_operates_what_is_behind_it(role: str, live: list[str] | None) -> None:
    """A light switch on an ignition feed is dead with the key off, and still switches the lamps on."""
    data = other()
    del data["circuit"]["pump"]["relay"]
    data["circuit"]["pump"] |= {"feed": "lamps", "role": role}
    data["circuit"]["pump"]["load"][0] |= {"kind": "lamp", "design_voltage": "13.5 V"}
    data["feed"]["ignition_bus"]["switch"] = {}
    data["feed"]["lamps"] = {"from": "ignition_bus", "zone": "cabin", "switch": {}} | (
        {} if live is None else {"live": live})
    keyed, lamps = (next(float(each.detail.split()[0]) for each in questions(data, "switch_rating")
                         if each.subject == name) for name in ("ignition_bus", "lamps"))
    assert lamps == pytest.approx(5.0 * keyed, rel=0.02)


def test_safety_of_a_switch_rests_on_the_worst_case_current() -> None:
    """5 A are below the 6 A from which a relay is advised, a guess at 5 A may be 7.5 A; what is not stated may be what
    the fuse carries."""
    for evidence, safety in (("measured", False), ("guess", True), (None, True)):
        data = other(feed="keyed")
        del data["circuit"]["pump"]["relay"]
        load = data["circuit"]["pump"]["load"][0]
        load |= {"kind": "resistive", "current": "5 A", "at": "14.4 V", "evidence": evidence}
        data["feed"]["keyed"] = {"from": "bus", "zone": "cabin", "live": ["ignition", "running"]}
        if evidence is None:
            del load["current"]
        asked = [each for each in questions(data, "feed_switch") if each.subject == "keyed"]
        assert [each.safety for each in asked] == [safety], evidence
        data["feed"]["keyed"]["switch"] = {}
        assert [each.safety for each in questions(data, "switch_rating")] == [safety], evidence


def test_the_way_to_the_first_fuse_is_asked_and_a_place_in_a_box_is_enough_behind_it() -> None:
    data = other(feed="battery_post", fuse={"kind": "mega", "rating": "100 A"})
    assert [each.safety for each in questions(data, "first_fuse") if each.subject_kind == "circuit"] == [True]
    data["circuit"]["pump"]["fuse"]["distance"] = "100 mm"
    assert not [each for each in questions(data, "first_fuse") if each.subject_kind == "circuit"]
    data = other(fuse={"kind": "blade", "rating": "15 A"})
    assert [each.safety for each in questions(data, "fuse_place")] == [False]
    data["circuit"]["pump"]["fuse"]["position"] = "1"
    assert not questions(data, "fuse_place")


def test_cables_that_the_plan_does_not_describe_are_asked_where_no_fuse_protects_them() -> None:
    data = other()
    data["feed"]["stud"] = {"from": "battery_post", "zone": "cabin"}
    assert [(each.subject, each.safety) for each in questions(data, "cable")] == [("stud", True)]
    del data["alternator"]["cable"]
    assert {each.subject for each in questions(data, "cable")} == {"stud", "alternator"}


def test_a_connector_without_a_terminal_is_asked_for_it() -> None:
    data = other()
    data["circuit"]["pump"]["wire"][0]["end"] = {"connector": "C7", "pin": "3"}
    data["circuit"]["pump"]["load"][0]["current"] = "2 A"
    (asked,) = questions(data, "terminal")
    assert "C7" in asked.what
    assert not asked.safety, "2 A is less than any terminal on file carries"
    data["circuit"]["pump"]["load"][0]["current"] = "20 A"
    assert [each.safety for each in questions(data, "terminal")] == [True]
    del data["circuit"]["pump"]["load"][0]["current"]
    (unknown,) = questions(data, "terminal")
    assert unknown.safety, "what is not known may be more than any terminal carries"
    assert "what it carries is not known" in unknown.why_it_matters
    data["circuit"]["pump"]["wire"][0]["end"]["terminal"] = "flat_6.3"
    assert not questions(data, "terminal")


def test_two_wires_in_one_pin_are_found_though_no_connector_is_described() -> None:
    data = other()
    end = {"connector": "C7", "pin": "3", "terminal": "flat_6.3"}
    data["circuit"]["pump"]["wire"][0]["end"] = end
    assert "two-wires-in-pin" not in {each.check for each in judged(data).findings}
    second = copy.deepcopy(data["circuit"]["pump"])
    data["circuit"]["second"] = second
    assert "two-wires-in-pin" in {each.check for each in judged(data).findings}
    # The next length of the same wire starts in the other half of the connector.
    data["circuit"].pop("second")
    data["circuit"]["pump"]["wire"].append(data["circuit"]["pump"]["wire"][0] | {"start": end, "end": {}})
    assert "two-wires-in-pin" not in {each.check for each in judged(data).findings}


@pytest.mark.parametrize("limits", names())
@pytest.mark.parametrize("source", [path.stem for path in EXAMPLES if data_of(path.stem).get("run")])
def test_the_zone_of_a_run_is_asked_where_its_wires_would_burn_in_the_hottest_zone(source: str, limits: str) -> None:
    """Or where nothing says what they carry there, and nowhere else: what is asked about is what is so once the run is
    said to lie there, by every set of limits."""
    data = data_of(source)
    hottest = max(data["zone"], key=lambda name: float(data["zone"][name]["ambient"].split()[0]))
    stated = assess(Plan.model_validate(data), limits)
    for run in data["run"]:
        there, silent = (
            assess(Plan.model_validate(data | {"run": data["run"] | {run: lies}}), limits)
            for lies in (data["run"][run] | {"zone": hottest}, without(data["run"][run], ("zone",))))
        bad, bad_here = ({each.owner for each in found.findings if each.level == "danger" and not each.measure}
                         | {each.owner for each in found.unjudged if each.words.startswith("no published ampacity")}
                         for found in (there, silent))
        asked = [each for each in silent.not_said if each.kind == "wire_zone"]
        assert all(each.key == f"run.{run}.zone" and each.safety for each in asked)
        assert {each.owner for each in asked} <= bad, run
        # A coil wire that burns is told with the feed whose fuse is too large for it.
        assert {each for each in bad - bad_here if each[0] == "circuit"} <= {each.owner for each in asked}, run
        assert asked or bad <= bad_here, run
        for view in stated.circuits:
            feeds = {("feed", name) for name in way_to(stated.plan, stated.plan.circuit[view.id].feed)}
            assert view.verdict == "ok" or silent.verdict(view.id) != "ok" \
                or feeds & ({each.owner for each in asked} | bad_here), (run, view.id)
        assert not [each for each in (*stated.not_said, *there.not_said) if each.kind == "wire_zone"]


@pytest.mark.parametrize("source", [path.stem for path in EXAMPLES])
def test_the_zone_of_a_wire_in_no_run_is_asked_where_it_would_burn_in_the_hottest_zone(source: str) -> None:
    """As that of a run: a wire from the cabin's fuse box to the cabin's earth may pass the engine. None is asked about
    that passes there, and no circuit whose wires have no zone is ok that would fail there."""
    data = data_of(source)
    zones = {**data["zone"], "by_the_engine": {"ambient": "126 degC"}}
    found = []
    for kind, name, part in ((of, *each) for of in ("circuit", "feed", "earth") for each in data[of].items()):
        if not any("zone" in each for key in ("wire", "earth_wire") for each in part.get(key, ())):
            continue
        silent, there = (assess(Plan.model_validate(data | {"zone": zones, kind: data[kind] | {name: part | {
            key: [without(each, ("zone",)) | zone if "zone" in each else each for each in part.get(key, ())]
            for key in ("wire", "earth_wire") if key in part}}})) for zone in ({}, {"zone": "by_the_engine"}))
        asked = [each for each in silent.not_said if each.kind == "wire_zone"]
        bad, bad_here = ({each.owner for each in of.findings if each.level == "danger" and not each.measure}
                         | {each.owner for each in of.unjudged if each.words.startswith("no published ampacity")}
                         for of in (there, silent))
        if bad - bad_here:
            assert [each.owner for each in asked] == [(kind, name)]
        assert all(each.owner in bad and each.safety for each in asked)
        assert not asked or kind != "circuit" or silent.verdict(name) != "ok"
        assert not [each for each in there.not_said if each.kind == "wire_zone"]
        found.append(bool(asked))
    assert any(found)


def test_wires_in_no_run_are_asked_about_where_a_bundle_would_make_their_fuse_too_large() -> None:
    """By itself 1.5 mm² goes with 15 A; beside five others it does not. Each in a run of its own is by itself."""
    data = other()
    pump = data["circuit"]["pump"]
    pump["fuse"] = {"kind": "blade", "rating": "7.5 A", "distance": "50 mm"}
    pump["wire"] = [{"size": "1.5 mm2", "length": "2 m", "zone": "place", "insulation": "pvc105"}]
    data["zone"]["place"] = {"ambient": "45 degC"}
    pump["load"][0]["current"] = "9 A"
    for number in range(5):
        data["circuit"][f"beside {number}"] = copy.deepcopy(pump)
    asked = [questions(data, "bundle")]
    for circuit in data["circuit"].values():
        circuit["fuse"]["rating"] = "15 A"
    before = judged(data)
    asked.append([each for each in before.not_said if each.kind == "bundle"])
    data["run"] = {f"own_{number}": {"from": "a", "to": "b", "length": "2 m", "zone": "place"} for number in range(6)}
    for number, circuit in enumerate(data["circuit"].values()):
        circuit["wire"] = [{"size": "1.5 mm2", "along": [f"own_{number}"], "insulation": "pvc105"}]
    asked.append(questions(data, "bundle"))
    for circuit in data["circuit"].values():
        circuit["wire"][0]["along"] = ["own_0"]
    together = judged(data)
    assert [len(each) for each in asked] == [0, 1, 0]
    [question] = asked[1]
    assert "(5 more)" in question.why_it_matters
    assert not question.safety
    assert question.key.endswith(".wire.0.along")
    assert not [each for each in before.findings if each.check == "fuse-exceeds-wire"]
    assert [each for each in together.findings if each.check == "fuse-exceeds-wire"], "what was asked about was true"


@pytest.mark.parametrize(("amps", "safety"), [(4.0, False), (9.0, True)])
def test_what_makes_a_feed_live_in_some_states_is_asked_until_a_switch_or_a_relay_says_it(amps: float,
                                                                                     safety: bool) -> None:
    data = other()
    data["circuit"]["pump"]["load"][0] |= {"current": f"{amps} A", "evidence": "measured"}
    data["feed"]["keyed"] = {"from": "bus", "zone": "cabin", "live": ["ignition", "running"]}
    data["feed"]["beyond"] = {"from": "keyed", "zone": "cabin", "live": ["ignition", "running"]}
    data["circuit"]["pump"]["feed"] = "beyond"
    asked = [each for each in questions(data, "feed_switch") if each.subject in ("keyed", "beyond")]
    assert [(each.subject, each.safety) for each in asked] == [("keyed", safety)]
    data["feed"]["keyed"]["switch"] = {"rating": "30 A"}
    assert not [each for each in questions(data, "feed_switch") if each.subject == "keyed"]


def test_what_switches_a_relays_coil_is_asked_as_what_switches_a_lamp_is() -> None:
    """Once: not beside a coil feed that is switched, or that is itself asked what switches it."""
    data = other()
    relay = data["circuit"]["pump"]["relay"]
    del relay["driver"], relay["driver_limit"]
    relay["coil_feed"] = "bus"
    [asked] = questions(data, "driver")
    assert (asked.subject, asked.key, asked.safety) == ("pump", "circuit.pump.relay.driver", False)
    switched = data["circuit"]["pump"] | {"switch": {"rating": "20 A"}}
    assert not questions({**data, "circuit": {"pump": switched}}, "driver")
    data["feed"]["coils"] = {"from": "bus", "zone": "cabin", "live": ["ignition", "running"]}
    relay["coil_feed"] = "coils"
    assert [each.kind for each in judged(data).not_said if each.kind in ("driver", "feed_switch")
            and each.subject in ("pump", "coils")] == ["feed_switch"]
    del data["feed"]["coils"]["live"]
    assert questions(data, "driver")
    data["feed"]["coils"]["switch"] = {"rating": "1 A"}
    assert not questions(data, "driver")
    del data["feed"]["coils"]["switch"]
    for driver in ("switch", "thermo_switch", "ecu", "voltage_sensing"):
        relay["driver"] = driver
        assert not questions(data, "driver")


def test_what_switches_the_coil_of_a_relay_in_a_feed_is_asked() -> None:
    data = other()
    data["feed"]["beyond"] = {"from": "bus", "zone": "cabin", "relay": {
        "contact": "mini_40", "coil_feed": "bus", "suppression": "diode"}}
    data["circuit"]["pump"]["feed"] = "beyond"
    assert [(each.subject_kind, each.subject, each.safety) for each in questions(data, "driver")] == [
        ("feed", "beyond", False)]
    data["feed"]["beyond"]["relay"]["driver"] = "thermo_switch"
    assert not questions(data, "driver")


def test_a_start_relay_that_nothing_switches_turns_the_starter_with_the_key() -> None:
    data = other(role="starter_solenoid")
    relay = data["circuit"]["pump"]["relay"]
    assert not questions(data, "start_switch")
    del relay["driver"], relay["driver_limit"]
    [asked] = questions(data, "start_switch")
    assert (asked.key, asked.safety) == ("circuit.pump.relay.driver", True)
    assert verdict(data)[0] != "ok"
    assert not questions(data, "driver"), "one cause"
    data["feed"]["start"] = {"from": "ignition_bus", "zone": "cabin", "live": ["crank"]}
    relay["coil_feed"] = "start"
    assert not questions(data, "start_switch")


@pytest.mark.parametrize("described", [False, True])
@pytest.mark.parametrize(("amps", "level"), [(2.0, "warning"), (4.0, "danger")])
def test_two_wires_of_which_each_passes_overload_one_terminal_together(described: bool, amps: float,
                                                                     level: str) -> None:
    """5 A for a 2.8 mm push-on terminal on AWG 16: TE catalogue 82004, p. 3-11."""
    data = other()
    data["circuit"]["pump"]["wire"][0]["end"] = {"connector": "C7", "pin": "3", "terminal": "flat_2.8"}
    data["circuit"]["pump"]["load"][0] |= {"current": f"{amps} A", "evidence": "measured"}
    data["circuit"]["second"] = copy.deepcopy(data["circuit"]["pump"])
    if described:
        data["connector"] = {"C7": {"pin": {"3": {"function": "supply", "signal": "supply_15", "known": "measured",
                                                  "fate": "keep"}}}}
    assessment = judged(data)
    assert not [each for each in assessment.findings if each.check == "connection-overloaded"]
    [found] = [each for each in assessment.findings if each.check == "two-wires-in-pin"]
    assert found.level == level
    assert ("together" in found.message) == (level == "danger")


@pytest.mark.parametrize("role", ["indicators", "hazard_lamps"])
def test_led_lamps_that_flash_are_asked_for_their_flasher(role: str) -> None:
    data = other(role=role)
    assert not questions(data, "flasher")
    data["circuit"]["pump"]["load"][0]["kind"] = "electronic"
    assert [each.safety for each in questions(data, "flasher")] == [False]
    data["circuit"]["pump"]["flasher"] = "thermal"
    assert not questions(data, "flasher")


def test_what_is_too_much_for_the_key_switch_is_told_a_relay_not_another_feed() -> None:
    for amperes, relay in (("3 A", False), ("20 A", True)):
        data = other(role="heater_blower", feed="bus")
        del data["circuit"]["pump"]["relay"]
        data["circuit"]["pump"]["load"][0]["current"] = amperes
        [finding] = [each for each in judged(data).findings if each.check == "live-when-off"]
        assert ("fit a relay" in finding.fix) is relay
        assert finding.fields[0].endswith("relay.coil_feed" if relay else "pump.feed")


def test_the_alternator_is_asked_what_excites_it_and_where_it_senses() -> None:
    data = other()
    for kind, key, said in (("exciter", "self_exciting", True), ("sense", "sense", "battery")):
        assert [each.safety for each in questions(data, kind)] == [False]
        data["alternator"][key] = said
        assert not questions(data, kind)


def test_a_dynamo_is_not_asked_what_excites_it() -> None:
    """It builds up from the residual magnetism of its field: common practice, no source."""
    data = other()
    data["alternator"] |= {"machine": "dynamo"}
    assert not questions(data, "exciter")


def test_a_regulator_that_senses_the_battery_makes_up_for_half_a_volt() -> None:
    data = tomllib.loads(failing("charging-voltage-drop"))
    data = data if "fuseplan" in data else tomllib.loads(BASE + failing("charging-voltage-drop").removeprefix(BASE))
    levels = []
    for sense in ("own_terminal", "battery"):
        data["alternator"]["sense"] = sense
        found = [each for each in judged(data).findings if each.check == "charging-voltage-drop"]
        levels.append([(each.level, (each.figure or 0.0) <= 0.5) for each in found if each.unit == "V"])
    assert levels[0]
    assert {level for level, _ in levels[0]} == {"warning"}
    assert all((level == "advice") is small for level, small in levels[1])


def test_the_isolator_of_the_track_car_is_found_until_it_opens_the_field_too() -> None:
    data = data_of("track_car")
    found = [each for each in judged(data).findings if each.check == "alternator-not-isolated"]
    assert [(each.level, each.subject) for each in found] == [("danger", "master")]
    for opens, left in ((["none"], True), ([], True), (["none", "ignition"], True),
                        (["alternator_field"], False), (["ignition"], False)):
        data["feed"]["master"]["switch"]["also_opens"] = opens
        assert ("alternator-not-isolated" in {each.check for each in judged(data).findings}) is left
    data["feed"]["master"]["switch"].pop("also_opens")
    data["alternator"]["feed"] = "battery_post"
    assert "alternator-not-isolated" not in {each.check for each in judged(data).findings}


def test_a_further_feed_that_joins_behind_the_fuse_is_no_door_without_one() -> None:
    data = other(also_from=["battery_post"])
    assert "no-fuse" in verdict(data)[1]
    data["circuit"]["pump"]["also_from"] = ["bus"]
    assert "no-fuse" not in verdict(data)[1]


def test_what_the_whole_car_is_judged_by_is_asked_first_until_it_is_entered() -> None:
    """Each figure of battery and alternator: entered, it is no longer asked for, and what rests on it is known."""
    figures = {("battery", "cold_crank"): "500 A", ("battery", "capacity"): "60 Ah", ("alternator", "rated"): "90 A"}
    bare = tomllib.loads(starter_plan("car", ["starter_main", "ecu_main"]))
    bare["alternator"]["self_exciting"] = True
    keys = {f"{part}.{key}" for part, key in figures}
    assert {each.key for each in questions(bare, KIND)} == keys
    for (part, key), value in figures.items():
        data = copy.deepcopy(bare)
        data[part][key] = value
        assert {each.key for each in questions(data, KIND)} == keys - {f"{part}.{key}"}
        bare_but = copy.deepcopy(bare)
        for other_part, other_key in figures.keys() - {(part, key)}:
            bare_but[other_part][other_key] = figures[other_part, other_key]
        assert any(words.startswith("not known") for _, words in car_facts(judged(bare_but)))
        bare_but[part][key] = value
        assert not [words for _, words in car_facts(judged(bare_but)) if words.startswith("not known")]


@pytest.mark.parametrize("answer", [{"resistance": "1 mohm"}, {"wire": [{"size": "35 mm2", "length": "0.5 m"}]}])
def test_a_strap_left_out_is_asked_first_and_without_it_the_car_neither_starts_nor_charges(answer: dict[str, Any]
                                                                                        ) -> None:
    """Kirchhoff's first law: what the starter draws returns by the point its own strap leads to."""
    data = tomllib.loads(starter_plan("car", ["starter_main", "ecu_main"]))
    data["battery"] |= {"cold_crank": "700 A", "capacity": "60 Ah"}
    data["alternator"] |= {"rated": "90 A", "self_exciting": True}
    data["earth"]["engine_block"] |= {"to": "body_front", "wire": [{"size": "70 mm2", "length": "0.3 m"}]}
    for key in ("wire", "resistance"):
        data["earth"]["body_front"].pop(key, None)
    asked, = questions(data, KIND)
    assert (asked.subject, asked.key, asked.safety) == ("body_front", "earth.body_front.wire", True)
    facts = dict(car_facts(judged(data)))
    assert facts["Starts"] == "not known: a resistance between starter and battery is missing"
    assert facts["Charges"].startswith("not known")
    line, = (each for each in cranking_lines(judged(data), 120) if "not known, counted as nothing" in each)
    assert "'Body, front'" in line
    data["earth"]["body_front"] |= answer
    assert not [each for each in cranking_lines(judged(data), 120) if "not known" in each]
    assert not questions(data, KIND)
    assert not dict(car_facts(judged(data)))["Starts"].startswith("not known")


def test_a_point_that_nothing_returns_to_is_asked_for_no_strap() -> None:
    data = tomllib.loads(starter_plan("car", ["horn"]))
    data["earth"]["spare"] = {"to": "body_front"}
    assert "spare" not in {each.subject for each in questions(data, KIND)}


def test_a_dynamo_is_asked_for_its_speeds_and_a_car_without_alternator_for_none() -> None:
    data = tomllib.loads(starter_plan("car", ["horn"]))
    data["alternator"] |= {"machine": "dynamo", "rated": "22 A", "cut_in": "1200 r/min"}
    assert "alternator.full_output" in {each.key for each in questions(data, KIND)}
    data["alternator"]["full_output"] = "2000 r/min"
    assert {each.subject for each in questions(data, KIND)} == {"battery"}
    del data["alternator"], data["battery"]
    assert {each.key for each in questions(data, KIND)} == {"battery.cold_crank", "battery.capacity"}


@pytest.mark.parametrize(("circuit", "safety"), [("alternator_exciter", True), ("starter_main", False)])
def test_an_alternator_left_out_is_asked_for_where_a_circuit_tells_of_one(circuit: str, safety: bool) -> None:
    """With it its cable, its fuse and what a battery isolator does to it would be left out in silence."""
    data = tomllib.loads(starter_plan("car", [circuit]))
    del data["alternator"]
    asked, = (each for each in questions(data, KIND) if each.subject == "alternator")
    assert asked.safety is safety
    assert data["circuit"][next(iter(data["circuit"]))]["name"] in asked.what
    data["alternator"] = {"rated": "90 A"}
    assert not [each for each in questions(data, KIND) if each.subject == "alternator" and each.key == asked.key]


def test_what_to_enter_stands_before_what_to_measure_and_behind_what_is_dangerous() -> None:
    """On the page, and in the rows of the screen."""
    data = tomllib.loads(starter_plan("car", ["glow_plugs", "main_beams", "horn", "fan_twin"]))
    for danger in (False, True):
        if danger:
            data["circuit"]["horn"]["fuse"]["rating"] = "60 A"
        page = first_page(judged(data)).splitlines()
        heads = [next(number for number, line in enumerate(page) if line.startswith(head))
                 for head in (*(("Dangers",) if danger else ()), "Enter first", "Measure first", "The car as a whole")]
        assert heads == sorted(heads)
        assert len(page) <= LINES
        if not danger:
            assert heads[0] == 3, "right behind the verdict"
        rows = [row.words for row in summary_rows(Session.of_text(toml(data)))]
        shown = [next(number for number, words in enumerate(rows) if words.startswith(head))
                 for head in (*(("Dangers",) if danger else ()), "Enter first", "Measure first", "The car as a whole")]
        assert shown == sorted(shown)


# --- where it is shown ----------------------------------------------------------------------------------------------


def test_every_question_is_in_the_document_and_in_the_texts() -> None:
    data = pump()
    data["feed"]["ignition_bus"]["switch"] = {}
    assessment = judged(data)
    document = json.loads(json.dumps(assessment.to_dict()))
    assert {"subject_kind", "subject", "what", "why_it_matters"} <= set(document["not_said"][0])
    assert len(document["not_said"]) == len(assessment.not_said) >= 4
    (circuit,) = document["circuits"]
    assert circuit["role"] is None
    assert circuit["not_said"] == [each.what for each in assessment.not_said_of("circuit", "pump")]
    assert "not_said" in schema(ResultDocument)["properties"]
    full, page, one = report(assessment, 400), first_page(assessment, 400), circuit_report(assessment, "pump", 400)
    for each in assessment.not_said:
        assert each.what in full
        assert each.why_it_matters in full
        assert each.key in full
        assert (each.what in one) is (each.subject_kind == "circuit")
    assert "Not said" in page
    assert "NOT READY" in page
    assert [each.safety for each in assessment.not_said] == sorted((each.safety for each in assessment.not_said),
                                                                   reverse=True)


def test_the_first_page_stays_one_screen_however_much_is_asked() -> None:
    data = tomllib.loads(BASE)
    data["circuit"] = {}
    for number in range(40):
        one = pump(name=f"thing_{number}")["circuit"][f"thing_{number}"]
        one |= {"switch": {}, "fuse": {"kind": "blade", "rating": "15 A"}}
        del one["relay"]
        data["circuit"][f"thing_{number}"] = one
    page = first_page(judged(data), 100).splitlines()
    assert len(page) <= LINES
    start = next(number for number, each in enumerate(page) if each.startswith("Not said"))
    assert sum(each.startswith("  ?") for each in page[start:]) <= 3


def test_a_plan_that_fails_a_check_is_not_hidden_by_a_question() -> None:
    data = tomllib.loads(BASE + failing("fuse-exceeds-wire").removeprefix(BASE))
    assert "fails" in {judged(data).verdict(name) for name in data["circuit"]}


def test_what_keeps_the_starter_from_turning_in_gear_is_asked_of_the_circuit_that_turns_it() -> None:
    data = other(role="starter_solenoid")
    [asked] = questions(data, "interlock")
    assert (asked.subject, asked.safety) == ("pump", False)
    for said, found in ((["none"], True), ([], True), (["neutral_switch"], False), (["none", "clutch_switch"], False)):
        data["circuit"]["pump"]["interlock"] = said
        assert not questions(data, "interlock")
        assert ("no-start-interlock" in {each.check for each in judged(data).findings}) is found
    assert not questions(other(), "interlock")
