"""Published limits of the tests, and what a reading says against them."""

from __future__ import annotations

from functools import cache

import pytest

from fuseplan.bench.expected import expected
from fuseplan.bench.limits import charging_limit, limit_for
from fuseplan.bench.points import points
from fuseplan.bench.readings import TakenReading, usual_condition
from fuseplan.bench.series_lamp import SeriesLamp, behind, lamp_for
from fuseplan.bench.sheet import sheet_of
from fuseplan.bench.verdicts import charging_over_rest, leg_ohm, verdict
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.planfile.read import read_plan
from fuseplan.quantities.amounts import TEMPERATURE, amount
from fuseplan.results.address import joined
from fuseplan.tables import commissioning

EXAMPLES = ("coupe_turbo", "track_car", "van_24v")


@cache
def example(name: str) -> Assessment:
    return assess(read_plan(f"examples/{name}.toml"))


@pytest.mark.parametrize(("fahrenheit", "mohm"), [(40, 140), (60, 100), (70, 100), (82, 100), (90, 84), (100, 64)])
def test_the_insulation_limit_follows_temperature(fahrenheit: float, mohm: float) -> None:
    # US Army SB 740-91-01 par. 4c: 100 Mohm, 2 % per °F less above 82 °F and more below 60 °F; the arithmetic is ours.
    assert commissioning.insulation_mohm(fahrenheit).value == pytest.approx(mohm)


@pytest.mark.parametrize(("amps", "milliohm"), [(25, 0.300), (30, 0.250), (35, 0.214), (43, 0.174)])
def test_a_stud_drops_seven_and_a_half_millivolts_at_its_rated_current(amps: float, milliohm: float) -> None:
    # MIL-DTL-83454A 4.5.3; the division is ours.
    found = commissioning.stud_ohm(amps)
    assert found is not None
    assert 1e3 * found.value == pytest.approx(milliohm, abs=5e-4)
    assert leg_ohm(0.0075, amps) == pytest.approx(found.value)


@pytest.mark.parametrize(("celsius", "volts"), [(-18, 8.5), (-10, 8.8), (-7, 8.9), (4, 9.3), (13, 9.45), (20, 9.6),
                                                (35, 9.6)])
def test_the_load_test_asks_for_less_of_a_cold_battery(celsius: float, volts: float) -> None:
    # Car makers' workshop manuals, 2000 to 2009, half the cold-cranking current for 15 s; at 13 °C between two rows.
    found = commissioning.load_test_v(celsius)
    assert found is not None
    assert found.value == pytest.approx(volts)


def test_a_battery_with_8_8_v_at_minus_7_fails_the_load_test() -> None:
    # The row for -7 °C prints 8.9 V.
    assessment = example("coupe_turbo")
    assert read(assessment, "battery.load_test_v", 8.8, "rested", -7.0) == "fault"
    assert read(assessment, "battery.load_test_v", 9.0, "rested", -7.0) == "ok"
    assert commissioning.load_test_v(-30.0) is None


@pytest.mark.parametrize(("ohm", "words"), [
    (60, "both ends fitted"), (120, "one terminator missing"), (40, "one terminator too many"), (0, "joined"),
    (float("inf"), "pair open"), (2000, "pair open")])
def test_a_data_bus_pair_tells_its_terminators(ohm: float, words: str) -> None:
    # Workshop manuals of 2007 and 2021 and a cable maker's page; three terminators side by side make 40 Ω.
    assert words in commissioning.can_pair_state(ohm).value


def test_charging_volts_are_held_against_the_rested_battery() -> None:
    # A workshop manual's charging test: no load at most 2.5 V above the rested battery, loaded at least 0.5 V above.
    assert charging_over_rest(15.2, 12.5).level == "fault"
    assert charging_over_rest(15.0, 12.5).level == "ok"
    assert charging_over_rest(12.9, 12.5).level == "fault"
    assert charging_over_rest(13.0, 12.5).level == "ok"


def test_a_joint_is_judged_by_its_twin_before_its_surroundings() -> None:
    # ANSI/NETA maintenance testing specifications, quoted by a thermography page: 4 to 15 K over a like part is a
    # probable fault, 21 to 40 K over ambient is watched.
    twin, ambient = commissioning.joint_rise_action(12.0, True), commissioning.joint_rise_action(25.0, False)
    assert twin is not None
    assert ambient is not None
    assert twin.value.startswith("probable")
    assert ambient.value.startswith("watch")
    assert commissioning.joint_rise_action(0.5, True) is None
    assert example_level("circuit.fans.holder_rise", 12.0) == "look"
    assert example_level("circuit.fans.holder_rise", 2.0) == "look"
    assert example_level("circuit.fans.holder_rise", 0.5) == "ok"
    assert example_level("circuit.fans.holder_rise", 20.0) == "fault"


def example_level(address: str, value: float) -> str:
    return read(example("coupe_turbo"), address, value, "idle_hot_day")


def read(assessment: Assessment, address: str, value: float, condition: str, temperature_c: float = 20.0) -> str:
    point = points(assessment)[address]
    taken = TakenReading(-1, point, condition, value, "", None, None, False)
    return verdict(assessment, taken, temperature_c=temperature_c).level


def test_charging_windows_are_the_printed_rows_and_say_nothing_beyond_them() -> None:
    # US Army TM 10-3930-621-12: 14.1 to 14.9 V at 65 °F, 13.4 to 14.2 V at 145 °F; a 2018 workshop manual: 13.7 to
    # 14.6 V at 20 °C.
    found = {each.source.document: each for each in commissioning.charging_windows(20.0)}
    assert found["a car maker's workshop manual, 2018"][:2] == (13.7, 14.6)
    assert commissioning.charging_windows(18.0)[0][:2] == (14.1, 14.9)
    assert commissioning.charging_windows(63.0)[0][:2] == (13.4, 14.2)
    assert commissioning.charging_windows(-40.0) == ()
    assert charging_limit(example("coupe_turbo"), 200.0) is None
    assert read(example("coupe_turbo"), "battery.volts", 15.3, "cruise_day") == "fault"
    assert read(example("coupe_turbo"), "battery.volts", 14.2, "cruise_day") == "ok"


# Law I = I0 (V / V0)^0.55 (Lamp rerating article, Fink and Beaty), 12.6 V source, bulbs rated at 12 V; arithmetic ours.
# Ohms behind the lamp; volts and amps of a 5 W, a 21 W and a 55 W bulb; light of the 21 W bulb in per cent.
GLOWS = """
0    12.60 0.43 12.60 1.80 12.60 4.71 118
0.5  12.39 0.42 11.74 1.73 10.47 4.25 93
1    12.18 0.42 10.94 1.66 8.75  3.85 73
2.4  11.62 0.41 9.01  1.50 5.46  2.97 38
5    10.65 0.39 6.40  1.24 2.64  1.99 12
12   8.47  0.34 2.93  0.81 0.74  0.99 0.8
60   2.37  0.17 0.25  0.21 0.04  0.21 0
300  0.18  0.04 0.01  0.04 0.00  0.04 0
"""


@pytest.mark.parametrize("row", GLOWS.strip().splitlines())
def test_a_series_lamp_shares_the_voltage_with_what_is_behind_it(row: str) -> None:
    ohm, *printed, light = map(float, row.split())
    for watts, volts, amps in zip((5.0, 21.0, 55.0), printed[::2], printed[1::2], strict=True):
        found = behind(SeriesLamp(watts, 12.0), 12.6, ohm)
        assert found.lamp_v == pytest.approx(volts, rel=0.01, abs=0.006)
        assert found.current_a == pytest.approx(amps, rel=0.01, abs=0.006)
        assert found.lamp_v + found.current_a * ohm == pytest.approx(12.6, abs=1e-6)
    assert 100 * behind(SeriesLamp(21.0, 12.0), 12.6, ohm).light == pytest.approx(light, rel=0.02, abs=0.5)


def test_the_more_resistance_behind_a_lamp_the_less_light() -> None:
    lights = [behind(SeriesLamp(21.0, 12.0), 12.6, 0.1 * 2**step).light for step in range(14)]
    assert lights == sorted(lights, reverse=True)
    assert behind(SeriesLamp(21.0, 12.0), 12.6, float("inf")).light == 0.0


def test_the_lamp_is_the_smallest_that_the_expected_current_leaves_dark() -> None:
    for current, watts in ((0.0, 5.0), (0.0416, 5.0), (0.05, 21.0), (0.2, 55.0), (0.5, None)):
        found = lamp_for(current, 12.0)
        assert (None if found is None else found.watts) == watts


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_reading_as_expected_is_never_worse_than_its_limit(name: str) -> None:
    """Without a limit what is expected is ok; with one it is as the limit says."""
    assessment, asked = example(name), 0
    for point in points(assessment).values():
        for condition in (usual_condition(point), "idle_wet_night", "crank"):
            meant = expected(assessment, point, condition)
            if meant.value is None or limit_for(assessment, point, condition) is not None:
                continue
            assert read(assessment, point.address, meant.value, condition) == "ok", (point.address, condition)
            asked += 1
    assert asked > 50


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_current_above_the_fuse_it_flows_through_is_a_fault(name: str) -> None:
    assessment, asked = example(name), {"circuit": 0, "feed": 0}
    for (kind, subject), device in assessment.fuse_of.items():
        point = points(assessment).get(joined((kind, subject, "current")))
        rating = float(assessment.results.fusing.rating_a[device])
        if point is not None and rating == rating:
            assert read(assessment, point.address, 1.2 * rating, "idle_wet_night") == "fault", point.address
            asked[kind] += 1
    assert min(asked.values()) > 0


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_piece_of_the_earth_side_may_drop_more_than_the_whole_of_it(name: str) -> None:
    assessment, asked = example(name), 0
    for address, point in points(assessment).items():
        if point.kind == "earth" and point.what == "strap_mv":
            for condition in ("idle_wet_night", "crank"):
                whole = limit_for(assessment, points(assessment)[address.replace("strap_mv", "drop_mv")], condition)
                assert whole is not None
                assert whole.high is not None
                assert read(assessment, address, 1.5 * whole.high, condition) == "fault", (address, condition)
                asked += 1
    assert asked > 4


def test_every_limit_names_its_source() -> None:
    for name in EXAMPLES:
        assessment = example(name)
        for point in points(assessment).values():
            for condition in (usual_condition(point), "idle_wet_night", "crank"):
                found = limit_for(assessment, point, condition)
                assert found is None or found.source
                assert found is None or any(each is not None for each in (found.low, found.high, found.look_high,
                                                                          found.look_low))


def test_a_bad_joint_is_seen_by_its_milliohms_although_it_lowers_the_current() -> None:
    assessment = example("coupe_turbo")
    at = points(assessment)
    current = TakenReading(-1, at["circuit.fans.current"], "alone", 14.0, "", None, None, False)
    for milliohm, level in ((3.0, "ok"), (60.0, "look")):
        drop = TakenReading(-1, at["circuit.fans.contact_mv"], "alone", 14.0 * milliohm / 1e3, "", None, None, False)
        limit = limit_for(assessment, drop.point, "alone")
        assert limit is not None
        assert verdict(assessment, drop, current).level == (
            "fault" if limit.high is not None and drop.value > limit.high else level)


def test_what_the_way_to_the_feed_loses_is_taken_off_what_the_circuit_may_lose() -> None:
    assessment, less = example("coupe_turbo"), 0
    at = points(assessment)
    for name, circuit in assessment.plan.circuit.items():
        point = at.get(f"circuit.{name}.supply_mv")
        limit = None if point is None else limit_for(assessment, point, "alone")
        drop = assessment.circuit(name).drop
        if point is None or limit is None or limit.high is None or drop is None or drop.limit_v is None:
            continue
        assert limit.high <= drop.limit_v + 1e-9
        if drop.judged_from == circuit.feed:
            assert limit.high == pytest.approx(drop.limit_v)
        less += limit.high < drop.limit_v - 1e-3
    assert less > 5


def test_the_earth_side_is_held_against_the_limit_of_the_set() -> None:
    assessment = example("coupe_turbo")
    for condition, cranking in (("idle_wet_night", False), ("crank", True)):
        rule = assessment.limit_set.return_limit(cranking, 12.0)
        limit = limit_for(assessment, points(assessment)["earth.body_rear.drop_mv"], condition)
        assert rule is not None
        assert limit is not None
        assert limit.high == pytest.approx(rule.volts)
        assert rule.source in limit.source


def test_charging_volts_are_judged_by_the_rested_battery_that_was_read() -> None:
    assessment = example("coupe_turbo")
    point = points(assessment)["battery.volts"]
    rested = TakenReading(-1, point, "rested", 12.0, "", None, None, False)
    charging = TakenReading(-1, point, "cruise_day", 14.55, "", None, None, False)
    assert verdict(assessment, charging).level != "fault"
    assert verdict(assessment, charging, rested=rested).level == "fault"


def test_limits_of_the_battery_are_those_of_its_temperature() -> None:
    plan = example("coupe_turbo").plan
    assert plan.battery is not None
    cold = assess(plan.model_copy(update={"battery": plan.battery.model_copy(update={
        "temperature": amount("-7 degC", TEMPERATURE)})}))
    for assessment, volts in ((example("coupe_turbo"), 9.6), (cold, 8.9)):
        rows = [row for section in sheet_of(assessment, only=["cranking"]) for row in section.rows]
        load_test, crank = (next(row for row in rows if row.point.address == f"battery.{what}")
                            for what in ("load_test_v", "volts"))
        for row in (load_test, crank):
            assert row.limit is not None
            assert row.limit.low == pytest.approx(volts)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_dead_circuit_is_a_fault_and_no_matter_of_tolerance(name: str) -> None:
    """0 A or 0 V where the plan has something that a meter shows; a tenth less than planned is none."""
    assessment, asked = example(name), 0
    for section in sheet_of(assessment):
        for row in section.rows:
            meant, point = row.expected, row.point
            if point.unit not in ("A", "V") or not meant.known or meant.low is None or meant.low < 0.3:
                continue
            if point.address == "battery.current":
                # The alternator gives more than planned: no fault, if something to look at.
                assert read(assessment, point.address, 0.0, row.condition) == "look", row.key
                continue
            asked += 1
            assert read(assessment, point.address, 0.0, row.condition) == "fault", row.key
            if point.kind == "circuit" and row.limit is None:
                assert read(assessment, point.address, 0.9 * meant.low, row.condition) != "fault", row.key
    assert asked > 10
