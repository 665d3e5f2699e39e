"""Facts for building against what is printed: tolerances, marks, bundles, pull-out forces."""

from __future__ import annotations

import numpy as np
import pytest

from fuseplan.build.bundles import diameter_mm
from fuseplan.build.cutting import cut, rounded_up_m
from fuseplan.build.marks import letter_height_mm, marks_on
from fuseplan.build.terminals import barrel_area_mm2, pull_out
from fuseplan.formulas.building import bundle_diameter, character_height
from fuseplan.tables.building import (
    bend_diameters,
    bundle_factor,
    cut_tolerance_mm,
    relay_pins,
    stud_drop,
    torques,
    visual_angle_arc_min,
)
from fuseplan.tables.conductors import conductor
from fuseplan.tables.load import table


def test_letters_are_as_high_as_the_guideline_asks() -> None:
    # NUREG-0700 rev. 2, 1.3.1-4: 16 minutes of arc at least, 20 to 22 preferred, 24 for text; arithmetic ours.
    angles = [visual_angle_arc_min(what).value for what in ("smallest", "preferred from", "preferred to",
                                                            "largest for text")]
    for distance, printed in ((300, (1.40, 1.75, 1.92, 2.09)), (500, (2.33, 2.91, 3.20, 3.49)),
                              (700, (3.26, 4.07, 4.48, 4.89))):
        assert [round(float(character_height(distance, angle)), 2) for angle in angles] == list(printed)
    assert letter_height_mm(500.0) == pytest.approx(2.95)
    # ISO 9241-3 (second-hand): viewing distance 155 to 175 times the height.
    assert 155 <= 300.0 / letter_height_mm(300.0) <= 175


@pytest.mark.parametrize(("length_mm", "marks"), [(1000, 4), (381, 2), (382, 3), (150, 1), (70, 0), (76, 1), (178, 1),
                                                  (179, 2), (762, 3), (763, 4)])
def test_marks_stand_no_further_apart_than_15_inches(length_mm: float, marks: int) -> None:
    # FAA AC 43.13-1B CHG 1, par. 11-208.
    assert marks_on(length_mm) == marks


@pytest.mark.parametrize(("length_m", "over_mm"), [
    (0.3, 25), (0.31, 50), (1.20, 50), (1.5, 50), (1.51, 100), (3.0, 100), (7.5, 150), (8.0, 400), (150.0, 7500)])
def test_a_cut_wire_may_be_longer_by_the_printed_tolerance_and_never_shorter(length_m: float, over_mm: float) -> None:
    # IPC/WHMA-A-620B final draft, table 11-1.
    assert cut_tolerance_mm(length_m).value == pytest.approx(over_mm)


def test_a_bundle_of_unlike_wires_is_as_thick_as_the_worked_example() -> None:
    # A wire distributor's page prints 4.95 mm, rounded on the way.
    assert diameter_mm([1.19] * 3 + [1.40] * 5 + [1.65]) == pytest.approx(4.95, rel=0.01)


def test_equal_wires_take_the_larger_printed_factor() -> None:
    # A conduit maker's sheet: 30 wires of 0.045 in make 0.3015 in (factor 6.7, between its rows).
    printed = table("bundle_factors")
    factor = np.interp(30, printed.array("wires"), printed.array("conduit_maker"))
    assert 0.045 * factor == pytest.approx(0.3015)
    assert diameter_mm([0.045] * 30) == pytest.approx(0.3015)
    assert float(bundle_diameter(30 * 0.045**2)) == pytest.approx(0.296, abs=0.0005)
    # A wire distributor's page: 9.0 for 60; the formula gives 9.37 for 61.
    assert printed.cited("wires", 60.0, "distributor").value == 9.0
    assert float(bundle_diameter(61.0)) == pytest.approx(9.37, abs=0.005)
    assert diameter_mm([1.0] * 61) >= 9.37


def test_a_bundle_is_never_thinner_than_geometry_allows() -> None:
    # 3 to 5 wires in a ring, 7 to 9 with one in the middle: elementary geometry.
    for count in (2, 3, 4, 5, 7, 8, 9):
        ring = count if count < 6 else count - 1
        least = 2.0 if count == 2 else 1 + 1 / np.sin(np.pi / ring)
        assert diameter_mm([1.0] * count) >= least - 0.006, count
    assert diameter_mm([1.0] * 6) >= 3.0
    assert bundle_factor(301) is None


def test_pull_out_force_is_that_of_the_next_thinner_gauge() -> None:
    # TE 114-2161 rev. F figure 4: AWG 18 commercial 89 N.
    found = pull_out(conductor("AWG", "18").area_mm2)
    assert found is not None
    assert (found.gauge, found.commercial_n) == ("18", 89.0)
    three_quarters = pull_out(0.75)
    assert three_quarters is not None
    assert (three_quarters.gauge, three_quarters.commercial_n) == ("20", 57.9)
    assert pull_out(0.2) is None
    forces = [pull_out(area).commercial_n for area in (0.5176, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50)]
    assert forces == sorted(forces)


def test_wires_in_one_barrel_add_their_areas() -> None:
    # NASA-STD-8739.4, 19.11 and 19.12: 1 + 1 + 1.5 mm² ask for 3.5 mm² or the next larger barrel.
    assert barrel_area_mm2((1.0, 1.0, 1.5)) == 3.5


def test_a_stud_may_lose_7_5_mv_at_its_rated_current() -> None:
    # MIL-DTL-83454A par. 4.5.3.
    for stud, current, milliohm in (("No. 6", 25, 0.300), ("No. 8", 30, 0.250), ("No. 10", 35, 0.214),
                                    ("M6", 43, 0.174)):
        found = stud_drop(stud)
        assert found is not None
        assert found.value == (current, 0.0075)
        assert round(1000 * found.value[1] / found.value[0], 3) == milliohm
    assert stud_drop("M8") is None


def test_torques_show_every_reading() -> None:
    # A car maker's manual of 2007 prints 10 N m for M6 of class 8.8; a battery maker's 4.5 to 6.3 N m for an M6 stud.
    assert {(each.least_nm, each.most_nm) for each in torques("M6")} == {(10.0, 10.0), (4.5, 6.3)}
    assert all(each.source.how == "memory" for each in torques("M8", "mega"))
    assert torques("M4") == ()


def test_what_is_from_memory_says_so() -> None:
    assert relay_pins().source.how == "memory"
    assert [(each.iso, each.din) for each in relay_pins().value] == [
        ("1", "86"), ("2", "85"), ("3", "30"), ("4", "87a"), ("5", "87")]
    # NASA-STD-8739.4 par. 7.3.21.
    assert bend_diameters("cable of several wires, as fitted").value == 10.0


def test_cut_lengths_are_rounded_up_to_what_a_tape_shows() -> None:
    for length, shown in ((1.0, 1.0), (1.0001, 1.005), (1.4999, 1.5), (1.5, 1.5), (1.5001, 1.51), (2.999, 3.0)):
        assert rounded_up_m(length) == pytest.approx(shown)
    found = cut(1.2, 0.015, 0.015)
    assert (found.cut_m, found.over_mm) == (pytest.approx(1.26), 50.0)
