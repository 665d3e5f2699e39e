"""The sets of limits against the tables they stand for, row by row, as transcribed here from the published texts."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fuseplan.limits import LimitSet, Rated, limit_set
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables import conductors

BODYBUILDER, SMALL_CRAFT, AIRCRAFT = (limit_set(name) for name in ("bodybuilder", "small_craft", "aircraft"))


def rated(by: LimitSet, size: str, insulation: str) -> Rated:
    found = by.ampacity(WireSize.read(size), insulation)
    assert found is not None
    return found


def at(by: LimitSet, size: str, insulation: str, ambient_c: float) -> float:
    found = rated(by, size, insulation)
    return found.base_a * found.ambient_factor(ambient_c)


def largest_fuse(by: LimitSet, size: str, insulation: str, ambient_c: float) -> float:
    wire = WireSize.read(size)
    area = np.array([conductors.conductor(wire.system, wire.name).area_mm2])
    return float(by.largest_fuse_a(area, np.array([at(by, size, insulation, ambient_c)]),
                                   np.array([rated(by, size, insulation).base_a]))[0])


# A vehicle maker's body-builder manual, February 2015, part II, table 1-158, p. 217: load, fuse, least area.
# Of two rows for one area the second holds for it.
BODY_BUILDER_ROWS = (
    (5, 7.5, 0.5), (7, 10, 0.85), (10.5, 15, 1.25), (14, 20, 2.0), (17.5, 25, 3.0), (21, 30, 5.0), (28, 40, 8.0),
    (35, 50, 10.0), (42, 60, 15.0), (56, 80, 20.0), (70, 100, 30.0), (87.5, 125, 40.0), (105, 150, 60.0),
    (140, 200, 85.0))


@pytest.mark.parametrize(("load_a", "fuse_a", "area_mm2"), BODY_BUILDER_ROWS)
def test_body_builder_row(load_a: float, fuse_a: float, area_mm2: float) -> None:
    size = f"{area_mm2:g} mm2"
    assert at(BODYBUILDER, size, "pvc105", 40.0) == load_a
    assert largest_fuse(BODYBUILDER, size, "pvc105", 40.0) == fuse_a
    share = BODYBUILDER.fuse.continuous_share * float(BODYBUILDER.fuse_k(np.array([40.0]))[0])
    assert load_a / share <= fuse_a * (1 + 1e-9)


def test_body_builder_insulation() -> None:
    """The same manual: insulation for at least 105 °C, for at least 150 °C in the engine room and near the exhaust."""
    assert BODYBUILDER.ampacity(WireSize.read("2.5 mm2"), "pvc70") is None
    assert BODYBUILDER.ampacity(WireSize.read("2.5 mm2"), "pvc80") is None
    assert math.isnan(at(BODYBUILDER, "2 mm2", "pvc105", 90.0))
    assert math.isnan(at(BODYBUILDER, "2 mm2", "xlpe125", 90.0))
    assert at(BODYBUILDER, "2 mm2", "etfe150", 90.0) == pytest.approx(14 * math.sqrt((150 - 90) / (105 - 40)))


# 33 CFR 183.425, table 5: AWG, amperes of the 60, 75, 80, 90, 105, 125 and 200 °C classes.
CFR_ROWS = {
    "18": (10, 10, 15, 20, 20, 25, 25), "16": (15, 15, 20, 25, 25, 30, 35), "14": (20, 20, 25, 30, 35, 40, 45),
    "12": (25, 25, 35, 40, 45, 50, 55), "10": (40, 40, 50, 55, 60, 70, 70), "8": (55, 65, 70, 70, 80, 90, 100),
    "6": (80, 95, 100, 100, 120, 125, 135), "4": (105, 125, 130, 135, 160, 170, 180),
    "2": (140, 170, 175, 180, 210, 225, 240), "1/0": (195, 230, 245, 245, 285, 305, 325),
    "4/0": (300, 360, 385, 385, 445, 475, 510)}
CFR_CLASSES = {"rubber60": 0, "pvc80": 2, "pvc105": 4, "xlpe125": 5, "silicone200": 6}


@pytest.mark.parametrize("awg", CFR_ROWS)
def test_small_craft_row(awg: str) -> None:
    for insulation, column in CFR_CLASSES.items():
        for ambient_c in (-20.0, 20.0, 30.0):
            assert at(SMALL_CRAFT, f"AWG {awg}", insulation, ambient_c) == CFR_ROWS[awg][column]
    # 33 CFR 183.455: below 50 V at most 150 % of the table's amperage.
    assert largest_fuse(SMALL_CRAFT, f"AWG {awg}", "pvc105", 30.0) == 1.5 * CFR_ROWS[awg][4]


# A marine dealer's printing of table 5, 105 °C, outside and inside engine spaces.
@pytest.mark.parametrize(("awg", "inside_a"), [("18", 17), ("16", 21), ("14", 30), ("12", 38), ("10", 51), ("8", 68),
                                               ("6", 102), ("4", 136), ("2", 178)])
def test_small_craft_engine_space(awg: str, inside_a: float) -> None:
    # Printed in whole amperes.
    assert at(SMALL_CRAFT, f"AWG {awg}", "pvc105", 50.0) == pytest.approx(inside_a, abs=0.76)


def test_small_craft_fuse_in_an_engine_space() -> None:
    """33 CFR 183.425 and 183.455: AWG 16, 105 °C: 25 A × 0.85 × 150 % = 31.9 A."""
    assert largest_fuse(SMALL_CRAFT, "AWG 16", "pvc105", 50.0) == pytest.approx(31.875)


def test_small_craft_bundle() -> None:
    """UL 1426 boat cable, as a cable maker prints it: AWG 10, 60 A; 3 bundled in an engine space 35.7 A; 7 to 24
    bundled outside 30 A, inside 25.5 A."""
    factor = SMALL_CRAFT.group_factor(np.array([1, 2, 3, 4, 6, 7, 24, 25]))
    assert factor.tolist() == [1.0, 1.0, 0.7, 0.6, 0.6, 0.5, 0.5, 0.4]
    outside, inside = (at(SMALL_CRAFT, "AWG 10", "pvc105", ambient_c) for ambient_c in (30.0, 50.0))
    assert inside * factor[2] == pytest.approx(35.7)
    assert outside * factor[5] == pytest.approx(30.0)
    assert inside * factor[5] == pytest.approx(25.5)


def test_small_craft_smallest_fuse() -> None:
    """A seller of boat equipment: 80 A load, smallest fuse 100 A."""
    assert 80.0 / SMALL_CRAFT.fuse.continuous_share == pytest.approx(100.0)


# FAA AC 43.13-1B, table 11-3: AWG, largest fuse; table 11-9: amperes of the 105, 150 and 200 °C classes.
AC_FUSES = {"22": 5, "20": 5, "18": 10, "16": 10, "14": 15, "12": 20, "10": 30, "8": 50, "6": 70, "4": 70, "2": 100,
            "1": 150, "1/0": 150}
AC_CURRENTS = {"22": (3, 5, 6), "20": (4, 7, 9), "18": (6, 9, 12), "16": (7, 11, 14), "14": (10, 14, 18),
               "12": (13, 19, 25), "10": (17, 26, 32), "8": (38, 57, 71), "6": (50, 76, 97), "4": (68, 103, 133),
               "2": (95, 141, 179), "1": (113, 166, 210), "1/0": (128, 192, 243)}


@pytest.mark.parametrize("awg", AC_FUSES)
def test_aircraft_row(awg: str) -> None:
    for insulation, column in (("pvc105", 0), ("etfe150", 1), ("silicone200", 2)):
        for ambient_c in (20.0, 70.0):
            assert at(AIRCRAFT, f"AWG {awg}", insulation, ambient_c) == AC_CURRENTS[awg][column]
        assert largest_fuse(AIRCRAFT, f"AWG {awg}", insulation, 70.0) == AC_FUSES[awg]
    assert AIRCRAFT.ampacity(WireSize.read(f"AWG {awg}"), "pvc70") is None


def test_aircraft_selection() -> None:
    """FAA AC 43.13-1B, table 11-3: the smallest wire for a 20 A fuse is AWG 12, for 30 A AWG 10; AWG 20 never bears
    15 A."""
    for fuse_a, smallest in ((20, "12"), (30, "10")):
        fits = [awg for awg in AC_FUSES if largest_fuse(AIRCRAFT, f"AWG {awg}", "pvc105", 70.0) >= fuse_a]
        assert fits[0] == smallest
    assert largest_fuse(AIRCRAFT, "AWG 20", "pvc105", 20.0) < 15.0


def test_drop_limits() -> None:
    """3 % and 10 %: ISO 10133, ABYC E-11; 0.5 V continuous and 1 V intermittent at 14 V: FAA AC 43.13-1B, table 11-6
    (from memory; the limits read in tables 11-7 and 11-8); both for out and back, the handbook's for the supply lead
    alone."""
    def limit(by: LimitSet, kind: str, use: str = "continuous") -> float:
        found = by.drop_limit(kind, 12.0, use)
        assert found is not None
        return found.value

    assert limit(SMALL_CRAFT, "headlamp") == pytest.approx(0.36)
    assert limit(SMALL_CRAFT, "control") == pytest.approx(1.2)
    assert (limit(AIRCRAFT, "control"), limit(AIRCRAFT, "control", "intermittent")) == (0.5, 1.0)
    assert limit(BODYBUILDER, "headlamp") == 0.3
    assert (SMALL_CRAFT.drop_covers_return, AIRCRAFT.drop_covers_return, BODYBUILDER.drop_covers_return) == (
        True, True, False)
