"""Conductors, current tables and factors against second printings, laws and worked examples."""

import math

import numpy as np
import pytest

from fuseplan.errors import TableError
from fuseplan.tables import ampacity, conductors, factors, insulations
from fuseplan.tables.gauges import MM2_PER_CMIL, awg_area_mm2, awg_diameter_mm
from fuseplan.tables.load import table

COPPER_OHM_CMIL_PER_KFT = 10371.0  # 100 % IACS at 20 °C (NBS Handbook 100), in ohm per 1000 ft times cmil


def test_awg_formula_gives_printed_circular_mils():
    # Lessons In Electric Circuits, volume 6, wire table
    printed = {
        "4/0": 211600, "3/0": 167800, "2/0": 133100, "1/0": 105500, "1": 83690, "2": 66370, "4": 41740,
        "6": 26250, "8": 16510, "10": 10380, "12": 6530, "14": 4107, "16": 2583, "18": 1624, "20": 1022,
        "22": 642.5, "24": 404.0,
    }
    assert len(printed) == 17
    for name, cmil in printed.items():
        assert awg_area_mm2(name) / MM2_PER_CMIL == pytest.approx(cmil, rel=5e-4)


def test_gauge_names():
    assert awg_diameter_mm("36") == pytest.approx(0.127)  # the gauge's own anchor, 5 mil
    assert awg_diameter_mm("4/0") == pytest.approx(11.684, abs=1e-3)  # 460 mil, the other anchor
    with pytest.raises(TableError, match="AWG 5/0"):
        awg_area_mm2("5/0")


def test_class_5_lies_a_steady_step_above_road_vehicle_cable():
    # ISO 6722-1:2011 bare copper, mohm/m, from memory; the ratio to class 5 is 1.043 to 1.054 in every row
    iso = {0.5: 37.1, 0.75: 24.7, 1: 18.5, 1.5: 12.7, 2.5: 7.60, 4: 4.71, 6: 3.14, 10: 1.82, 16: 1.16, 25: 0.743}
    iso |= {35: 0.527, 50: 0.368, 70: 0.259, 95: 0.196, 120: 0.153}
    for area, milliohm in iso.items():
        ratio = conductors.conductor("mm2", f"{area:g}").r20_ohm_per_m * 1000 / milliohm
        assert 1.042 < ratio < 1.055


def test_tinned_and_stranded_resistances_exceed_solid_copper():
    printed = table("iec_60228_conductors")
    solid = 17.241 / printed.array("area_mm2")
    for column in ("class5_plain", "class5_tinned"):
        ratios = (printed.array(column) / solid)[printed.array("area_mm2") >= 0.5]
        assert ((ratios > 1.0) & (ratios < 1.21)).all()
    assert (printed.array("class5_tinned") > printed.array("class5_plain")).all()


def test_aircraft_resistances_fit_their_own_areas():
    # FAA AC 43.13-1B table 11-9: tinned strand, never below solid copper of the printed circular mils
    printed = table("ac43_13_1b_t11_9")
    ratios = printed.array("ohm_per_1000ft") * printed.array("cmil") / COPPER_OHM_CMIL_PER_KFT
    assert ((ratios > 1.0) & (ratios < 1.35)).all()


def test_nec_resistances_fit_awg_areas_at_75_degrees():
    # NFPA 70:2011 chapter 9 table 8 with the copper constant 234.5 (AC 43.13-1B par. 11-66)
    printed = table("nec_2011_ch9_t8")
    names = printed.texts("awg")
    assert len(names) == 15
    for name, ohm in zip(names, printed.array("ohm_per_1000ft"), strict=True):
        cold = ohm * 254.5 / (234.5 + 75)
        assert 1.0 < cold * awg_area_mm2(name) / MM2_PER_CMIL / COPPER_OHM_CMIL_PER_KFT < 1.035


def test_conductor_of_each_system():
    # IEC 60228 class 5; AC 43.13-1B table 11-9; JIS C 3406
    metric = conductors.conductor("mm2", "2.5")
    assert (metric.area_mm2, metric.derived) == (2.5, False)
    assert metric.r20_ohm_per_m == pytest.approx(0.00798)
    gauge = conductors.conductor("AWG", "14")
    assert gauge.r20_ohm_per_m == pytest.approx(0.01004, abs=1e-5)
    japanese = conductors.conductor("AV", "30")
    assert japanese.area_mm2 == 35.19
    assert japanese.r20_ohm_per_m == pytest.approx(0.00052)


def test_a_size_the_standard_lacks_is_derived_and_says_so():
    between = conductors.conductor("mm2", "3")
    assert between.derived
    assert between.source.line().endswith("derived")
    # 7.98 mohm/m × 2.5 mm² exceeds 4.95 × 4
    assert between.r20_ohm_per_m == pytest.approx(0.00798 * 2.5 / 3)
    assert conductors.conductor("mm2", "2.5").r20_ohm_per_m > between.r20_ohm_per_m
    assert between.r20_ohm_per_m > conductors.conductor("mm2", "4").r20_ohm_per_m


def test_derived_sizes_never_promise_less_than_the_vehicle_cable_limit():
    # ISO 6722-1:2011 bare copper, largest mohm/m of sizes that IEC 60228 lacks, from memory
    limits = {"0.35": 54.4, "1.25": 14.9, "2": 9.42, "3": 6.15, "5": 3.94, "8": 2.38, "12": 1.52, "20": 0.955}
    limits |= {"30": 0.647, "40": 0.473, "60": 0.315}
    for name, milliohm in limits.items():
        found = conductors.conductor("mm2", name)
        assert found.derived
        assert 0.995 * milliohm < found.r20_ohm_per_m * 1000 < 1.10 * milliohm
    # SAE sizes: a trade journal's rule of 0.018 ohm mm²/m is met or exceeded
    for name in conductors.standard_sizes("SAE"):
        found = conductors.conductor("SAE", name)
        assert found.r20_ohm_per_m * found.area_mm2 > 0.018


def test_sae_wire_is_thinner_than_awg():
    # A battery-cable maker states 5 to 12 %; its own 4/0 row is 3 % and so stands outside that
    names = conductors.standard_sizes("SAE")
    assert names[0] == "18"
    assert names[-1] == "4/0"
    assert len(names) == 13
    for name in names:
        share = conductors.conductor("SAE", name).area_mm2 / awg_area_mm2(name)
        assert share < 1
        if name != "4/0":
            assert 0.88 <= share <= 0.95


def test_worked_example_of_circular_mils():
    # A marine dealer's example: 6271 cmil needed, AWG 12 passes, SAE 12 does not, SAE 10 does
    needed_mm2 = 6271 * MM2_PER_CMIL
    assert conductors.conductor("AWG", "14").area_mm2 < needed_mm2 <= conductors.conductor("AWG", "12").area_mm2
    assert conductors.conductor("SAE", "12").area_mm2 < needed_mm2 <= conductors.conductor("SAE", "10").area_mm2


def test_standard_sizes_go_up():
    for system in conductors.SYSTEMS:
        areas = [conductors.conductor(system, name).area_mm2 for name in conductors.standard_sizes(system)]
        assert areas == sorted(areas)
        assert len(areas) >= 13


def test_unknown_sizes_and_systems_name_what_is_accepted():
    with pytest.raises(TableError, match="accepted are mm2, AWG, SAE, AV"):
        conductors.conductor("BWG", "14")
    for system, name in (("mm2", "thick"), ("mm2", "0"), ("AWG", "99"), ("SAE", "11"), ("AV", "4")):
        with pytest.raises(TableError, match="accepted are"):
            conductors.conductor(system, name)


def test_strand_diameter_follows_printed_av_diameters():
    # JIS C 3406 prints the conductor's diameter; two rope-lay rows (7/9 and 7/12 strands) are looser
    rows = [row for row in table("jis_c_3406_av").rows() if row["strands"].count("/") == 1]
    assert len(rows) == 14
    for row in rows:
        metric = conductors.conductor("mm2", str(row["area_mm2"]))
        assert metric.diameter_mm == pytest.approx(row["conductor_mm"], rel=0.05)


def test_second_printing_of_av_wire_agrees():
    # A wire dealer's page against the maker's catalogue
    second = table("jis_c_3406_av_second_printing").rows()
    assert len(second) == 7
    for row in second:
        wire = conductors.conductor("AV", row["nominal"])
        assert wire.r20_ohm_per_m == pytest.approx(row["ohm_per_m"])
        assert wire.outside_diameter_mm == row["outside_mm"]


def test_insulations():
    # DIN VDE 0298-4; JASO D611; ISO 6722 classes C, D and F
    limits = {name: each.max_c for name, each in insulations.INSULATIONS.items()}
    assert limits == {
        "pvc70": 70, "pvc80": 80, "pvc105": 105, "xlpe125": 125, "etfe150": 150,
        "silicone200": 200, "rubber60": 60, "cotton": 60,
    }
    # IEC 60364-4-43, from memory
    assert insulations.insulation("pvc105").short_c == 160
    assert insulations.insulation("pvc105").short_source.how == "memory"
    assert insulations.insulation("etfe150").short_c is None
    with pytest.raises(TableError, match="pvc70, pvc80"):
        insulations.insulation("pvc90")


def test_outside_diameters_take_the_next_printed_row_up():
    # British thin-wall table; car maker's sample data above 10 mm²; JIS C 3406 for standard wall
    assert insulations.outside_diameter_mm(2.5, "pvc105").value == 3.0
    assert insulations.outside_diameter_mm(2.6, "pvc105").value == 3.4
    assert insulations.outside_diameter_mm(16, "pvc105").value == 7.0
    assert insulations.outside_diameter_mm(2.5, "pvc70").value == 3.8
    assert insulations.outside_diameter_mm(50, "pvc105") is None


def test_a_thin_wall_is_taken_no_thicker_than_a_cross_linked_wire_that_is_sold():
    """Printed outside diameters of GXL wire [mm]: a thinner wire gives off less heat, so what is taken errs to the safe
    side; by how much, a fifth and a little at most."""
    rows = table("gxl_outside_diameters").rows()
    assert len(rows) == 7
    for row in rows:
        taken = insulations.outside_diameter_mm(awg_area_mm2(row["awg"]), "xlpe125").value
        assert 0.75 * row["outside_mm"] < taken <= row["outside_mm"], row



@pytest.mark.parametrize("table_id", [each for each in ampacity.AMPACITIES if each != "ac43_t11_3"])
def test_currents_grow_with_area(table_id):
    rows = ampacity.ampacity_rows(table_id, 200)
    assert (np.diff(rows.area_mm2) > 0).all()
    assert (np.diff(rows.current_a) > 0).all()
    assert len(rows.names) == rows.area_mm2.size
    assert rows.source.line()


def test_rating_goes_down_between_rows_and_ends_at_the_ends():
    # DIN VDE 0298-4 table 11: 2.5 mm² 32 A, 4 mm² 42 A
    rows = ampacity.ampacity_rows("vde_0298_4_t11")
    assert rows.at([2.5, 3, 3.99, 4]).tolist() == [32, 32, 32, 42]
    assert np.isnan(rows.at([0.3, 150])).all()


def test_handbook_currents_are_the_vde_table_at_50_degrees():
    # An off-road club's page prints the handbook's +50 °C column; VDE 0298-4 table 17 gives 0.71
    base = ampacity.ampacity_rows("vde_0298_4_t11")
    for row in table("handbook_50_c").rows():
        assert float(base.at(row["area_mm2"])) * 0.71 == pytest.approx(row["current_a"], abs=0.2)


def test_thin_wall_currents_state_no_ambient():
    rows = ampacity.ampacity_rows("thin_wall_uk")
    assert rows.rise_k == 40
    assert rows.reference_c is None
    assert "inferred" in rows.note


def test_insulation_class_never_rounds_up():
    # 33 CFR 183.425 table 5: 10 AWG 60 A at 105 °C, 55 A at 90 °C
    assert ampacity.ampacity_rows("cfr_183_425_t5", 105).at(awg_area_mm2("10")) == 60
    assert ampacity.ampacity_rows("cfr_183_425_t5", 104).at(awg_area_mm2("10")) == 55
    assert ampacity.ampacity_rows("cfr_183_425_t5", 104).max_c == 90
    for class_c in (59, None):
        with pytest.raises(TableError, match="printed are 60, 75"):
            ampacity.ampacity_rows("cfr_183_425_t5", class_c)
    with pytest.raises(TableError, match="no current table 'x'"):
        ampacity.ampacity_rows("x")


def test_boat_cable_standard_is_the_federal_column_times_its_notes():
    # UL 1426 boat-cable table: 10 AWG, 3 bundled in an engine space 35.7 A; 7 to 24 outside 30, inside 25.5 A
    alone = float(ampacity.ampacity_rows("cfr_183_425_t5", 105).at(awg_area_mm2("10")))
    engine = ampacity.engine_space_factor_cfr(105).value
    assert alone * factors.group_factor("cfr_note2", 3) * engine == pytest.approx(35.7)
    assert alone * factors.group_factor("cfr_note2", 7) == pytest.approx(30)
    assert alone * factors.group_factor("cfr_note2", 24) * engine == pytest.approx(25.5)


def test_dealers_engine_space_column():
    # A marine dealer's printing: the outside column times 0.85, to whole amperes
    rows = table("cfr_33_183_425_note1_dealer").rows()
    assert len(rows) == 9
    base = ampacity.ampacity_rows("cfr_183_425_t5", 105)
    for row in rows:
        assert float(base.at(awg_area_mm2(row["awg"]))) == row["outside_a"]
        assert row["outside_a"] * 0.85 == pytest.approx(row["inside_a"], abs=0.5)


def test_engine_space_factors_obey_the_square_root_law():
    # 33 CFR 183.425 note 1, from memory but for 105 °C, which alone departs from the law
    for class_c in (60, 75, 80, 90, 125, 200):
        law = math.sqrt((class_c - 50) / (class_c - 30))
        assert ampacity.engine_space_factor_cfr(class_c).value == pytest.approx(law, abs=0.006)
    assert ampacity.engine_space_factor_cfr(105).source.how == "read"
    with pytest.raises(TableError, match="50 °C"):
        ampacity.engine_space_factor_cfr(50)


def test_wire_of_a_fuse_by_aircraft_practice():
    # FAA AC 43.13-1B table 11-3: a 20 A fuse wants 12, a 30 A fuse 10; 15 A on AWG 20 is refused
    rows = ampacity.protector_rows("ac43_t11_3")
    assert rows.largest_fuse_for_area(awg_area_mm2("12")) == 20
    assert rows.largest_fuse_for_area(awg_area_mm2("10")) == 30
    assert rows.largest_fuse_for_area(awg_area_mm2("20")) == 5
    assert rows.breaker_a[1] == 7.5


@pytest.mark.parametrize(("load_a", "fuse_a", "area_mm2"), [(12, 20, 2.0), (7, 10, 0.85), (21.1, 40, 8.0)])
def test_body_builder_rows(load_a, fuse_a, area_mm2):
    # A vehicle maker's body-builder manual, 2015, table 1-158
    rows = ampacity.protector_rows("bodybuilder_2015")
    first = np.searchsorted(rows.load_a, load_a)
    assert (rows.fuse_a[first], rows.area_mm2[first]) == (fuse_a, area_mm2)


def test_body_builder_loads_are_70_percent_of_the_fuse():
    # The same manual: one row (5 of 7.5 A) is 0.667; p. 225 rounds 17.5 and 10.5 and 7 down further
    rows = ampacity.protector_rows("bodybuilder_2015")
    shares = rows.load_a / rows.fuse_a
    assert (np.abs(shares - 0.70) < 1e-9).sum() == 16
    assert (shares < 0.7001).all()
    for row in table("body_builder_2015_terminal_loads").rows():
        assert row["load_a"] <= 0.70 * row["fuse_a"] + 1e-9
    assert rows.load_a.max() < 141
    with pytest.raises(TableError, match="no wire-and-fuse table"):
        ampacity.protector_rows("vde_0298_4_t11")


def test_assembly_heat_is_current_squared_times_resistance():
    # EN 61439-1 annex H prints current and watts; IEC 60228 class 2 at 70 °C, alpha 0.004, current rounded
    resistances = table("iec_60228_conductors")
    rows = table("en_61439_1_annex_h").rows()
    assert len(rows) == 5
    for row in rows:
        ohm_per_m = resistances.cited("area_mm2", row["area_mm2"], "class2_plain").value / 1000
        watts = row["spaced_a"] ** 2 * ohm_per_m * (1 + 0.004 * 50)
        assert watts == pytest.approx(row["spaced_w_per_m"], rel=0.08)


def test_standard_wall_drops_of_a_towing_wiring_page():
    # The supplier prints the drop over 5 m at rated current
    rows = table("bs_6862_uk").rows()
    for row, volts in zip(rows, (0.845, 0.827, 0.797, 0.823, 0.816, 0.765), strict=True):
        assert row["current_a"] * row["ohm_per_m"] * 5 == pytest.approx(volts, abs=6e-4)


@pytest.mark.parametrize(
    ("name", "column", "reference_c", "max_c"),
    [
        ("vde_0298_4_2013_t17", "factor_30_70", 30, 70),
        ("nec_310_15_b1", "factor_30_60", 30, 60),
        ("nec_310_15_b1", "factor_30_75", 30, 75),
        ("nec_310_15_b1", "factor_30_90", 30, 90),
        ("nec_310_15_b2b", "factor_40_150", 40, 150),
        ("nec_310_15_b2b", "factor_40_200", 40, 200),
        ("iec_60092_ambient", "factor_45_60", 45, 60),
        ("iec_60092_ambient", "factor_45_70", 45, 70),
        ("iec_60092_ambient", "factor_45_85", 45, 85),
        ("iec_60092_ambient", "factor_45_90", 45, 90),
    ],
)
def test_ambient_factors_obey_the_square_root_law(name, column, reference_c, max_c):
    # sqrt((Tmax - Ta)/(Tmax - Tref)), to the printed hundredth; two entries of the 90 °C ship column are cut
    rows = table(name)
    printed = rows.array(column)
    there = ~np.isnan(printed)
    law = np.sqrt((max_c - rows.array("ambient_c")[there]) / (max_c - reference_c))
    np.testing.assert_allclose(printed[there], law, atol=0.0075)
    assert there.sum() >= 4
    assert rows.citation.how == "read"


def test_boat_cable_factor_follows_the_law_too():
    # A Japanese boat wiring manual: times 0.71 at 45 °C for 60 °C cable rated at 30 °C
    assert math.sqrt((60 - 45) / (60 - 30)) == pytest.approx(0.71, abs=0.005)


def test_resistance_factors_of_iec_60228_use_alpha_0_004():
    for row in table("iec_60228_temperature_factors").rows():
        assert 1 / (1 + 0.004 * (row["temperature_c"] - 20)) == pytest.approx(row["factor"], abs=6e-4)


def test_bunched_circuits_follow_a_power_law():
    # DIN VDE 0298-4 table 21: N^-0.323 within 0.01 in all rows but that of 4 circuits, which is 0.011 above
    counts = table("vde_0298_4_2003_t21").array("count")
    np.testing.assert_allclose(factors.group_factor("vde_t21_bunched", counts), counts**-0.323, atol=0.0115)


def test_group_factors_go_up_to_the_next_row():
    # NFPA 70 table 310.15(B)(3)(a): 4 to 6 0.80, 10 to 20 0.50, 41 and above 0.35; VDE t.21 ends at 20
    found = factors.group_factor("nec_adjustment", [1, 3, 4, 10, 20, 21, 400])
    assert found.tolist() == [1, 1, 0.8, 0.5, 0.5, 0.45, 0.35]
    assert factors.group_factor("vde_t21_bunched", [0, 11]).tolist() == [1.0, 0.45]
    assert np.isnan(factors.group_factor("vde_t21_bunched", 21))
    assert factors.conductors_count_as("vde_t21_bunched") == ", each as one of the table's circuits"
    assert factors.conductors_count_as("nec_adjustment") == ""
    assert factors.group_source("mil_std_975").how == "memory"
    with pytest.raises(TableError, match="no grouping table"):
        factors.group_factor("x", 2)


@pytest.mark.parametrize("table_id", factors.GROUPS)
def test_more_members_never_allow_more(table_id):
    found = factors.group_factor(table_id, np.arange(0, 70))
    known = found[~np.isnan(found)]
    assert known.size >= 5
    assert (np.diff(known) <= 0).all()
    assert ((known > 0) & (known <= 1)).all()


def test_remembered_bundle_rule_reproduces_its_rounded_rows():
    # MIL-STD-975 (29 - N)/28, from memory
    printed = table("mil_std_975_bundles")
    np.testing.assert_allclose(
        factors.group_factor("mil_std_975", printed.array("count")), printed.array("factor"), atol=0.006
    )
