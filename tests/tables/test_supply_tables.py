"""Alternators and batteries against labels, manuals and second printings."""

import numpy as np
import pytest

from fuseplan.engine.alternator import of_currents
from fuseplan.errors import TableError
from fuseplan.formulas.alternator import regulated_voltage
from fuseplan.limits import limit_set
from fuseplan.tables import alternators, batteries
from fuseplan.tables.load import table


@pytest.mark.parametrize(
    ("text", "system_v", "low_a", "rated_a", "two_thirds_rpm"),
    [
        ("50/120A 13.5V", 13.5, 50, 120, None),  # SAE J56 label form
        ("14V 50/120A", 14, 50, 120, None),
        ("14V 35A 20", 14, None, 35, 2000),  # period code, a car maker's workshop manual, 1972
        ("14V 45A 22", 14, None, 45, 2200),
        ("90 A", None, None, 90, None),
    ],
)
def test_labels(text, system_v, low_a, rated_a, two_thirds_rpm):
    label = alternators.parse_label(text)
    assert (label.system_v, label.low_a) == (system_v, low_a)
    assert (label.rated_a, label.two_thirds_rpm) == (rated_a, two_thirds_rpm)


@pytest.mark.parametrize("text", ["", "ninety", "120/50A", "14V", "12 kW"])
def test_labels_not_understood(text):
    with pytest.raises(TableError, match="alternator label"):
        alternators.parse_label(text)


def output_a(rotor_rpm, rated_a, low_a=None):
    """Cold output at rotor speeds, as the engine takes it from the two currents of a plate."""
    machine = of_currents(rated_a, low_a)
    return np.interp(rotor_rpm, machine.speeds, machine.currents)


def test_output_passes_through_the_label():
    # SAE J56: 50 A at 1500 r/min, 120 A at 6000 r/min
    assert output_a([900, 1500, 6000, 12000], 120, 50).tolist() == [0, 50, 120, 120]
    grid = np.linspace(0, 8000, 200)
    assert (np.diff(output_a(grid, 90, 60)) >= 0).all()
    assert (np.diff(output_a(grid, 90)) >= 0).all()


def test_default_curve_promises_no_more_than_any_point_read():
    # A marine engine maker, a T1 repair instruction, period codes, a 50/120 A label; 6000 r/min is by definition
    points = [row for row in table("alternator_output_points").rows()
              if row["state"] != "hot" and row["rotor_rpm"] < 6000]
    assert len(points) == 7
    for row in points:
        assert output_a(row["rotor_rpm"], 1.0) <= row["fraction"] + 0.004


def test_hot_factors_come_from_the_points_read():
    # A marine engine maker: 16 A hot and 24 A cold at 1300 r/min, 41 and 50 A at 2500 r/min
    assert alternators.hot_factor([800, 1300, 2500, 9000]).tolist() == [0.67, 0.67, 0.82, 0.82]
    points = {(row["rotor_rpm"], row["state"]): row["current_a"] for row in table("alternator_output_points").rows()}
    for rpm in (1300, 2500):
        ratio = points[rpm, "hot"] / points[rpm, "cold"]
        assert ratio == pytest.approx(float(alternators.hot_factor(rpm)), abs=0.005)
    assert alternators.hot_source().how == "derived"


def test_regulator_rule_stays_inside_published_ranges():
    # A car maker's workshop manual, 2018: -20 to 80 °C
    rows = [row for row in table("regulator_voltages").rows() if row["unit"] == "compact car"]
    assert len(rows) == 4
    base, slope = alternators.regulator_20_c_v().value, alternators.regulator_slope().value
    for row in rows:
        assert row["min_v"] <= regulated_voltage(base, slope, row["temperature_c"]) <= row["max_v"]
    assert slope == pytest.approx(-0.010)


def test_alternator_cable_limits_agree():
    # 0.3 V at 30 A and 0.2 V at 20 A in two workshop manuals
    supply = [row for row in table("alternator_cable_limits").rows() if row["side"] == "supply"]
    assert len(supply) == 2
    for row in supply:
        assert row["drop_v"] / row["current_a"] == pytest.approx(alternators.alternator_cable_limit_ohm().value)


def test_efficiency_chain_and_share():
    # Remy white paper: 21 % over all; AC 43.13-1B par. 11-35: 80 %
    chain = np.prod(table("alternator_efficiency").array("efficiency"))
    assert chain == pytest.approx(0.21, abs=0.006)
    assert alternators.efficiency().value == 0.55
    assert limit_set("road").alternator.continuous_share == 0.80


def test_state_of_charge_agrees_with_second_printing():
    # Discover Battery article 120 against the table in 5 % steps
    second = table("battery_open_circuit_voltage_second")
    np.testing.assert_allclose(
        batteries.ocv_from_soc(second.array("soc_percent") / 100), second.array("ocv_v"), atol=0.011
    )
    assert np.isnan(batteries.ocv_from_soc(1.2))
    assert batteries.ocv_source().how == "read"


def test_cold_crank_definitions():
    # Banner: EN 10 s to 7.5 V, SAE 30 s to 7.2 V, IEC 60 s to 8.4 V, all at -18 °C
    tests = batteries.cold_crank_tests()
    assert {name: (each.duration_s, each.end_v) for name, each in tests.items()} == {
        "en": (10, 7.5), "sae": (30, 7.2), "din": (30, 9.0), "iec": (60, 8.4),
    }
    assert {each.temperature_c for each in tests.values()} == {-18}
    assert batteries.cold_crank_test("en").words == "EN 50342-1"
    with pytest.raises(TableError, match="en, sae, din, iec"):
        batteries.cold_crank_test("jis")


def test_reserve_capacity_rules_differ():
    # RC 120: 76 Ah by half plus 16, 72 Ah by six tenths
    found = {name: cited.value for name, cited in batteries.reserve_capacity_ah(120).items()}
    assert found == {"half_plus_16": 76, "six_tenths": 72}


def test_days_to_no_start():
    # A car maker's bulletin: RC 90 gives 21.6 Ah before a no-start, 18 days at 50 mA
    lost_ah = batteries.no_start_share().value * batteries.reserve_capacity_ah(90)["six_tenths"].value
    assert lost_ah == pytest.approx(21.6)
    assert lost_ah / 0.050 / 24 == pytest.approx(18.0)


def test_peukert_self_discharge_and_reserve():
    # Xantrex Link manuals; Energy Unlimited 2.5.10; Garmin GI 275 manual
    assert batteries.peukert_default("liquid").value == 1.25
    assert batteries.self_discharge_per_month("antimony starter", 20).value == 0.06
    assert batteries.self_discharge_per_month("antimony starter", 15).value == 0.06
    assert batteries.self_discharge_per_month("gel", 10).value == 0.01
    assert batteries.usable_share().value == 0.75
    with pytest.raises(TableError, match="30 °C"):
        batteries.self_discharge_per_month("gel", 30)
    with pytest.raises(TableError, match="liquid, agm"):
        batteries.peukert_default("lithium")


def test_freezing_takes_the_safer_row():
    # A battery dealer's page: 25 % -15.6 °C, 50 % -36 °C
    assert batteries.freezing_c(0.5).value == -36
    assert batteries.freezing_c(0.49).value == -15.6
    assert batteries.freezing_c(0.2) is None


def test_guidelines_that_disagree_are_all_kept():
    assert len(batteries.drain_guidelines().rows()) >= 6


def test_the_hot_factor_has_no_step_and_never_falls_with_the_speed():
    speeds = np.arange(500.0, 12000.0, 1.0)
    factors = alternators.hot_factor(speeds)
    steps = np.diff(factors)
    assert (steps >= 0).all()
    assert steps.max() <= (0.82 - 0.67) / (2500 - 1300) + 1e-9
