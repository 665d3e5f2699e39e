"""The shipped circuit definitions: complete, honest about their figures, and readable in a plan."""

from __future__ import annotations

import math
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.errors import PlanError
from fuseplan.plan.model import Circuit
from fuseplan.plan.roles import proposed_role, roles
from fuseplan.planfile.library import definitions
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan

FOLDER = Path(__file__).parents[2] / "circuits"
TEXTS = {path.stem: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.toml"))}
FILES = {name: tomllib.loads(text) for name, text in TEXTS.items()}
CIRCUITS = [
    pytest.param(name, circuit_id, circuit, id=circuit_id)
    for name, data in FILES.items()
    for circuit_id, circuit in data["circuit"].items()
]
PLANNED = [case for case in CIRCUITS if "out_of_scope" not in case.values[2]]
LOADS = [
    pytest.param(circuit_id, load, id=f"{circuit_id}-{load['name']}")
    for _, circuit_id, circuit in (case.values for case in PLANNED)
    for load in circuit["load"]
]

GROUPS = {
    "fuel", "cooling", "engine", "start_charge", "lighting", "wipers", "comfort", "audio", "body", "instruments",
    "relay_coils",
}

BASE = """\
fuseplan = 1
[vehicle]
name = "Invented saloon, as a place to put one circuit"
[zone.cabin]
ambient = "45 degC"
[zone.boot]
ambient = "45 degC"
[zone.door]
ambient = "45 degC"
[zone.underbody]
ambient = "60 degC"
[zone.engine_bay]
ambient = "90 degC"
[zone.near_exhaust]
ambient = "120 degC"
[feed.battery_post]
[feed.main_bus]
from = "battery_post"
[feed.accessory_bus]
from = "main_bus"
live = ["accessory", "ignition", "running"]
[feed.ignition_bus]
from = "main_bus"
live = ["ignition", "crank", "running"]
[feed.engine_bus]
from = "main_bus"
live = ["ignition", "crank", "running"]
[feed.crank_bus]
from = "main_bus"
live = ["crank"]
[feed.light_bus]
from = "main_bus"
[feed.lamp_bus]
from = "main_bus"
live = ["ignition", "running"]
[feed.coils_30]
from = "main_bus"
[feed.coils_15]
from = "ignition_bus"
[feed.coils_87]
from = "engine_bus"
[feed.coils_50]
from = "crank_bus"
[feed.coils_58]
from = "light_bus"
[feed.coils_56]
from = "lamp_bus"
[earth.battery_negative]
[earth.body_front]
to = "battery_negative"
[earth.body_cabin]
to = "battery_negative"
[earth.body_rear]
to = "battery_negative"
[earth.engine_block]
to = "battery_negative"
[earth.sensor_earth]
to = "engine_block"
"""
AMBIENT_C = {name: float(zone["ambient"].split()[0]) for name, zone in tomllib.loads(BASE)["zone"].items()}


def number(quantity: str) -> float:
    return float(quantity.split()[0])


def running_a(load: dict[str, Any]) -> float:
    """The running current of a load at its own stated voltage, in A."""
    return number(load["current"]) if "current" in load else number(load["power"]) / number(load["at"])


def circuit_text(text: str) -> str:
    """What goes into a plan: the file from its first circuit on."""
    return text[text.index("[circuit.") :]


def faults(load: dict[str, Any]) -> list[str]:
    """What is dishonest or missing in the figures of a load."""
    found = [f"no {key}" for key in ("evidence", "source", "kind", "at", "use", "when") if not load.get(key)]
    source, evidence = str(load.get("source", "")), load.get("evidence")
    if "range" in load:
        low, high = map(number, load["range"])
        if not low <= running_a(load) <= high:
            found.append(f"{running_a(load):.3g} A lies outside {low} to {high} A")
        if evidence != "published":
            found.append("a published span, but the figure is not called published")
    if evidence == "published" and re.search("memory|common practice|guess", source):
        found.append("memory called published")
    if evidence == "typical" and not source.startswith(("from memory: ", "derived: ")):
        found.append("a typical figure does not say whether it is from memory or derived")
    if evidence == "limit" and not re.search("at most", source):
        found.append("a rating does not say that it is the most")
    if evidence not in ("published", "limit", "typical"):
        found.append(f"a library cannot know {evidence} figures")
    return found


def test_there_are_enough() -> None:
    assert len(FILES) >= 42
    assert len(LOADS) >= 60
    assert {data["definition"]["group"] for data in FILES.values()} == GROUPS


@pytest.mark.parametrize("name", FILES)
def test_says_what_it_is_and_what_can_go_wrong(name: str) -> None:
    assert set(FILES[name]) == {"fuseplan", "definition", "circuit"}
    definition = dict(FILES[name]["definition"])
    assert set(definition) == {"title", "also", "group", "note", "caution"}
    assert definition["group"] in GROUPS
    assert all(text.strip() == text for text in (*definition.pop("also"), *definition.values()))
    assert definition["title"]
    assert len(definition["caution"]) >= 40
    assert re.fullmatch("[a-z0-9_]+", name)


def test_no_two_share_an_id_or_a_title() -> None:
    ids = [case.id for case in CIRCUITS]
    titles = [data["definition"]["title"] for data in FILES.values()]
    assert len(set(ids)) == len(ids)
    assert len(set(titles)) == len(titles)


@pytest.mark.parametrize(("circuit_id", "load"), LOADS)
def test_figures_are_honest(circuit_id: str, load: dict[str, Any]) -> None:
    assert faults(load) == []


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"source": ""}, "no source"),
        ({"source": "from memory: 5 to 9 A"}, "memory called published"),
        ({"current": "9.5 A"}, "9.5 A lies outside 5.0 to 9.0 A"),
        ({"evidence": "measured"}, "a library cannot know measured figures"),
        ({"evidence": "typical"}, "a typical figure does not say whether it is from memory or derived"),
    ],
)
def test_dishonest_figures_are_caught(change: dict[str, str], fault: str) -> None:
    load = FILES["fuel_pump_in_line"]["circuit"]["fuel_pump"]["load"][0]
    assert fault in faults({**load, **change})


@pytest.mark.parametrize(("name", "circuit_id", "circuit"), PLANNED)
def test_notes_own_up_to_what_has_no_field(name: str, circuit_id: str, circuit: dict[str, Any]) -> None:
    """Surge, duty, standby and an output's limit carry no evidence of their own: the note says where they are from."""
    note = FILES[name]["definition"]["note"]
    loads = circuit["load"]
    if any("inrush" in load for load in loads):
        assert re.search("surge", note), "where the switch-on surge is from"
    if any(load["duty"] < 1 for load in loads):
        assert re.search("duty (are|is) from memory", note, re.IGNORECASE)
    if any("standby" in load for load in loads):
        assert "standby" in note
    if "driver_limit" in circuit.get("relay", {}):
        assert "ECU output limit is common practice" in note
    if any(load["source"].startswith("from memory") and load["kind"] != "lamp" for load in loads):
        assert "measure" in note.lower()


@pytest.mark.parametrize(("name", "circuit_id", "circuit"), CIRCUITS)
def test_reads_in_a_plan(name: str, circuit_id: str, circuit: dict[str, Any]) -> None:
    plan = parse_plan(BASE + circuit_text(TEXTS[name]), name)
    assert circuit_id in plan.circuit
    assert len(plan.circuit[circuit_id].load) == len(circuit.get("load", []))


def test_all_read_in_one_plan() -> None:
    plan = parse_plan(BASE + "".join(map(circuit_text, TEXTS.values())), "all")
    assert len(plan.circuit) == len(CIRCUITS)


def test_a_foreign_name_does_not_read() -> None:
    text = circuit_text(TEXTS["horn"]).replace('"main_bus"', '"no_such_bus"')
    with pytest.raises(PlanError, match="no_such_bus"):
        parse_plan(BASE + text, "horn")


@pytest.mark.parametrize(("name", "circuit_id", "circuit"), CIRCUITS)
def test_figures_stay_away_from_what_is_out_of_scope(name: str, circuit_id: str, circuit: dict[str, Any]) -> None:
    if "out_of_scope" in circuit:
        assert set(circuit) == {"name", "out_of_scope", "note"}
        assert not re.search(r"\d", TEXTS[name].replace("fuseplan = 1", ""))
        assert "the maker's procedure and a qualified person" in circuit["note"].lower()
    else:
        assert not re.search("airbag|anti_lock|immobiliser|abs_", circuit_id)
        assert circuit["wire"]
        assert circuit["earth"]
        assert ("fuse" in circuit) != (circuit["role"] == "starter")


@pytest.mark.parametrize(("name", "circuit_id", "circuit"), PLANNED)
def test_every_circuit_says_what_it_is_for_and_what_its_role_needs(name: str, circuit_id: str,
                                                                   circuit: dict[str, Any]) -> None:
    role = roles()[circuit["role"]]
    assert role.word != "other"
    assert not role.cut_off or circuit["cut_off"]
    plain = Circuit.model_validate({"name": circuit["name"]})
    assert proposed_role(circuit_id, plain) == proposed_role(name, plain) == role.word
    assert circuit["drop_class"] is not None


def test_pumps_stop_with_the_engine() -> None:
    """A relay that follows the engine switches the pump, never the permanent bus.

    Source: workshop manuals of 1990 to 2006 on fuel-pump control; a carburettor pump maker's safety-switch sheet,
    which has the pump stop with the engine.
    """
    pumps = [data for data in FILES.values() if data["definition"]["group"] == "fuel"]
    assert len(pumps) >= 3
    for data in pumps:
        for circuit in data["circuit"].values():
            assert {"off", "accessory"} <= set(circuit["must_stop"])
            assert {"crank", "running"} <= set(circuit["must_run"])
            assert circuit["relay"]
            assert {circuit["feed"], circuit["relay"]["coil_feed"]} & {
                "engine_bus", "ignition_bus", "coils_87", "coils_15"}


# Published spans in A, one line a load: the library must neither widen nor move them.
PUBLISHED_SPANS_A = [
    ("fuel_pump", 0, 5.0, 9.0),  # HELLA fuel-pump information sheet 30751
    ("stop_solenoid", 0, 12 / 15, 12 / 6),  # a diesel engine maker: coil of the fuel shut-off valve, 6 to 15 Ω at 12 V
    ("fan", 0, 4.7, 11.6),  # three workshop manuals, fan current tests
    ("fan_left", 0, 7.6, 9.4),  # a workshop manual, two-speed fan
    ("fan_large", 0, 17.0, 23.0),  # a workshop manual, at 12 V and 20 °C
    ("coolant_main", 0, 15.0, 16.5),  # an engine-control project's page on coolant pumps
    ("starter", 0, 75.0, 300.0),  # East Penn wire catalogue 2024-25, p 140
    ("starter_solenoid", 0, 12.0, 20.0),  # the same
    ("panel_lamps", 0, 1.5, 3.0),  # the same
    ("central_locking", 0, 3.0, 5.0),  # the same
    ("power_aerial", 0, 6.0, 10.0),  # the same
    ("sunroof", 0, 20.0, 25.0),  # the same
    ("cluster", 0, 0.7, 1.0),  # the same, gauges
    ("window_lifts", 0, 2.0, 20.0),  # the same; a workshop manual of 2002 gives 4 to 6 A
    ("horn", 0, 9.0, 11.0),  # two of 4.5 to 5.5 A, two workshop manuals
    ("horn_large", 0, 18.0, 20.0),  # East Penn wire catalogue 2024-25, p 140, for two
]


@pytest.mark.parametrize(("circuit_id", "index", "low_a", "high_a"), PUBLISHED_SPANS_A)
def test_spans_are_the_published_ones(circuit_id: str, index: int, low_a: float, high_a: float) -> None:
    (circuit,) = (case.values[2] for case in CIRCUITS if case.id == circuit_id)
    load = circuit["load"][index]
    assert load["evidence"] == "published"
    assert tuple(map(number, load["range"])) == (low_a, high_a)


# Published: power of a filament lamp at its test voltage, W, with what the standard allows.
LAMPS = [
    ("dip_left", 0, 13.2, 55.0, 68.0),  # DIN EN 60809, December 1996: H4 dip 55 W rated, 68 W at most
    ("main_beams", 0, 13.2, 60.0, 75.0),  # DIN EN 60809, December 1996: H4 main 60 W rated, 75 W at most
    ("stop_lamps", 0, 13.5, 25 * 0.94, 25 * 1.06),  # Directive 97/24/EC, annex: P21/5W, 25 W within 6 %
    ("reverse_lamps", 0, 13.5, 25 * 0.94, 25 * 1.06),  # the same filament
    ("fog_rear", 0, 13.5, 25 * 0.94, 25 * 1.06),  # the same filament
    ("side_tail_left", 1, 13.5, 6 * 0.90, 6 * 1.10),  # the same lamp's small filament, 6 W within 10 %
]


@pytest.mark.parametrize(("circuit_id", "index", "test_v", "low_w", "high_w"), LAMPS)
def test_lamps_take_what_the_standard_allows(
    circuit_id: str, index: int, test_v: float, low_w: float, high_w: float
) -> None:
    """Scaled to the test voltage by current ~ U^0.55 (lamp rerating, Fink and Beaty, 11th edition, p 22-8)."""
    (circuit,) = (case.values[2] for case in CIRCUITS if case.id == circuit_id)
    load = circuit["load"][index]
    power_w = running_a(load) * number(load["at"]) * (test_v / number(load["at"])) ** 1.55
    assert low_w <= power_w <= high_w


# Nominal currents of 105 °C thin-wall wire, A by mm²: a British maker's list of ISO 6722 class B wire. That they stand
# for a rise of 40 K is inferred from a heat balance, since the list states no ambient.
THIN_WALL_A = {0.75: 14, 1.0: 16.5, 1.5: 21, 2.5: 29, 4.0: 39, 6.0: 50, 10.0: 70}
HIGHEST_C = {"pvc105": 105, "xlpe125": 125, "etfe150": 150}
LADDERS_A = {  # ratings as sold: ATOF 287 datasheet; DIN 72581-3 form E
    "blade": (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40),
    "maxi": (20, 30, 40, 50, 60, 70, 80),
}


@pytest.mark.parametrize(("name", "circuit_id", "circuit"), PLANNED)
def test_wires_are_no_weaker_than_a_fuse_that_carries_the_load(
    name: str, circuit_id: str, circuit: dict[str, Any]
) -> None:
    """A fuse loaded to 75 % (Littelfuse, EDN 26 September 1996) still guards every stretch, in the zone it lies in."""
    if circuit_id in ("starter", "glow_plugs", "amplifier"):
        pytest.skip("no fuse, or a size past the end of the list")
    groups: dict[str, float] = {}
    for index, load in enumerate(circuit["load"]):
        key = load.get("either", str(index))
        groups[key] = max(groups.get(key, 0.0), running_a(load))
    load_a = sum(groups.values())
    fuse_a = next(rating for rating in LADDERS_A[circuit["fuse"]["kind"]] if rating >= load_a / 0.75)
    parts = [circuit, *circuit["load"]]
    segments = [segment for part in parts for key in ("wire", "earth_wire") for segment in part.get(key, [])]
    assert segments
    if any(number(segment["size"]) not in THIN_WALL_A for segment in segments):
        pytest.skip("a size past the end of the list")
    for segment in segments:
        rise_k = HIGHEST_C[segment["insulation"]] - AMBIENT_C[segment["zone"]]
        carries_a = THIN_WALL_A[number(segment["size"])] * math.sqrt(rise_k / 40)
        assert carries_a >= fuse_a, f"{segment['size']} in {segment['zone']} behind {fuse_a} A"


@pytest.mark.one_in(3)
@pytest.mark.parametrize("name", sorted(name for name, each in definitions().items()
                                        if any("max_fuse" in table for table in each.circuits.values())))
def test_the_largest_fuse_says_what_it_rests_on_and_leaves_a_rating_that_carries_the_load(name: str) -> None:
    found = definitions()[name]
    assert "The largest fuse is common practice, no source: its maker's instruction decides." in found.note
    judged = assess(parse_plan(starter_plan("car", [name])))
    assert not [each for each in judged.findings if each.check in ("no-fuse-fits", "fuse-exceeds-equipment")]


@pytest.mark.parametrize("alike", [
    ("dip_left", "dip_right", "led_dip_beams", "discharge_headlamps"),
    ("indicators_left", "indicators_right", "led_indicators_left", "led_indicators_right")])
def test_lamps_for_one_purpose_are_on_as_long_whatever_lights_them(alike: tuple[str, ...]) -> None:
    """Dip beams the whole night, the indicators of one side half of each flash on half of the turns."""
    circuits = [case.values[2] for case in CIRCUITS if case.id in alike]
    assert len(circuits) == len(alike)
    assert len({repr((circuit["role"], circuit["must_run"], load["use"], load["duty"], load["when"]))
                for circuit in circuits for load in circuit["load"]}) == 1
