"""Points of measurement and what a meter shows there if the car is as planned."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from typing import Any

import pytest

from fuseplan.bench.expected import Expected, expected
from fuseplan.bench.fuse_millivolts import current_by_drop, fuse_resistance, fuse_volts
from fuseplan.bench.instruments import Instrument, Range
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import Point, points
from fuseplan.bench.readings import LostReading, readings_of, usual_condition, value_of
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.errors import AmountError, PlanError
from fuseplan.planfile.read import parse_plan, read_plan
from tests.small_coupe import COUPE as SMALL

EXAMPLES = ("coupe_turbo", "track_car", "van_24v")


@cache
def example(name: str) -> Assessment:
    return assess(read_plan(f"examples/{name}.toml"))


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_point_is_named_once_and_says_where_the_probes_go(name: str) -> None:
    found = points(example(name))
    assert len(found) > 100
    for address, point in found.items():
        assert point.address == address
        assert point.words
        assert point.probe
        assert "{" not in point.words + point.probe + point.to


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_expected_lies_in_its_own_band(name: str) -> None:
    assessment, asked = example(name), 0
    for point in points(assessment).values():
        for condition in (usual_condition(point), "idle_hot_day", "crank"):
            each = expected(assessment, point, condition)
            if each.value is not None:
                asked += 1
                assert each.low is None or each.low <= each.value + 1e-9
                assert each.high is None or each.value <= each.high + 1e-9
            else:
                assert each.words
    assert asked > 100


@pytest.mark.parametrize("name", EXAMPLES)
def test_with_the_engine_running_the_figures_are_those_of_the_assessment(name: str) -> None:
    assessment, asked = example(name), 0
    at = points(assessment)
    document = assessment.to_dict()
    for circuit in document["circuits"]:
        for condition in ("idle_wet_night", "cruise_day"):
            own = circuit["in_condition"][condition]
            point = at.get(f"circuit.{circuit['id']}.current")
            if point is None or not own["current_a"]:
                continue
            assert expected(assessment, point, condition).value == pytest.approx(own["current_a"], abs=2e-3)
            volts = expected(assessment, at[f"circuit.{circuit['id']}.load_v"], condition)
            if volts.value is not None:
                assert volts.value == pytest.approx(own["load_v"][0], abs=2e-3)
                asked += 1
    assert asked >= 8


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_drops_of_a_circuit_add_up_to_what_its_load_does_not_get(name: str) -> None:
    assessment, asked = example(name), 0
    at, model = points(assessment), bench_model(example(name))
    for circuit in model.static:
        figures = {key: expected(assessment, at[f"circuit.{circuit}.{key}"], "alone").value
                   for key in ("feed_v", "supply_mv", "return_mv", "load_v", "earth_mv", "earth_point_mv")}
        if any(each is None for each in figures.values()):
            continue
        known = {key: each for key, each in figures.items() if each is not None}
        assert known["feed_v"] - known["supply_mv"] - known["return_mv"] == pytest.approx(known["load_v"], abs=1e-6)
        assert known["earth_mv"] + known["earth_point_mv"] == pytest.approx(known["return_mv"], abs=1e-6)
        asked += 1
    assert asked >= 5


def band(each: Expected) -> tuple[Any, Any]:
    assert each.low is not None
    assert each.high is not None
    return each.low, each.high


def test_better_evidence_never_widens_a_band() -> None:
    addresses = [f"circuit.{circuit}.{key}" for circuit in ("washer", "radio", "fuel_pump")
                 for key in ("current", "load_v", "supply_mv", "return_mv")]
    bands = []
    for evidence in ("guess", "typical", "published", "plate", "measured"):
        assessment = assess(parse_plan(SMALL.replace('evidence = "measured"', f'evidence = "{evidence}"').replace(
            'evidence = "typical"', f'evidence = "{evidence}"')))
        places = points(assessment)
        bands.append([band(expected(assessment, places[address], "alone")) for address in addresses])
    asked = 0
    for worse, better in pairwise(bands):
        for wide, narrow in zip(worse, better, strict=True):
            assert wide[0] <= narrow[0] + 1e-9
            assert narrow[1] <= wide[1] + 1e-9
            asked += 1
    assert asked == 48


def test_a_reading_is_off_by_its_share_and_its_digits_added() -> None:
    # A meter maker's page on how to read such a figure: ±(1 % + 2) at 100.0 V is 98.8 to 101.2 V.
    meter = Instrument("test", "test", "test", 0.01, 2, (Range("200 V", 200.0, 0.1),), "")
    assert 100.0 - meter.error(100.0) == pytest.approx(98.8)
    assert 100.0 + meter.error(100.0) == pytest.approx(101.2)


def test_millivolts_across_a_warm_fuse_give_its_current() -> None:
    # Littelfuse 297: MINI 15 A has 4.58 mΩ cold and drops 98 mV at 15 A; the arithmetic between is ours.
    fuse = fuse_resistance("mini", 15.0)
    assert fuse is not None
    assert fuse.hot_over_cold == pytest.approx(1.427, abs=1e-3)
    found = current_by_drop(fuse, 0.020)
    assert found.value == pytest.approx(4.22, abs=5e-3)
    assert found.low == pytest.approx(0.85 * found.value)
    assert found.high == pytest.approx(1.15 * found.value)
    # Cold, the same drop would be taken for 4.37 A.
    assert 0.020 / fuse.cold_ohm == pytest.approx(4.37, abs=5e-3)
    for current in (0.0, 0.1, 3.0, 15.0, 30.0, 60.0):
        assert current_by_drop(fuse, fuse_volts(fuse, current)).value == pytest.approx(current, rel=1e-6, abs=1e-9)


def test_a_cold_filament_reads_a_tenth_of_its_hot_resistance_or_less() -> None:
    assessment = example("coupe_turbo")
    cold = expected(assessment, points(assessment)["circuit.reverse.cold_ohm"], "unpowered")
    hot_ohm = 13.5**2 / 21.0
    assert band(cold) == (pytest.approx(hot_ohm / 15.0, rel=1e-6), pytest.approx(hot_ohm / 10.0 + 0.3, rel=1e-6))
    electronic = expected(assessment, points(assessment)["circuit.ecu.cold_ohm"], "unpowered")
    assert electronic.value is None
    assert electronic.words == "any, not 0"


def reading(point: str, value: str, condition: str = "") -> str:
    where = f'condition = "{condition}"\n' if condition else ""
    return f'\n[[reading]]\npoint = "{point}"\nvalue = "{value}"\n{where}'


def coupe(*more: str) -> str:
    return SMALL + "".join(more)


def test_readings_are_kept_with_their_point_and_condition() -> None:
    assessment = assess(parse_plan(coupe(
        reading("circuit.fuel_pump.current", "6.2 A"), reading("circuit.fuel_pump.fuse_mv", "31 mV", "idle_hot_day"),
        reading("feed.main_bus.earth_ohm", "OL"), reading("earth.body_rear.drop_mv", "0.031 V", "idle_wet_night"))))
    found, lost = readings_of(assessment)
    assert [(each.value, each.condition) for each in found] == [
        (6.2, "alone"), (0.031, "idle_hot_day"), (math.inf, "unpowered"), (0.031, "idle_wet_night")]
    assert lost == ()


def test_a_reading_without_a_point_is_named_and_never_dropped() -> None:
    assessment = assess(parse_plan(coupe(reading("circuit.fuel_pomp.current", "6.2 A"),
                                         reading("circuit.fuel_pump.current", "6.2 V"))))
    found, lost = readings_of(assessment)
    assert found == ()
    assert [each.number for each in lost] == [0, 1]
    assert all(isinstance(each, LostReading) for each in lost)
    assert "circuit.fuel_pump.current" in lost[0].words


def test_a_condition_that_does_not_exist_is_refused_with_the_known_ones() -> None:
    with pytest.raises(PlanError, match="idle_wet_nite"):
        parse_plan(coupe(reading("circuit.fuel_pump.current", "6.2 A", "idle_wet_nite")))


@pytest.mark.parametrize(("unit", "text", "value"), [
    ("A", "6.2", 6.2), ("A", "6,2", 6.2), ("A", "620 mA", 0.62), ("A", "-4.1", -4.1), ("mA", "35", 0.035),
    ("mV", "21", 0.021), ("mV", "0.02 V", 0.02), ("V", "12.6", 12.6), ("ohm", "0.6", 0.6), ("ohm", "OL", math.inf),
    ("ohm", "2.2 MΩ", 2.2e6), ("K", "12", 12.0)])
def test_a_bare_number_is_in_the_unit_of_its_point(unit: str, text: str, value: float) -> None:
    point = Point("x", "circuit", "x", "x", 0, "x", "x", "x", "", unit)  # type: ignore[arg-type]
    assert value_of(text, point) == pytest.approx(value)


@pytest.mark.parametrize(("unit", "text"), [("A", "6 V"), ("V", "6 A"), ("A", "six"), ("V", "OL"), ("K", "12 V")])
def test_a_reading_of_another_kind_is_refused(unit: str, text: str) -> None:
    point = Point("x", "circuit", "x", "x", 0, "x", "x", "x", "", unit)  # type: ignore[arg-type]
    with pytest.raises(AmountError):
        value_of(text, point)
