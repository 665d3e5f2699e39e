"""Power figures against published examples, each named beside its value."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.alternator import machine_of
from fuseplan.engine.battery import facts_of, reserve
from fuseplan.formulas.alternator import shaft_power
from fuseplan.formulas.endurance import endurance
from fuseplan.plan.model import Alternator, Battery
from fuseplan.planfile.read import parse_plan
from fuseplan.tables import alternators
from fuseplan.tables.load import table
from tests.formulas.cross_checks.battery import peukert_exponent, peukert_one_ampere
from tests.power.plans import condition, deficit, solved


def alternator(**keys: object) -> Alternator:
    return Alternator.model_validate(keys)


def battery(**keys: object) -> Battery:
    return Battery.model_validate(keys)


# --- alternator ------------------------------------------------------------------------------------------------------

def test_two_current_label() -> None:
    """SAE J56 JUN1999: 50 A at 1500 r/min and 120 A at 6000 r/min of the rotor for the label 50/120A 13.5V."""
    machine = machine_of(alternator(label="50/120A 13.5V"))
    assert machine.cold_a([1500.0, 6000.0]) == pytest.approx([50.0, 120.0])
    assert machine.rated_a == 120.0


@pytest.mark.parametrize(("label", "rpm", "amperes"), [("14V 35A 20", 2000, 23.3), ("14V 55A 20", 2000, 36.7),
                                                       ("14V 45A 22", 2200, 30.0)])
def test_period_code(label: str, rpm: float, amperes: float) -> None:
    """A car maker's workshop manual, November 1972: the last number is the speed of two thirds of the maximum."""
    machine = machine_of(alternator(label=label))
    assert float(machine.cold_a(rpm)) == pytest.approx(amperes, abs=0.05)


def test_single_figure_follows_the_published_shape() -> None:
    """Period code shape: nothing at 1000 r/min, 42 % at 1500 (label 50/120), all at 6000."""
    machine = machine_of(alternator(rated="100 A"))
    assert machine.cold_a([1000.0, 1500.0, 6000.0]) == pytest.approx([0.0, 42.0, 100.0])
    assert "one current only" in machine.basis


def test_hot_output() -> None:
    """A marine engine maker's technical data: 16 A hot of 24 A cold at 1300 r/min, 41 of 50 A at 2500 r/min."""
    machine = machine_of(alternator(rated="100 A"))
    ratio = machine.hot_a([1300.0, 2500.0]) / machine.cold_a([1300.0, 2500.0])
    assert ratio == pytest.approx([16 / 24, 41 / 50], abs=0.005)


def test_measured_curve_wins_and_is_taken_as_hot() -> None:
    machine = machine_of(alternator(label="50/120A", curve=[{"speed": "1500 rpm", "current": "30 A"},
                                                            {"speed": "5000 rpm", "current": "88 A"}]))
    assert machine.hot_a([1500.0, 3250.0, 5000.0]) == pytest.approx([30.0, 59.0, 88.0])
    assert machine.hot_a([1000.0]) == pytest.approx([0.0])


def test_fuel_chain_and_shaft() -> None:
    """Remy white paper: 40 % engine, 98 % belt, 55 % alternator make 21 % (0.2156); textbook: 10 A at 12 V and 80 %
    take 0.20 hp."""
    assert deficit().power.alternator.fuel_share == pytest.approx(0.2156)
    assert shaft_power(12.0, 10.0, 0.80) / 745.7 == pytest.approx(0.20, abs=0.005)


def test_shares_of_the_rated_output() -> None:
    """AC 43.13-1B par. 11-35: 49 A continuous on 60 A is above its 48 A; avionics manual 190-00734-17: 95 %."""
    results = solved("""
fuseplan = 1
[battery]
capacity = "60 Ah"
[alternator]
rated = "60 A"
pulley_ratio = 2.5
[feed.post]
[earth.negative]
[circuit.heater]
feed = "post"
earth = "negative"
earth_wire = [{ size = "95 mm2", length = "1 mm" }]
[[circuit.heater.load]]
current = "49 A"
at = "14.2 V"
kind = "resistive"
when = ["engine"]
evidence = "measured"
""")
    found = {finding.check: finding for finding in assess(results.plan).findings}
    finding = found["alternator-too-small"]
    assert finding.limit == pytest.approx(48.0)
    assert finding.figure == pytest.approx(49.0, abs=0.1)
    assert "alternator-peak-overload" not in found
    assert results.limit_set.alternator.peak_share * 60.0 == pytest.approx(57.0)


def test_regulator_slope_and_alternator_cable_limit() -> None:
    """Marine engine maker: -0.1 V per 10 K; workshop manuals: 0.3 V at 30 A and 0.2 V at 20 A are the same 10 mΩ."""
    assert alternators.regulator_slope().value * 10 == pytest.approx(-0.1)
    rows = [row for row in table("alternator_cable_limits").rows() if row["side"] == "supply"]
    assert len(rows) == 2
    for row in rows:
        assert float(str(row["drop_v"])) / float(str(row["current_a"])) == pytest.approx(0.010)
    assert alternators.alternator_cable_limit_ohm().value == pytest.approx(0.010)


# --- battery ---------------------------------------------------------------------------------------------------------

def test_battery_endurance_sheet() -> None:
    """Installation manuals 190-02246-10 p. 3-38 and 190-01007-A3 p. 3-45: 35 Ah, 43.5 A for 5 min, 48.1 A for 10 min
    kept back, 34.0 A: 1575 A·min, 25.8 min, 40.8 min in all."""
    third_min = float(endurance(35.0, (43.5 * 5 + 48.1 * 10) / 60, 34.0)) * 60
    assert third_min == pytest.approx(25.8, abs=0.05)
    assert third_min + 15 == pytest.approx(40.8, abs=0.05)
    found = reserve(facts_of(battery(capacity="35 Ah", peukert=1.0), 12.0), 0, 43.5, 34.0)
    assert found.usable_ah * 60 == pytest.approx(1575)
    # The sheet counts plain ampere hours, as an exponent of 1 does. The same sum without the
    # landing kept back: 5 + (1575 - 217.5) / 34.
    assert found.total_s / 60 == pytest.approx(5 + (1575 - 217.5) / 34.0)


def test_reserve_spent_before_it_is_noticed() -> None:
    found = reserve(facts_of(battery(capacity="4 Ah", peukert=1.0), 12.0), 0, 60.0, 20.0)
    assert found.total_s / 60 == pytest.approx(3.0)


def test_net_load_change() -> None:
    """Installation manual 190-01007-A3 figure 3-14: 1.4, 0.015, 0.5, 2.5 A out, 1.2, 0.21, 0.3, 0.40 A in: -2.305 A."""
    def demand(*currents: float) -> float:
        loads = "".join(f"""
[[circuit.panel.load]]
current = "{current} A"
at = "12.6 V"
kind = "motor"
when = ["hazard"]
evidence = "measured"
""" for current in currents)
        results = solved(f"""
fuseplan = 1
[battery]
capacity = "60 Ah"
open_circuit = "12.6 V"
internal_resistance = "0.5 mohm"
[feed.post]
[earth.negative]
[circuit.panel]
feed = "post"
earth = "negative"
earth_wire = [{{ size = "95 mm2", length = "1 mm" }}]
{loads}""")
        return float(results.balance.demand_a[0, condition(results, "hazard")])

    assert demand(1.2, 0.21, 0.3, 0.40) - demand(1.4, 0.015, 0.5, 2.5) == pytest.approx(-2.305, abs=1e-3)


def test_peukert_in_the_20_hour_form() -> None:
    """Battery monitor manual BMV-501 p. 8: 100 Ah and 75 Ah in 5 h give 1.26; 200 Ah and 20 A for 8.5 h give 1.23."""
    first = float(peukert_exponent(5.0, 20.0, 15.0, 5.0))
    second = float(peukert_exponent(10.0, 20.0, 20.0, 8.5))
    assert (first, second) == (pytest.approx(1.26, abs=0.005), pytest.approx(1.23, abs=0.005))
    for ah, exponent, current, hours in ((100, first, 15.0, 5.0), (200, second, 20.0, 8.5)):
        facts = facts_of(battery(capacity=f"{ah} Ah", peukert=exponent), 12.0)
        assert facts.flat_s(current) / 3600 == pytest.approx(hours, abs=1e-6)


def test_the_one_ampere_form_is_never_mixed_in() -> None:
    """An article's 100 Ah, 1.2, 5 A give 14.5 h from the one-ampere capacity; a 20-hour capacity lasts 20 h at 5 A by
    its definition, and below that current takes no credit."""
    assert float(peukert_one_ampere(100.0, 5.0, 1.2)) == pytest.approx(14.5, abs=0.05)
    facts = facts_of(battery(capacity="100 Ah", peukert=1.2), 12.0)
    assert facts.flat_s(5.0) / 3600 == pytest.approx(20.0)
    assert facts.flat_s(2.5) / 3600 == pytest.approx(40.0)


def test_reserve_capacity_conversions() -> None:
    """Published conversions of 120 min: 76 Ah (RC/2 + 16) and 72 Ah (0.6 RC); the lower is used, both are shown."""
    facts = facts_of(battery(reserve_capacity="120 min"), 12.0)
    assert sorted(each.value for each in facts.reserve_conversions_ah.values()) == pytest.approx([72.0, 76.0])
    assert facts.capacity_ah == pytest.approx(72.0)


def test_state_of_charge_by_voltage() -> None:
    """Discover Battery article 120, a second printing: 12.65, 12.45, 12.24, 12.06, 11.89 V at 100 to 0 %."""
    facts = facts_of(battery(capacity="60 Ah"), 12.0)
    assert facts.open_v_at(np.array([1.0, 0.75, 0.5, 0.25, 0.0])) == pytest.approx(
        [12.65, 12.45, 12.24, 12.06, 11.89], abs=0.011)


@pytest.mark.parametrize(("reserve_min", "days"), [(90, 18.0), (100, 20.0)])
def test_days_to_a_no_start(reserve_min: int, days: float) -> None:
    """A car maker's bulletin: 0.6 RC available, no start after 40 %; RC 90 and 100 at 50 mA: 18.0 and 20.0 days."""
    results = solved(f"""
fuseplan = 1
[battery]
reserve_capacity = "{reserve_min} min"
[feed.post]
[earth.negative]
[circuit.clock]
feed = "post"
earth = "negative"
earth_wire = [{{ size = "95 mm2", length = "1 mm" }}]
[[circuit.clock.load]]
current = "1 A"
kind = "electronic"
when = ["engine"]
standby = "50 mA"
evidence = "measured"
""")
    standing = results.power.standing
    assert standing.drain_a == pytest.approx(0.050)
    assert standing.days == pytest.approx(days)
    assert standing.days_with_self_discharge < standing.days


# --- cranking --------------------------------------------------------------------------------------------------------

STARTER = """
fuseplan = 1
[battery]
capacity = "60 Ah"
open_circuit = "12 V"
internal_resistance = "10 mohm"
[feed.post]
[earth.negative]
[earth.engine]
to = "negative"
engine = true
resistance = "{extra} mohm"
[circuit.starter]
feed = "post"
role = "starter"
earth = "engine"
earth_wire = [{{ size = "95 mm2", length = "1 mm" }}]
drop_class = "starter_main"
[[circuit.starter.load]]
name = "Starter"
current = "200 A"
at = "10 V"
kind = "resistive"
use = "momentary"
when = ["crank"]
evidence = "measured"
"""


@pytest.mark.parametrize(("extra", "current", "volts", "watts"), [(0, 200.0, 10.0, 2000.0), (90, 80.0, 4.00, 320.0)])
def test_starter_sound_and_corroded(extra: int, current: float, volts: float, watts: float) -> None:
    """OpenStax College Physics: 12.0 V, 0.0100 ohm, motor 0.0500 ohm: 200 A, 10.0 V, 2000 W; with 0.0900 ohm of
    corrosion 80 A, 4.00 V, 320 W. The exercise takes the motor as a plain resistance."""
    results = solved(STARTER.format(extra=extra))
    cranking = results.power.cranking
    assert float(cranking.current_a[0]) == pytest.approx(current, rel=1e-4)
    assert float(cranking.starter_v[0]) == pytest.approx(volts, rel=1e-4)
    assert float(cranking.starter_w[0]) == pytest.approx(watts, rel=1e-4)
    found = [each for each in assess(results.plan).findings
             if each.check == "low-cranking-voltage" and not each.measure]
    assert bool(found) == bool(extra)
    if found:
        assert found[0].subject == "engine"
        assert found[0].figure == pytest.approx(7.2, rel=1e-3)


def test_terminal_voltage() -> None:
    """A textbook: 12 V, 0.012 ohm, 100 A: 10.8 V at the posts."""
    text = STARTER.format(extra=0).replace('"10 mohm"', '"12 mohm"').replace(
        'current = "200 A"\nat = "10 V"', 'current = "100 A"\nat = "10.8 V"')
    assert float(solved(text).power.cranking.battery_v[0]) == pytest.approx(10.8, abs=1e-3)


def test_starter_by_engine_size() -> None:
    """A meter maker's manual p. 45: 60 A a litre within 25 %: 2.0 litres, 150 A at the upper end; at 12.0 V and 10 mΩ
    that leaves 10.5 V."""
    source = STARTER.format(extra=0).split("[circuit")[0].replace("fuseplan = 1\n", "")
    text = f'fuseplan = 1\n[vehicle]\ndisplacement = "2.0 litre"\n{source}'
    cranking = solved(text).power.cranking
    assert float(cranking.current_a[0]) == pytest.approx(150.0)
    assert float(cranking.battery_v[0]) == pytest.approx(10.5)
    assert cranking.starter is None


def test_no_starter_no_size_nothing_known() -> None:
    text = STARTER.format(extra=0).split("[circuit")[0]
    cranking = solved(text).power.cranking
    assert not cranking.known
    assert math.isnan(float(cranking.battery_v[0]))
    assert assess(parse_plan(text)).exit_status in (0, 1)


@pytest.mark.parametrize(("system_v", "ohm"), [(6.0, 0.005), (12.0, 0.010), (24.0, 0.020)])
def test_the_limit_of_the_alternator_cable_is_in_proportion_to_the_system_voltage(system_v: float, ohm: float) -> None:
    """0.3 V at 30 A: a car maker's workshop manual of 2018, for 12 V; the proportion is derived."""
    found = alternators.alternator_cable_limit_ohm(system_v)
    assert found.value == pytest.approx(ohm)
    assert ("scaled" in found.source.line()) == (system_v != 12.0)


@pytest.mark.parametrize(("rated_a", "ohm"), [(16.0, 0.0125), (20.0, 0.010), (28.0, 0.010), (90.0, 0.010)])
def test_a_machine_that_gives_less_than_the_test_asks_for_may_lose_the_same_drop(rated_a: float, ohm: float) -> None:
    """0.2 V at 20 A, the smaller of the two workshop tests: what gives less cannot be tested at more, and 0.2 V is what
    it may lose."""
    assert alternators.alternator_cable_limit_ohm(12.0, rated_a).value == pytest.approx(ohm)
