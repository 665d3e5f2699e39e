"""The test sheet and the order of first power."""

from __future__ import annotations

import random
from functools import cache
from itertools import pairwise
from typing import Any

import pytest

from fuseplan.bench.first_power import first_power
from fuseplan.bench.model import STATIC_STATES, bench_model
from fuseplan.bench.points import points
from fuseplan.bench.series_lamp import DARK_SHARE
from fuseplan.bench.sheet import sheet_of
from fuseplan.bench.sheet_minutes import time_words
from fuseplan.bench.sheet_sections import SECTIONS, disabled_until_cranked
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.plan.beside_the_car import Reading
from fuseplan.planfile.read import read_plan
from fuseplan.results.address import joined
from tests.plans import large_plan, plan_of

EXAMPLES = ("coupe_turbo", "track_car", "van_24v")


@cache
def car(name: str) -> Assessment:
    return assess(plan_of(large_plan(24, int(name)))) if name.isdigit() else assess(
        read_plan(f"examples/{name}.toml"))


CARS = (*EXAMPLES, "1", "2", "3")


@pytest.mark.parametrize("name", CARS)
def test_every_circuit_is_powered_once_behind_its_feed(name: str) -> None:
    assessment, seen = car(name), []
    steps = first_power(assessment)
    for step in steps:
        if step.kind == "plug":
            continue
        if step.kind == "circuit":
            feed = assessment.plan.circuit[step.subject].feed
            assert ("feed", feed) in seen
        elif (upstream := assessment.plan.feed[step.subject].upstream) is not None:
            assert ("feed", upstream) in seen
        seen.append((step.kind, step.subject))
    assert len(seen) == len(set(seen))
    assert {subject for kind, subject in seen if kind == "circuit"} == {
        name for name, circuit in assessment.plan.circuit.items() if circuit.out_of_scope is None
        and (circuit.fuse is not None or name in bench_model(assessment).static)}


@pytest.mark.parametrize("name", CARS)
def test_the_control_unit_comes_after_the_rest_and_fuel_and_spark_last(name: str) -> None:
    order = {"usual": 0, "control unit": 1, "starter": 2, "fuel": 3, "ignition": 4}
    turns = [order[step.turn] for step in first_power(car(name))]
    assert turns == sorted(turns)


def test_a_coupe_s_control_unit_pump_and_coils_wait() -> None:
    turns = {step.subject: step.turn for step in first_power(car("coupe_turbo"))}
    assert {turns[each] for each in ("ecu", "ecu_memory", "ecu_wake")} == {"control unit"}
    assert {turns[each] for each in ("fuel_pump", "injectors")} == {"fuel"}
    assert turns["coils"] == "ignition"
    assert {turns[each] for each in ("wipers", "radio", "horn", "dip_left")} == {"usual"}
    assert set(disabled_until_cranked(car("coupe_turbo"))) == {"fuel_pump", "injectors", "coils"}


@pytest.mark.parametrize("name", CARS)
def test_permanent_circuits_come_first_and_the_smallest_current_first(name: str) -> None:
    assessment, asked = car(name), 0
    usual = [step for step in first_power(assessment) if step.turn == "usual" and step.kind == "circuit"]
    for before, after in pairwise(usual):
        states = [STATIC_STATES.index(bench_model(assessment).static[each.subject]) for each in (before, after)]
        assert states == sorted(states)
        feeds = [assessment.plan.circuit[each.subject].feed for each in (before, after)]
        if states[0] == states[1] and feeds[0] == feeds[1] and before.current_a is not None \
                and after.current_a is not None:
            assert before.current_a <= after.current_a
            asked += 1
    assert asked or len(usual) < 4


@pytest.mark.parametrize("name", CARS)
def test_a_bulb_is_dark_in_front_of_what_stays_plugged_in(name: str) -> None:
    lit = 0
    for step in first_power(car(name)):
        if step.kind == "plug":
            continue
        if step.lamp is None:
            assert step.kind == "feed"
            assert car(name).plan.feed[step.subject].fuse is None
            assert step.glow is None
            continue
        lit += 1
        assert step.glow is not None
        if step.unplugged:
            assert step.glow.lamp_v == 0.0
        else:
            assert step.glow.current_a <= DARK_SHARE * step.lamp.rated_a
            assert step.glow.light < 0.01
    assert lit


@pytest.mark.parametrize("name", CARS)
def test_a_row_stands_once_in_its_section_and_says_what_to_do(name: str) -> None:
    assessment = car(name)
    sheet = sheet_of(assessment)
    assert [each.section for each in sheet] == list(SECTIONS)
    total = 0
    for each in sheet:
        keys = [row.key for row in each.rows]
        assert len(keys) == len(set(keys))
        for row in each.rows:
            total += 1
            assert row.condition_words
            assert row.expected.value is not None or row.expected.words
            assert row.instrument.range_for(row.range.most) == row.range
            if row.limit is not None:
                assert row.limit.source
    assert total > 60


@pytest.mark.parametrize("name", EXAMPLES)
def test_circuits_out_of_scope_are_on_no_sheet(name: str) -> None:
    assessment = car(name)
    out = {circuit for circuit, part in assessment.plan.circuit.items() if part.out_of_scope is not None}
    rows = [row for each in sheet_of(assessment) for row in each.rows]
    assert not {row.point.subject for row in rows if row.point.kind == "circuit"} & out


def test_one_section_is_the_same_as_in_the_whole_sheet() -> None:
    assessment = car("coupe_turbo")
    whole = {each.section.key: each for each in sheet_of(assessment)}
    key = random.Random(3).choice(list(whole))
    (alone,) = sheet_of(assessment, only=[key])
    assert [row.number for row in alone.rows] == [row.number for row in whole[key].rows]


def test_the_sheet_says_what_never_to_do() -> None:
    notes = " ".join(note for section in SECTIONS for note in section.notes)
    assert "Never use an insulation tester" in notes
    assert "Never disconnect the battery with the engine running" in notes


@pytest.mark.parametrize(("name", "volts"), [("coupe_turbo", 12), ("van_24v", 24), ("six_volt_tourer", 6)])
def test_every_bulb_that_is_asked_for_is_one_of_the_car_s_voltage(name: str, volts: int) -> None:
    """One of half the voltage burns out and then stays dark on a short."""
    said = [each.words for each in points(car(name)).values()] + [step.words for step in first_power(car(name))]
    bulbs = [each for each in said if "bulb" in each]
    assert any("blown fuse" in each for each in bulbs)
    assert all(f" {volts} V {watts} W bulb" in each for each in bulbs
               for watts in [each.split(" W bulb")[0].split()[-1]])


@pytest.mark.parametrize("name", CARS)
def test_no_short_to_earth_goes_unasked_before_power(name: str) -> None:
    """All wires at once; and across each load, by cold loads that have clearly more than a short, where an ohmmeter
    tells that at all."""
    every = {row.point.address: row for row in sheet_of(car(name), only=["before_power"])[0].rows}
    rows = {address: row for address, row in every.items() if row.required}
    assert "battery.all_earth_ohm" in rows
    circuits = [each for each, circuit in car(name).plan.circuit.items() if circuit.out_of_scope is None]
    for each in circuits:
        cold = every[joined(("circuit", each, "cold_ohm"))]
        assert cold.required or (cold.expected.low or 0.0) < 0.5
        one_way = any(load.kind in ("electronic", "motor") for load in car(name).plan.circuit[each].load)
        assert not one_way or joined(("circuit", each, "plus_to_earth_ohm")) in rows, "supply and earth pin swapped"
    feeds = {each for each, feed in car(name).plan.feed.items()
             if feed.upstream is None or feed.fuse or feed.relay or feed.switch}
    assert feeds <= {each for each in car(name).plan.feed if joined(("feed", each, "earth_ohm")) in rows}
    assert circuits
    assert feeds


@pytest.mark.parametrize("name", CARS)
def test_no_battery_is_among_what_is_clipped_to_earth(name: str) -> None:
    """Its posts would be live against the body, and short where the earth lead springs back."""
    section = sheet_of(car(name), only=["before_power"])[0]
    assert "Both leads off every battery" in section.section.notes[0]
    assert not [row.point for row in section.rows if "post" in row.point.probe + row.point.to]


@pytest.mark.parametrize("name", CARS)
def test_what_a_closed_contact_joins_is_parted_where_feeds_are_held_against_each_other(name: str) -> None:
    feeds = [row for row in sheet_of(car(name), only=["before_power"])[0].rows if row.point.what == "earth_ohm"]
    assert feeds
    assert all("relays out, switches open" in row.condition_words for row in feeds)


def test_what_is_out_of_scope_is_left_alone_where_everything_else_is_unplugged() -> None:
    said = {"circuit": {"bag": {"feed": "post", "out_of_scope": "airbag"}}}, {"connector": {"bag": {
        "loom": "donor", "out_of_scope": "airbag"}}, "loom": {"donor": {"kind": "donor"}}}
    for more in said:
        rows = sheet_of(assess(plan_of({"fuseplan": 1, "feed": {"post": {}}, **more})), only=["before_power"])[0].rows
        told = [row for row in rows if row.required and "Hands off bag (airbag)" in row.note]
        assert [row.point.what for row in told] == ["earth_ohm", "all_earth_ohm"]


def test_a_load_of_unknown_kind_may_be_one_that_works_one_way_round_only() -> None:
    assessment = assess(plan_of({"fuseplan": 1, "feed": {"post": {}}, "circuit": {
        "box": {"feed": "post", "load": [{"current": "2 A", "at": "13.5 V"}]}}}))
    rows = {row.point.address: row for row in sheet_of(assessment, only=["before_power"])[0].rows}
    assert rows["circuit.box.plus_to_earth_ohm"].required


def test_the_way_back_of_a_starter_is_there_before_it_first_turns() -> None:
    """Without it the current returns through cables and control units."""
    rows = {row.point.address: row for row in sheet_of(car("coupe_turbo"), only=["before_power"])[0].rows}
    assert rows["circuit.starter.return_ohm"].required


def test_of_a_feed_the_other_feeds_are_those_parted_from_it_by_something() -> None:
    """What is bolted to what is bolted to it is one metal with it, too."""
    assessment = assess(plan_of({
        "fuseplan": 1, "earth": {"negative": {}}, "circuit": {"lamp": {"feed": "tail"}}, "feed": {
            "post": {}, "stud": {"from": "post"}, "bar": {"from": "stud"}, "rail": {"from": "stud"},
            "behind": {"from": "bar", "fuse": {"kind": "blade", "rating": "30 A"}}, "tail": {"from": "behind"}}}))
    found = {row.point.subject: row for row in sheet_of(assessment, only=["before_power"])[0].rows
             if row.point.what == "earth_ohm"}
    assert found["post"].note == "stud, bar, rail not clipped: joined to it without a fuse"
    assert found["behind"].note == "tail not clipped: joined to it without a fuse"
    assert [name for name, row in found.items() if row.required] == ["post", "behind"]


@pytest.mark.parametrize("name", CARS)
def test_nothing_required_is_asked_for_twice_and_everything_is_plugged_in_once(name: str) -> None:
    sheet = sheet_of(car(name))
    # Charging and full load are both judged by the volts of the battery.
    required = [row.key for section in sheet for row in section.rows
                if row.required and row.point.address != "battery.volts"]
    assert len(required) == len(set(required))
    whats = [row.point.what for row in sheet[0].rows]
    first = whats.index("cold_ohm")
    assert set(whats[first:]) == {"cold_ohm"}, "what is read with loads unplugged comes before"
    # Every circuit that is switched on has its amps and its volts required somewhere.
    for each in bench_model(car(name)).static:
        for what in ("current", "load_v"):
            assert (joined(("circuit", each, what)), "alone") in required


def test_less_than_half_of_the_rows_are_asked_for_on_a_car_in_good_order() -> None:
    for name in EXAMPLES:
        rows = [row for each in sheet_of(car(name)) for row in each.rows]
        assert 40 < sum(row.required for row in rows) < 0.5 * len(rows)
        for row in rows:
            assert row.required != bool(row.only_if) or row.point.kind in ("connector", "circuit")


def test_a_row_that_is_not_ok_asks_for_those_that_say_why() -> None:
    assessment = car("track_car")

    def asked(**read: str) -> set[str]:
        readings = tuple(Reading(point=f"circuit.fan.{what}", value=value, condition="alone")
                         for what, value in read.items())
        now = assess(assessment.plan.model_copy(update={"reading": readings}), assessment.limit_set)
        return {row.point.address for each in sheet_of(now) for row in each.asked_rows}

    sound = asked()
    drops = {"circuit.fan.supply_mv", "circuit.fan.return_mv"}
    assert not drops & sound
    assert drops <= asked(load_v="9.8 V")
    assert "circuit.fan.fuse_mv" not in asked(load_v="9.8 V")
    assert "circuit.fan.fuse_mv" in asked(load_v="9.8 V", supply_mv="2.4 V")


def test_a_reading_that_nothing_is_known_to_hold_against_is_not_ok() -> None:
    """Where the plan does not say what a wire loses its drops are read, whatever the volts are."""
    data: dict[str, Any] = {"fuseplan": 1, "feed": {"post": {}}, "circuit": {"box": {
        "feed": "post", "fuse": {"kind": "blade", "rating": "10 A"},
        "wire": [{"size": "1.5 mm2"}], "load": [{"kind": "motor", "current": "5 A", "at": "13.5 V"}]}}}
    for volts, is_asked in ((None, False), ("12.4 V", True)):
        data["reading"] = [] if volts is None else [
            {"point": "circuit.box.load_v", "value": volts, "condition": "alone"}]
        every = {row.key: row for each in sheet_of(assess(plan_of(data))) for row in each.rows}
        row = every["circuit.box.load_v", "alone"]
        assert volts is None or (row.verdict is not None and row.verdict.level == "none")
        assert row.required
        assert every["circuit.box.supply_mv", "alone"].required == is_asked


def test_a_circuit_whose_load_is_not_stated_is_not_said_to_be_on_later_only() -> None:
    data: dict[str, Any] = {"fuseplan": 1, "feed": {"post": {}}, "circuit": {
        "box": {"feed": "post", "fuse": {"kind": "blade", "rating": "10 A"}}}}
    step, = (each for each in first_power(assess(plan_of(data))) if each.kind == "circuit")
    assert "only while cranking" not in step.words
    assert "the plan does not say what it draws" in step.words
    later, = (each for each in first_power(car("coupe_turbo")) if each.subject == "starter_solenoid")
    assert "only while cranking" in later.words


@pytest.mark.parametrize("name", CARS)
def test_a_bulb_in_the_fuse_s_place_is_looked_at_with_the_circuit_on(name: str) -> None:
    """Behind an open contact it is dark whatever is shorted."""
    steps = [step for step in first_power(car(name)) if step.kind == "circuit" and step.subject in bench_model(
        car(name)).static]
    assert steps
    assert all("switched on: dark" in step.words for step in steps)


@pytest.mark.parametrize("name", CARS)
def test_the_control_unit_is_plugged_in_when_its_open_plug_has_been_read(name: str) -> None:
    steps = first_power(car(name))
    units = [number for number, step in enumerate(steps) if step.turn == "control unit"]
    assert [steps[number].kind for number in units][-1:] == (["plug"] if units else [])
    for number in units[:-1]:
        assert "plug it in" not in steps[number].words
        assert "stays out" in steps[number].words
    if units:
        words = steps[units[-1]].words
        assert words.index("supply pin") < words.index("earth pin") < words.index("plug it in")
        assert "11.9 V" in words
        assert "5 mV" in words
        rows = [row for row in sheet_of(car(name), only=["first_power"])[0].rows if row.required]
        assert sum(words in row.note for row in rows) == 1
        first = next(at for at, row in enumerate(rows) if words in row.note)
        assert not any(row.point.what == "plug_v" for row in rows[first + 1:])


def test_each_row_that_is_read_leaves_less_to_do() -> None:
    assessment = car("track_car")
    before = sheet_of(assessment)
    row = before[0].open_rows[0]
    read = assessment.plan.model_copy(update={"reading": (
        Reading(point=row.point.address, value="2 Mohm", condition=row.condition),)})
    after = sheet_of(assess(read, assessment.limit_set))
    assert len(after[0].open_rows) == len(before[0].open_rows) - 1
    assert 0 < after[0].minutes_left < before[0].minutes_left
    assert [each.minutes_left for each in after[1:]] == [each.minutes_left for each in before[1:]]
    assert [time_words(each) for each in (0.0, 3.0, 41.0, 59.0, 130.0)] == [
        "", "about 5 min", "about 45 min", "about 1 h", "about 2.5 h"]
