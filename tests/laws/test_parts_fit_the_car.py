"""Parts for another system voltage, another earth, or another load than the flasher's are found whichever way round
they are wrong, and a right one never is."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks import other_voltage
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.engine.computing import compute
from fuseplan.engine.results import Results
from fuseplan.papers.propose_text import propose_text
from fuseplan.papers.summary import first_page
from fuseplan.planfile.read import parse_plan

PLAN = """
fuseplan = 1
[vehicle]
system = "{system} V"
earthed = "{earthed}"
[battery]
cold_crank = "500 A"
{alternator}
[zone.cabin]
ambient = "40 degC"
[feed.battery]
zone = "cabin"
[earth.chassis]
[circuit.{name}]
feed = "battery"
fuse = {{ kind = "blade", rating = "10 A" }}
wire = [{{ size = "1.5 mm2", length = "2 m", zone = "cabin" }}]
earth = "chassis"
{circuit}
[[circuit.{name}.load]]
name = "Part"
power = "{power} W"
at = "{at} V"
kind = "{kind}"
when = ["always"]
evidence = "plate"
{load}
"""


def _assessed(system: float = 12, earthed: str = "negative", at: float = 12, kind: str = "lamp", load: str = "",
              circuit: str = "", power: float = 21, alternator: str = "", name: str = "part") -> Assessment:
    return assess(parse_plan(PLAN.format(system=system, earthed=earthed, at=at, kind=kind, load=load, circuit=circuit,
                                         power=power, alternator=alternator, name=name)))


def _found(check: str, system: float = 12, **said: Any) -> list[Finding]:
    return [each for each in _assessed(system, **said).findings if each.check == check]


def test_of_a_part_behind_a_converter_what_that_draws_is_entered() -> None:
    """The voltage behind a converter has no place in a plan, so it is the converter that stands in it."""
    [finding] = _found("wrong-system-voltage", 24, at=12)
    assert "if a converter supplies it, enter the converter's input current at 24 V instead" in finding.fix
    assert not _found("wrong-system-voltage", 24, at=24, kind="electronic", circuit='role = "converter"', power=25)


@pytest.mark.one_in(5)
@pytest.mark.parametrize("system", [6, 12, 24, 48])
@pytest.mark.parametrize("part", [6, 12, 24, 48])
@pytest.mark.parametrize("running", [1.0, 1.125, 1.2])
def test_a_part_is_found_exactly_where_its_voltage_is_not_the_cars(system: float, part: float, running: float) -> None:
    found = _found("wrong-system-voltage", system, at=part * running)
    assert bool(found) == (system != part)
    if found:
        assert found[0].level == ("danger" if part < system else "warning")


def test_only_plugs_driven_in_pulses_are_stated_at_another_voltage() -> None:
    """Low-voltage plugs, or a current at the height of a pulse: what is stated is then not the car's voltage."""
    role = 'role = "glow_plugs"'
    assert _found("wrong-system-voltage", 24, at=12, name="glow_plugs")
    assert _found("wrong-system-voltage", 24, at=12, name="glow_plugs", circuit=role)
    assert not _found("wrong-system-voltage", 24, at=12, circuit=role, load='pulse_peak = "4 A"')
    assert not _found("wrong-system-voltage", 12, at=5, circuit=role)


@pytest.mark.parametrize("system", [12, 24])
@pytest.mark.parametrize(("share", "wrong"), [(0.3, True), (0.5, True), (0.64, False), (1, False), (2, True)])
def test_a_starter_is_stated_at_what_it_has_left_under_load(system: float, share: float, wrong: bool) -> None:
    """7.7 V under load is a published bench test of a 12 V starter (a workshop manual of 2001): 64 % of its system."""
    assert bool(_found("wrong-system-voltage", system, at=share * system, circuit='role = "starter"')) is (
        wrong and (system, share) != (48, 2))


@pytest.mark.parametrize("system", [12, 24])
def test_a_source_of_a_higher_system_can_burn_and_one_of_a_lower_does_not_charge(system: float) -> None:
    for said in ('[alternator]\nregulator_voltage = "VOLTS"', '[alternator]\nlabel = "VOLTSV 50/120A"'):
        for volts, level in ((14.2 * 2 * system / 12, "danger"), (14.2 * system / 24, "warning")):
            written = f"{volts:.1f}" + (" V" if "VOLTSV" not in said else "")
            found = _found("wrong-system-voltage", system, at=system, alternator=said.replace("VOLTS", written))
            assert [each.level for each in found] == [level]


RELAY = 'contact = "{contact}", coil_feed = "{feed}", driver = "switch", suppression = "diode"'


@pytest.mark.one_in(3)
@pytest.mark.parametrize("system", [6, 12, 24, 48])
@pytest.mark.parametrize("part", [6, 12, 24, 48])
@pytest.mark.parametrize("watts", [1.2, 1.6, 2.4])
def test_a_relay_whose_coil_is_wound_for_another_voltage_is_found_by_its_resistance(system: float, part: float,
                                                                                  watts: float) -> None:
    """Coils of 12 V car relays take 1.2 to 2.4 W: data sheets print 119 ohm for a micro, 90 and 76 ohm for a mini
    relay (TE Micro Relay A, TE 1432791-1, OEN 79). In a circuit and in a feed."""
    coil = f'{{ {RELAY.format(contact="mini_40", feed="battery")}, coil = "{part**2 / watts:.1f} ohm" }}'
    circuit = _found("wrong-system-voltage", system, at=system, circuit=f"relay = {coil}")
    feed = _found("wrong-system-voltage", system, at=system,
                  alternator=f'[feed.switched]\nfrom = "battery"\nzone = "cabin"\nrelay = {coil}')
    for found in (circuit, feed):
        assert [each.level for each in found] == ([] if system == part else ["danger" if part < system else "warning"])
    if circuit:
        assert circuit[0].fields == ("circuit.part.relay.coil",)
        assert feed[0].subject_kind == "feed"


def test_every_key_that_states_a_voltage_is_looked_at() -> None:
    """Also where another key of the same part states the car's own."""
    for system in (12, 24):
        for other in (each for each in (12, 24) if each != system):
            level = "danger" if other < system else "warning"
            for load in (f'design_voltage = "{system} V"', f'design_voltage = "{other} V"'):
                at = other if f'"{system} V"' in load else system
                assert [each.level for each in _found("wrong-system-voltage", system, at=at, load=load)] == [level]
            both = f'[alternator]\nregulator_voltage = "{1.18 * system} V"\nlabel = "{1.18 * other:.0f}V 50/120A"'
            [found] = _found("wrong-system-voltage", system, at=system, alternator=both)
            assert found.fields == ("alternator.label",)
    [locked] = _found("wrong-system-voltage", 12, at=10, circuit='role = "starter"',
                      load='locked_current = "400 A"\nlocked_at = "18 V"')
    assert locked.fields[0].endswith(".locked_at")


@pytest.mark.parametrize("cranks", [300, 540, 840])
def test_a_battery_of_which_one_figure_is_ten_times_off_is_named_whichever_it_is(cranks: int) -> None:
    """Labels print 4 to 15 A of cold-cranking current for an Ah, from memory: tried are 5, 9 and 14."""
    text = PLAN.format(system=12, earthed="negative", at=12, kind="lamp", load="", circuit="", power=21,
                       alternator='capacity = "CAPACITY"', name="part").replace("500 A", "CRANKS")
    for capacity, current, wrong in (("60 Ah", cranks, False), ("600 Ah", cranks, True), ("6 Ah", cranks, True),
                                     ("60 Ah", cranks / 10, True)):
        found = assess(parse_plan(text.replace("CAPACITY", capacity).replace("CRANKS", f"{current:g} A"))).findings
        named = [each for each in found if each.check == "improbable-figure" and each.subject_kind == "battery"]
        assert [each.level for each in named] == ["warning"] * wrong, (capacity, current)


CAR = """
fuseplan = 1
[vehicle]
system = "{system} V"
[battery]
cold_crank = "680 A"
capacity = "90 Ah"
[alternator]
feed = "battery"
earth = "chassis"
rated = "90 A"
low_speed = "60 A"
regulator_voltage = "{regulated} V"
fuse = {{ kind = "mega", rating = "100 A", distance = "100 mm" }}
cable = [{{ size = "25 mm2", length = "1 m", zone = "cabin" }}]
[zone.cabin]
ambient = "40 degC"
[feed.battery]
zone = "cabin"
[earth.chassis]
"""
CIRCUIT = """
[circuit.{name}]
feed = "battery"
fuse = {{ kind = "blade", rating = "{fuse} A", distance = "100 mm" }}
wire = [{{ size = "{size} mm2", length = "{length} m", zone = "cabin" }}]
earth = "chassis"
[[circuit.{name}.load]]
name = "Part of {name}"
power = "{power} W"
at = "{at} V"
kind = "{kind}"
when = ["always"]
evidence = "plate"
"""


def car(system: float, at: float) -> Assessment:
    """A car of four circuits whose parts are stated at one voltage; one has, beside that, a fuse its wire cannot have,
    and a far lamp whose wire is too thin in any car."""
    parts = (("lamp", 10, 1.5, 3, 60, "lamp"), ("heater", 15, 2.5, 3, 150, "resistive"),
             ("horn", 40, 1, 3, 30, "motor"), ("far", 7.5, 0.5, 30, 55, "lamp"))
    text = CAR.format(system=system, regulated=14.2 * system / 12) + "".join(
        CIRCUIT.format(name=name, fuse=fuse, size=size, length=length, power=power, kind=kind, at=at)
        for name, fuse, size, length, power, kind in parts)
    return assess(parse_plan(text))


def _keys(assessment: Assessment, measure: bool = False) -> set[tuple[str, str]]:
    return {(each.check, each.subject) for each in assessment.findings if measure or not each.measure}


@pytest.mark.parametrize(("system", "at"), [(24, 12), (12, 24), (12, 6)])
def test_parts_of_another_system_are_one_entry_and_parts_of_the_cars_remove_what_follows_from_it(
        system: float, at: float) -> None:
    found, right = car(system, at), car(system, system)
    wrong = [number for number, each in enumerate(found.findings) if each.check == "wrong-system-voltage"]
    assert {found.findings[number].subject for number in wrong} == {"lamp", "heater", "horn", "far"}
    leader = found.findings[wrong[0]]
    assert leader.cause is None
    assert all(found.findings[number].cause == wrong[0] for number in wrong[1:])
    assert all(place >= wrong[0] for place in leader.follows), "it stands before all it causes"
    followers = [found.findings[number] for number in leader.follows if found.findings[number].check != leader.check]
    assert followers, "it causes more than itself"
    assert not {(each.check, each.subject) for each in followers if not each.measure} & _keys(right)
    stands = {(each.check, each.subject) for each in found.findings if each.cause != wrong[0]}
    assert _keys(found) & _keys(right) <= stands, "what parts of the car's voltage do not remove is not put under it"
    assert ("fuse-exceeds-wire", "horn") in stands & _keys(right)
    parts = {each.fields[0] for each in found.findings if each.check == leader.check}
    for each in found.findings:
        if each.cause != wrong[0] and each.fields[0] in parts and each is not leader:
            assert any(each.fix.endswith(f"; still needed with {system} V parts: {other.fix}")
                       for other in right.findings), each.fix


def test_nothing_follows_from_a_wrong_voltage_where_no_voltages_are_found_for_the_right_parts(
        monkeypatch: pytest.MonkeyPatch) -> None:
    def unsettled(*asked: Any) -> Results:
        found = compute(*asked)
        return replace(found, solution=replace(found.solution, settled=False))

    monkeypatch.setattr(other_voltage, "compute", unsettled)
    found = car(24, 12).findings
    under = [each for each in found if each.cause is not None and found[each.cause].check == "wrong-system-voltage"]
    assert {each.check for each in under} == {"wrong-system-voltage"}


def test_the_first_page_of_a_car_with_other_parts_says_it_in_one_entry_first() -> None:
    lines = first_page(car(24, 12)).splitlines()
    dangers = [line for line in lines if line.startswith("  ✗")]
    assert "and 3 more: wrong system voltage" in dangers[0]
    assert sum("wrong system voltage" in line for line in lines) == 1
    assert "24 V parts" in " ".join(lines[lines.index(dangers[0]):][:2])
    assert not any("no fuse fits" in line for line in lines)


def test_a_proposal_for_a_car_with_other_parts_says_first_what_it_rests_on() -> None:
    cars = [car(24, at) for at in (12, 24)]
    other, right = (propose_text(propose(each.plan, each.limit_set)) for each in cars)
    words = "rests on figures of another system's voltage"
    assert words in " ".join(other[:600].split())
    assert other.count("wrong-system-voltage") == 1
    assert words not in " ".join(right.split())


@pytest.mark.parametrize(("label", "system", "wrong"), [
    ("14V 50/120A", 12, False), ("14V 50/120A", 24, True), ("28V 70/140A", 24, False), ("28V 70/140A", 12, True),
    ("90 A", 24, False)])
def test_an_alternators_label_is_read(label: str, system: float, wrong: bool) -> None:
    found = _found("wrong-system-voltage", system, at=system, alternator=f'[alternator]\nlabel = "{label}"')
    assert bool(found) is wrong


@pytest.mark.parametrize("earthed", ["negative", "positive"])
@pytest.mark.parametrize("made_for", ["negative", "positive", "either"])
@pytest.mark.parametrize("kind", ["lamp", "electronic"])
def test_a_part_for_the_other_earth_is_found(earthed: str, made_for: str, kind: str) -> None:
    found = _found("wrong-earth-polarity", earthed=earthed, kind=kind, load=f'made_for = "{made_for}"')
    assert bool(found) == (made_for not in ("either", earthed))


@pytest.mark.parametrize(("kind", "wrong"), [("electronic", True), ("lamp", False), ("motor", False), ("coil", False)])
def test_silence_on_a_positive_earth_is_not_ok_for_electronics(kind: str, wrong: bool) -> None:
    assert bool(_found("wrong-earth-polarity", earthed="positive", kind=kind)) is wrong
    assert not _found("wrong-earth-polarity", earthed="negative", kind=kind)


def test_an_alternator_is_made_for_negative_earth_unless_it_says_otherwise_and_a_dynamo_is_not() -> None:
    machine = '[alternator]\nrated = "22 A"\n'
    assert [each.level for each in _found("wrong-earth-polarity", earthed="positive", alternator=machine)] == ["danger"]
    for right in ('made_for = "positive"', 'machine = "dynamo"'):
        assert not _found("wrong-earth-polarity", earthed="positive", alternator=machine + right)


@pytest.mark.parametrize("flasher", ["thermal", "load_sensing", "electronic"])
@pytest.mark.parametrize(("power", "kind"), [(42, "lamp"), (6, "electronic"), (21, "lamp")])
def test_a_flasher_that_watches_its_load_needs_it(flasher: str, power: float, kind: str) -> None:
    for least in ("", 'flasher_load = "42 W"'):
        found = _found("flasher-load-too-low", power=power, kind=kind, circuit=f'flasher = "{flasher}"\n{least}')
        assert bool(found) == (flasher != "electronic" and power < 42)


def test_the_voltage_at_which_the_lamps_take_so_little_is_said() -> None:
    """42 W at 13.5 V is 42 · (12 / 13.5)^1.55, 34.99 W, at 12 V (power of a lamp: Fink & Beaty, 11th ed., p. 22-8), and
    told rounded down."""
    [found] = _found("flasher-load-too-low", power=42, at=13.5, kind="lamp", circuit='flasher = "thermal"')
    assert found.message.startswith("at 12 V the lamps of the flasher take 34 W; ")


def test_a_lamp_of_unknown_power_is_no_weak_load_and_no_strong_one() -> None:
    said = 'flasher = "thermal"\nflasher_load = "42 W"'
    unstated = '[[circuit.part.load]]\nkind = "lamp"\n'
    few, enough = (_assessed(power=power, circuit=said, load=unstated) for power in (21, 42))
    for assessment in (few, enough):
        assert "flasher-load-too-low" not in {each.check for each in assessment.findings}
    assert "flasher-load-too-low" in {each.check for each in few.unjudged}
