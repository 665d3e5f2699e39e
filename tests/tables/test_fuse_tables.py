"""Fuse look-ups against published sheets, second printings and laws between columns."""

import numpy as np
import pytest

from fuseplan.checks.fuse_to_fit import BOLTED_A
from fuseplan.errors import TableError
from fuseplan.plan.words import FUSE_KINDS
from fuseplan.tables import fuses
from fuseplan.tables.load import table


def test_kinds_carry_letters_of_iso_8820_and_reset_words_of_sae_j553():
    letters = {"blade": "C", "maxi": "E", "mini": "F", "strip": "SF", "midi": "SF30", "mega": "SF51", "jcase": "A1"}
    assert {kind: fuses.KINDS[kind].iso_type for kind in letters} == letters
    resets = [fuses.KINDS[f"breaker_{number}"].reset for number in (1, 2, 3)]
    assert resets == ["automatic", "modified", "manual"]
    assert set(fuses.KINDS) >= {"micro2", "micro3", "glass", "ceramic", "link"}
    with pytest.raises(TableError, match="no fuse kind 'nano'"):
        fuses.ratings("nano")


def test_ladders():
    # Littelfuse 297 datasheet; DIN 72581-3 Form E excerpt; a car maker's service information, 2011
    assert fuses.ratings("mini").value == (2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30)
    assert fuses.ratings("maxi").value == (20, 30, 40, 50, 60, 70, 80)
    assert fuses.ratings("jcase").value == (20, 30, 40, 50, 60)
    assert fuses.ratings("ceramic").value == (5, 8, 16, 25)
    assert fuses.ratings("midi").source.how == "memory"
    assert fuses.ratings("link") is None
    for kind in fuses.KINDS:
        ladder = fuses.ratings(kind)
        assert ladder is None or list(ladder.value) == sorted(set(ladder.value))


def test_no_ladder_passes_the_scope_of_its_standard():
    # Scopes of ISO 8820-3, -4, -5, -12 and -13
    scopes = table("iso_8820_scopes").rows()
    assert len(scopes) == 9
    for row in scopes:
        ladder = fuses.ratings(row["kind"])
        assert ladder is None or ladder.value[-1] <= row["largest_a"]


def test_colours():
    # Farm-press chart 2015 and a car maker's service information 2011 agree on these
    shared = {7.5: "brown", 10: "red", 15: "blue", 20: "yellow", 30: "green"}
    assert {rating: fuses.colour("mini", rating).value for rating in shared} == shared
    assert fuses.colour("maxi", 70).value == "brown"  # DIN 72581-3 Form E
    assert fuses.colour("jcase", 40).value == "green"
    assert fuses.colour("micro2", 10).source.how == "memory"
    assert fuses.colour("mini", 40) is None
    assert fuses.colour("strip", 40) is None


def test_form_e_test_currents_are_multiples_of_rating():
    # DIN 72581-3 Form E excerpt prints the products; it rounds .5 in its own way, hence 1 A
    printed = table("din_72581_3_form_e_currents")
    ratings = printed.array("rating_a")
    assert ratings.size == 7
    for heading, multiple in (("current_135_a", 1.35), ("current_200_a", 2.0), ("current_350_a", 3.5)):
        np.testing.assert_allclose(printed.array(heading), ratings * multiple, atol=1.0)


@pytest.mark.parametrize(("current_a", "least_s", "most_s"), [(27, 0.75, 600), (40, 0.15, 5), (70, 0.08, 0.5)])
def test_mini_20_a_opening_times(current_a, least_s, most_s):
    # Littelfuse 297 datasheet, 135, 200 and 350 %
    curve = fuses.time_current("mini", 20)
    assert curve.opening_min_s(current_a / 20) == least_s
    assert curve.opening_max_s(current_a / 20) == most_s


def test_envelope_never_passes_its_rows():
    curve = fuses.time_current("mini", 10)
    least, most = curve.opening_min_s([0.5, 1.2, 2.5, 7.0]), curve.opening_max_s([0.5, 1.2, 2.5, 7.0])
    assert least[[0, 3]].tolist() == [360000, 0.0]
    assert 0.75 < least[1] < 360000
    assert 0.08 < least[2] < 0.15
    assert most[[0, 1, 3]].tolist() == [np.inf, np.inf, 0.1]
    assert 0.5 < most[2] < 5
    assert curve.min_known([0.5, 1.2, 2.5, 7.0]).tolist() == [True, True, True, False]


def test_maxi_documents_disagree_and_the_worse_counts():
    # 200 %: 60 s in DIN 72581-3 Form E, 50 s in the Littelfuse 299 datasheet
    assert fuses.time_current_documents("maxi") == ("din_72581_3", "littelfuse_299")
    assert fuses.time_current("maxi", 40, "din_72581_3").opening_max_s(2) == 60
    assert fuses.time_current("maxi", 40, "littelfuse_299").opening_max_s(2) == 50
    both = fuses.time_current("maxi", 40)
    assert both.opening_max_s(2) == 60
    assert both.opening_min_s(2) == 2
    assert both.opening_max_s(6) == 7  # DIN prints no 600 % row, so its 350 % row still holds
    assert len(both.sources) == 2
    with pytest.raises(TableError, match="no document 'x'"):
        fuses.time_current("maxi", 40, "x")


def test_maximum_at_135_percent_differs_by_maker():
    # 600 s Littelfuse 287, 1800 s Japanese practice, 120 s Littelfuse 327
    assert fuses.time_current("blade", 15, "littelfuse_287").opening_max_s(1.35) == 600
    regular = fuses.time_current("blade", 15)
    assert regular.opening_max_s(1.35) == 1800
    assert "1800 s" in regular.note
    assert fuses.time_current("micro2", 15).opening_max_s(1.35) == 120


def test_regular_rows_apply_to_their_own_ratings():
    # Littelfuse 287: 1-2 A least 0.35 s at 135 %; 350 % is printed for 35 and 40 A alone
    assert fuses.time_current("blade", 2, "littelfuse_287").opening_min_s(1.35) == 0.35
    assert fuses.time_current("blade", 40).opening_min_s(3.5) == 0.08
    assert not fuses.time_current("blade", 20).min_known(3.5)
    assert fuses.time_current("blade", 20).opening_min_s(1.1) == 360000


def test_kinds_without_published_times_say_so():
    for kind in ("jcase", "midi", "mega", "micro3", "strip", "ceramic", "link", "breaker_1"):
        assert fuses.time_current(kind, 40) is None


def test_every_curve_falls_with_current():
    checked = 0
    for kind in fuses.KINDS:
        for rating in fuses.ratings(kind).value if fuses.ratings(kind) else ():
            curve = fuses.time_current(kind, rating)
            if curve is None:
                continue
            grid = np.linspace(0.5, 12, 400)
            assert (np.diff(curve.opening_min_s(grid)) <= 0).all()
            most = curve.opening_max_s(grid)
            assert (most[1:] <= most[:-1]).all()
            assert (curve.opening_min_s(grid) <= most).all()
            checked += 1
    assert checked > 30


def test_mini_electrical_columns_agree_with_each_other():
    # Littelfuse 297: 10 A drops 108 mV; hot resistance exceeds cold by 1.29 to 1.66 in every row
    assert fuses.drop_mv("mini", 10).value == 108
    assert fuses.melting_i2t_a2s("mini", 10).value == 93
    for rating in fuses.ratings("mini").value:
        assert 1.25 < fuses.hot_over_cold("mini", rating).value < 1.7
        # the melting I²t is that of 10 times the rating for 7 to 12.6 ms in every row
        assert 0.0069 < fuses.melting_i2t_a2s("mini", rating).value / (10 * rating) ** 2 < 0.0127


@pytest.mark.parametrize(
    ("kind", "rating_a", "millivolts", "milliamperes"),
    [
        ("blade", 10, 1.0, 130),  # a Dutch workshop page on voltage drop over fuses
        ("blade", 10, 2.4, 312),  # a public note
        ("mini", 15, 0.1, 22),  # MACS Service Reports, June 2017
        ("mini", 15, 1.0, 218),  # the same
    ],
)
def test_millivolts_across_a_fuse_give_published_current(kind, rating_a, millivolts, milliamperes):
    resistance = fuses.cold_resistance_ohm(kind, rating_a).value
    assert millivolts / 1000 / resistance == pytest.approx(milliamperes / 1000, rel=0.01)


def test_cold_resistance_lies_near_mixed_maker_bands():
    # A German electronics page, bands over makers in mohm; 15 % is the stated spread
    bands = {5: (16.0, 20.0), 7.5: (11.0, 12.0), 10: (6.8, 7.3), 15: (4.5, 4.8), 20: (3.2, 3.4), 25: (2.5, 3.4)}
    bands |= {30: (1.79, 1.85), 40: (1.35, 1.4)}
    for rating, (low, high) in bands.items():
        assert low * 0.85 < fuses.cold_resistance_ohm("blade", rating).value * 1000 < high * 1.15


def test_nothing_on_file_is_none():
    assert fuses.cold_resistance_ohm("blade", 35) is None
    assert fuses.cold_resistance_ohm("midi", 100) is None
    assert fuses.melting_i2t_a2s("blade", 10) is None
    assert fuses.hot_over_cold("jcase", 40) is None
    assert fuses.voltage_rating_v("glass") is None


def test_voltage_and_breaking_capacity():
    # ISO 8820-3 and -5 scopes; Littelfuse MIDI 498 lies below the standard, so it counts
    assert fuses.voltage_rating_v("mini").value == 32
    assert fuses.breaking_capacity_a("blade").value == 1000
    assert fuses.breaking_capacity_a("mega").value == 2000
    assert fuses.breaking_capacity_a("midi").value == 1000
    assert max(found.value for kind in FUSE_KINDS if (found := fuses.breaking_capacity_a(kind))) == BOLTED_A


def test_derived_fractions_are_means_of_the_printed_rows():
    printed = table("littelfuse_287_2022_atof_ambient")
    rows = [row for row in printed.rows() if row["rating_a"] in (15, 20, 25, 30, 40)]
    assert len(rows) == 5
    ratios = np.array([[row[h] / row["rating_a"] for h in printed.columns if h != "rating_a"] for row in rows])
    derived = table("littelfuse_287_2022_atof_ambient_fractions")
    np.testing.assert_allclose(derived.array("fraction"), ratios.mean(axis=0), atol=0.0006)
    np.testing.assert_allclose(derived.array("fraction_min"), ratios.min(axis=0), atol=0.0006)
    np.testing.assert_allclose(derived.array("fraction_max"), ratios.max(axis=0), atol=0.0006)


def test_ambient_factor_is_one_at_the_shares_reference_and_never_grows():
    grid = np.linspace(-40, 125, 331)
    factors = fuses.ambient_k(grid, 25.0)
    assert (factors[grid <= 25] == 1).all()
    assert (np.diff(factors) <= 0).all()
    assert np.isnan(fuses.ambient_k(126, 25.0))
    # A vehicle maker's body-builder manual, 2015: a fuse may carry 70 % at 40 °C; with the 75 % share that is 0.93.
    assert 0.75 * fuses.ambient_k(40, 25.0) == pytest.approx(0.70, abs=0.02)


def test_the_one_printed_maxi_row_stands_near_the_blade_curve():
    # Littelfuse MAXI 299 (2025), p. 3, 40 A: up to 6 % below the factor of the blade fuses, which counts for it
    maxi = table("littelfuse_299_2025_maxi_ambient")
    share = maxi.array("allowed_a") / 40 / fuses.ambient_k(maxi.array("ambient_c"), 25.0)
    assert share.size == 6
    assert (share > 0.935).all()
    assert (share < 1.01).all()


def test_pulse_fraction_takes_next_row_up():
    # Littelfuse catalogue 2017, p. 12, chart 2
    assert [fuses.pulse_fraction(n).value for n in (1, 100, 1000, 2000, 100_000)] == [0.48, 0.48, 0.38, 0.29, 0.22]
    with pytest.raises(TableError, match="100001"):
        fuses.pulse_fraction(100_001)
