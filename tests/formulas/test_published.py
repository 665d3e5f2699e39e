"""Formulas against printed answers and printed tables."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import tests.formulas.cross_checks  # noqa: F401 - registers them
from fuseplan.formulas.adiabatic import adiabatic_k, adiabatic_time
from fuseplan.formulas.load import lamp_light
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.formulas.thermal import conductor_temperature
from tests.formulas.all_formulas import load_all
from tests.formulas.cross_checks.adiabatic import adiabatic_temperature, onderdonk_current
from tests.formulas.cross_checks.fuse import opening_current
from tests.formulas.cross_checks.resistance import awg_diameter, linear_temperature_factor, strand_area
from tests.formulas.cross_checks.thermal import ambient_factor

FORMULAS = load_all()
with (Path(__file__).parent / "published.csv").open(encoding="utf-8", newline="") as file:
    CASES = list(csv.DictReader(line for line in file if not line.startswith("#")))


def figure(text: str) -> float:
    """One input as the printed example writes it: a number or a product or quotient of numbers."""
    return float(eval(text, {"__builtins__": {}}))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_printed_answer(case: dict[str, str]) -> None:
    inputs = [figure(text) for text in case["inputs"].split(";")]
    answer = float(FORMULAS[case["function"]].function(*inputs))
    assert answer == pytest.approx(figure(case["printed"]), abs=figure(case["within"])), case["source"]


def test_every_check_value_says_where_it_comes_from() -> None:
    assert len({case["name"] for case in CASES}) == len(CASES)
    assert all(case["source"] for case in CASES)
    assert {case["status"] for case in CASES} == {"read", "second-hand", "derived", "memory"}
    assert sum(case["status"] == "read" for case in CASES) >= 45


# Printed factors over ambient, all read: table, reference °C, limit °C, ambients °C, factors.
AMBIENT_TABLES = [
    (
        "DIN VDE 0298-4:2013-06 table 17 column 4", 30, 70, range(10, 66, 5),
        (1.22, 1.17, 1.12, 1.06, 1.00, 0.94, 0.87, 0.79, 0.71, 0.61, 0.50, 0.35),
    ),
    (
        "NFPA 70 310.15(B)(1), 60 °C", 30, 60, range(10, 56, 5),
        (1.29, 1.22, 1.15, 1.08, 1, 0.91, 0.82, 0.71, 0.58, 0.41),
    ),
    (
        "NFPA 70 310.15(B)(1), 75 °C", 30, 75, range(10, 71, 5),
        (1.20, 1.15, 1.11, 1.05, 1, 0.94, 0.88, 0.82, 0.75, 0.67, 0.58, 0.47, 0.33),
    ),
    (
        "NFPA 70 310.15(B)(1), 90 °C", 30, 90, range(10, 86, 5),
        (1.15, 1.12, 1.08, 1.04, 1, 0.96, 0.91, 0.87, 0.82, 0.76, 0.71, 0.65, 0.58, 0.50, 0.41, 0.29),
    ),
    (
        "NFPA 70 310.15(B)(2)(b), 150 °C", 40, 150, range(50, 141, 10),
        (0.95, 0.90, 0.85, 0.80, 0.74, 0.67, 0.60, 0.52, 0.43, 0.30),
    ),
    (
        "NFPA 70 310.15(B)(2)(b), 200 °C", 40, 200, (*range(50, 141, 10), 160, 180),
        (0.97, 0.94, 0.90, 0.87, 0.83, 0.79, 0.75, 0.71, 0.66, 0.61, 0.50, 0.35),
    ),
    ("ship cable table (IEC 60092 type), 60 °C", 45, 60, range(35, 51, 5), (1.29, 1.15, 1, 0.82)),
    ("ship cable table, 70 °C", 45, 70, range(35, 61, 5), (1.18, 1.10, 1, 0.89, 0.77, 0.63)),
    ("ship cable table, 85 °C", 45, 85, range(35, 76, 5), (1.12, 1.06, 1, 0.94, 0.87, 0.79, 0.71, 0.61, 0.50)),
]  # fmt: skip


@pytest.mark.parametrize("table", AMBIENT_TABLES, ids=lambda table: table[0])
def test_square_root_law_gives_printed_ambient_factors(table: tuple[Any, ...]) -> None:
    name, reference_c, max_c, ambients, printed = table
    assert len(ambients) == len(printed)
    # One printed entry is cut instead of rounded in some tables, hence a little over half a hundredth.
    law = ambient_factor(max_c, np.array(ambients, dtype=float), reference_c)
    assert law == pytest.approx(np.array(printed), abs=0.0065), name


def test_correction_factors_to_20_degrees_as_a_cable_maker_prints_them() -> None:
    # IEC 60228 factors on a cable maker's page (read); they follow 0.004 per kelvin, not 0.00393.
    printed = {
        5: 1.064, 10: 1.042, 15: 1.020, 20: 1.000, 25: 0.980, 30: 0.962, 35: 0.943, 40: 0.926, 45: 0.909, 50: 0.893,
        55: 0.877, 60: 0.862, 65: 0.847, 70: 0.833, 75: 0.820, 80: 0.806, 85: 0.794, 90: 0.781, 95: 0.769, 100: 0.758,
    }  # fmt: skip
    factors = 1 / linear_temperature_factor(np.array(list(printed), dtype=float), 0.004)
    assert factors == pytest.approx(np.array(list(printed.values())), abs=0.00065)


def test_two_ways_of_writing_copper_agree() -> None:
    # AC 43.13-1B prints 234.5 °C, IEC 60028 prints 0.00393 per kelvin (both read).
    temperature_c = np.linspace(-40.0, 150.0, 39)
    assert copper_temperature_factor(temperature_c) == pytest.approx(linear_temperature_factor(temperature_c), abs=2e-4)


def test_warm_wire_of_the_textbook() -> None:
    # Lessons In Electric Circuits: 15 ohm at 20 °C, 35 °C, 0.004041 per kelvin (read).
    assert 15.0 * linear_temperature_factor(35.0, 0.004041) == pytest.approx(15.909, abs=0.0005)


def test_american_gauges_as_printed_in_circular_mils() -> None:
    # Lessons In Electric Circuits, reference volume, wire table (read), four figures.
    printed = {
        -3: 211600, -2: 167800, -1: 133100, 0: 105500, 1: 83690, 2: 66370, 4: 41740, 6: 26250, 8: 16510, 10: 10380,
        12: 6530, 14: 4107, 16: 2583, 18: 1624, 20: 1022, 22: 642.5, 24: 404.0,
    }  # fmt: skip
    mils = awg_diameter(np.array(list(printed), dtype=float)) / 0.0254
    assert mils**2 == pytest.approx(np.array(list(printed.values()), dtype=float), rel=5.5e-4)


@pytest.mark.parametrize(
    ("count", "strand_mm", "printed_mm2"),
    [
        # JIS C 3406 AV, maker's catalogue (read): strands, strand diameter, calculated area.
        (7, 0.32, 0.5629), (11, 0.32, 0.8846), (16, 0.32, 1.287), (26, 0.32, 2.091), (41, 0.32, 3.297),
        (65, 0.32, 5.228), (50, 0.45, 7.952), (63, 0.45, 10.02), (41, 0.80, 20.61), (70, 0.80, 35.19),
        (127, 0.80, 63.84),
    ],
)  # fmt: skip
def test_area_from_strands(count: int, strand_mm: float, printed_mm2: float) -> None:
    assert strand_area(count, strand_mm) == pytest.approx(printed_mm2, rel=5e-4)


@pytest.mark.parametrize(
    ("rating_a", "currents"),
    [
        # DIN 72581-3 form E, excerpt (read): currents at 135, 200 and 350 %, rounded to the ampere by rules of its own.
        (20, (27, 40, 70)), (30, (40, 60, 105)), (40, (54, 80, 140)), (50, (68, 100, 175)), (60, (80, 120, 210)),
        (70, (95, 140, 245)), (80, (108, 160, 280)),
    ],
)  # fmt: skip
def test_test_currents_of_large_blade_fuses(rating_a: float, currents: tuple[float, ...]) -> None:
    assert opening_current(rating_a, np.array([1.35, 2.0, 3.5])) == pytest.approx(
        np.array(currents, dtype=float), abs=1.0
    )


def test_lamp_law_flatters_the_lamp_maker_s_table() -> None:
    # A lamp maker's relay leaflet (read): 95, 90, 85 % of 13.5 V give 83, 67, 53 % of the light.
    law = lamp_light(np.array([0.95, 0.90, 0.85]) * 13.5, 13.5)
    printed = np.array([0.83, 0.67, 0.53])
    assert np.all(law > printed)
    assert law == pytest.approx(printed, abs=0.05)


def test_onderdonk_and_the_cable_standard_are_the_same_physics() -> None:
    # IEC 60949 with 25 to 1083 °C against Onderdonk's own constants, both from memory; 2581 cmil = 1.3078 mm².
    area_mm2 = 2581 * 5.067075e-4
    by_iec = adiabatic_k(226.0, 1083.0, 25.0, 234.5) * area_mm2 / np.sqrt(5.0)
    assert onderdonk_current(2581.0, 5.0, 25.0) == pytest.approx(by_iec, rel=0.003)


def test_temperature_and_time_of_a_short_circuit_undo_each_other() -> None:
    k = adiabatic_k(226.0, 160.0, 105.0, 234.5)
    time_s = adiabatic_time(k, 1.5, 200.0)
    assert adiabatic_temperature(105.0, 200.0, time_s, 1.5) == pytest.approx(160.0, abs=1e-9)


def test_conductor_temperature_is_the_limit_at_the_derated_current() -> None:
    factor = ambient_factor(105.0, 80.0, 25.0)
    assert conductor_temperature(80.0, 105.0, 30.0 * factor, 30.0 * factor) == pytest.approx(105.0)
    assert conductor_temperature(25.0, 105.0, 30.0 * factor, 30.0) == pytest.approx(25.0 + 80.0 * factor**2)
