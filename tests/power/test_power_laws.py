"""Laws of the power figures, whatever the numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuseplan.engine.alternator import machine_of
from fuseplan.engine.battery import facts_of
from fuseplan.engine.computing import compute
from fuseplan.engine.results import Results
from fuseplan.engine.trip import drive
from fuseplan.formulas.alternator import rotor_speed
from fuseplan.limits import limit_set
from fuseplan.plan.conditions import built_in_trips
from fuseplan.plan.model import Alternator, Battery, Plan
from tests.power.plans import WET_IDLE, changed, condition, deficit, solved

PLAN = """
fuseplan = 1
[battery]
capacity = "60 Ah"
cold_crank = "540 A"
[alternator]
rated = "{rated} A"
pulley_ratio = {ratio}
[feed.post]
[earth.negative]
[circuit.loads]
feed = "post"
earth = "negative"
[[circuit.loads.load]]
current = "{current} A"
kind = "{kind}"
duty = {duty}
when = ["engine"]
evidence = "plate"
"""


def plan(current: float, rated: float = 60.0, ratio: float = 2.0, kind: str = "resistive", duty: float = 1.0
         ) -> Results:
    return solved(PLAN.format(rated=rated, ratio=ratio, current=round(current, 3), kind=kind, duty=round(duty, 3)))


@settings(max_examples=25, deadline=None)
@given(st.floats(0.5, 60.0), st.floats(0.1, 40.0), st.sampled_from(["resistive", "lamp", "motor", "electronic"]),
       st.floats(0.1, 1.0))
def test_more_load_never_charges_the_battery(current: float, more: float, kind: str, duty: float) -> None:
    less, greater = plan(current, kind=kind, duty=duty), plan(current + more, kind=kind, duty=duty)
    assert (greater.balance.battery_a <= less.balance.battery_a + 1e-3).all()
    assert (greater.balance.bus_v <= less.balance.bus_v + 1e-4).all()


@settings(max_examples=40, deadline=None)
@given(st.floats(20.0, 200.0), st.floats(1.0, 3.5), st.floats(0.0, 2.0), st.sampled_from(["rated", "two", "code"]))
def test_a_faster_pulley_never_delivers_less_below_the_top_speed(rated: float, ratio: float, more: float, form: str
                                                                 ) -> None:
    keys = {"rated": {"rated": f"{rated} A"}, "two": {"rated": f"{rated} A", "low_speed": f"{0.4 * rated} A"},
            "code": {"label": f"14V {rated:.0f}A 20"}}[form]
    machine = machine_of(Alternator.model_validate(keys))
    engine = np.linspace(300.0, 12000.0 / (ratio + more), 200)
    slow, fast = (machine.hot_a(np.asarray(rotor_speed(engine, each))) for each in (ratio, ratio + more))
    assert (fast >= slow - 1e-9).all()
    assert (machine.hot_a(engine) <= machine.cold_a(engine) + 1e-9).all()


def test_average_balance_is_kirchhoffs() -> None:
    """Out of the battery plus out of the alternator is what the loads draw, in every condition at both bounds."""
    results = deficit()
    average = results.balance.average
    real = np.arange(results.network.consumers.count) != results.network.alternator
    demand = average.consumer_a[:, real].sum(axis=1)
    assert average.battery_a + average.alternator_a == pytest.approx(demand, abs=1e-6)


@pytest.mark.parametrize("name", sorted(built_in_trips()))
@pytest.mark.parametrize("efficiency", [1.0, 0.85])
def test_in_minus_out_minus_lost_is_the_change_of_charge(name: str, efficiency: float) -> None:
    results = changed('capacity = "60 Ah"', 'capacity = "60 Ah"\nstate_of_charge = 0.9')
    facts = facts_of(results.plan.battery, 12.0)
    trip = drive(results.network, results.source, results.fuse_ohm, facts, built_in_trips()[name], name, efficiency)
    assert trip is not None
    change = (float(trip.charge[-1]) - 0.9) * facts.capacity_ah
    assert trip.put_in_ah - trip.taken_out_ah - trip.lost_ah == pytest.approx(change, abs=1e-9)
    assert trip.lost_ah >= -1e-12
    assert ((trip.charge >= -1e-12) & (trip.charge <= 1.0 + 1e-12)).all()


def test_charge_follows_the_current_where_nothing_is_lost() -> None:
    """With no charging loss and a Peukert exponent of 1 the integral of the current is the change of charge; the
    trapezium rule over the stored curve is a second, cruder integral."""
    results = changed('capacity = "60 Ah"', 'capacity = "60 Ah"\npeukert = 1.0\nstate_of_charge = 0.8')
    facts = facts_of(results.plan.battery, 12.0)
    driven = built_in_trips()["wet_night_traffic"]
    trip = drive(results.network, results.source, results.fuse_ohm, facts, driven, "x", 1.0)
    assert trip is not None
    assert trip.lost_ah == pytest.approx(0.0, abs=1e-12)
    total = 0.0
    for leg in range(len(trip.legs)):
        inside = trip.leg_of == leg
        total += float(np.trapezoid(trip.battery_a[inside], trip.time_s[inside])) / 3600.0
    assert total / facts.capacity_ah == pytest.approx(float(trip.charge[-1]) - 0.8, abs=2e-3)


def test_a_trip_without_an_alternator_only_discharges() -> None:
    results = changed('label = "14V 55A 20"', 'rated = "1 A"\nlow_speed = "0 A"')
    trip = results.power.trip("wet_night_traffic")
    assert trip is not None
    assert (np.diff(trip.charge) <= 1e-12).all()
    assert trip.put_in_ah == 0.0
    assert trip.starts is False


@settings(max_examples=30, deadline=None)
@given(st.floats(0.5, 100.0), st.floats(1.0, 1.5), st.floats(5.0, 200.0))
def test_more_current_is_never_longer(current: float, exponent: float, capacity: float) -> None:
    facts = facts_of(Battery.model_validate({"capacity": f"{capacity} Ah", "peukert": exponent}), 12.0)
    assert facts.flat_s(current * 1.1) < facts.flat_s(current)
    assert facts.no_start_s(current) < facts.flat_s(current)
    assert math.isinf(facts.flat_s(0.0))


def test_break_even_is_where_the_balance_turns() -> None:
    """The plan assessed at the speed found has no deficit, one r/min below it has."""
    results = deficit()
    index = condition(results, WET_IDLE)
    curve = results.power.curve(index)
    assert curve is not None
    assert curve.break_even_rpm == pytest.approx(round(curve.break_even_rpm))
    for speed, discharged in ((curve.break_even_rpm, False), (curve.break_even_rpm - 1, True)):
        own = f"""[condition.{WET_IDLE}]
state = "running"
engine = "{speed:.0f} r/min"
when = ["engine", "hot", "night", "rain", "demist", "cabin", "braking"]
[feed.post]"""
        at = changed("[feed.post]", own)
        assert bool(at.balance.balance_a[0, condition(at, WET_IDLE)] < 0) is discharged
    assert curve.regulated_rpm > curve.break_even_rpm
    reached = curve.engine_rpm >= curve.regulated_rpm
    assert reached.any()
    assert curve.bus_v[reached] == pytest.approx(np.full(reached.sum(), curve.bus_v[-1]), abs=1e-3)


def test_table_sums_are_the_demands() -> None:
    results = deficit()
    count = len(results.network.conditions)
    table = results.power.loads
    assert len(table.lines) >= len(results.plan.circuit)
    for place, wanted in ((0, results.balance.peak_a), (3, results.balance.demand_a)):
        total = sum(line.current_a[place] for line in table.lines)
        assert total == pytest.approx(wanted[0, :count], abs=2e-3)
    for index in range(count):
        assert sum(each.average_a for each in results.power.details(index)) == pytest.approx(
            float(results.balance.demand_a[0, index]), abs=2e-3)
    for line in table.lines:
        assert (line.current_a[0] >= line.current_a[1] - 1e-12).all()
        assert (line.current_a[1] >= line.current_a[2] - 1e-12).all()


@pytest.mark.parametrize("current", [5.0, 25.0, 60.0])
@pytest.mark.parametrize("kind", ["resistive", "lamp", "electronic"])
def test_the_quick_reserve_is_never_longer_than_the_solved_one(current: float, kind: str) -> None:
    text = PLAN.format(rated=60, ratio=2.0, current=current, kind=kind, duty=0.8) + "essential = true\n"
    power = solved(text).power
    assert power.reserves
    assert power.least_reserve_s <= min(each.total_s for each in power.reserves) + 1e-6


@pytest.mark.parametrize(("scale", "size"), [(3.0, "0.5 mm2"), (15.0, "2.5 mm2"), (60.0, "10 mm2")])
def test_what_the_solution_leaves_open_is_no_deficit(scale: float, size: str) -> None:
    """Between the demand at the battery's voltage and that at the regulator voltage the loads take just what it gives,
    at a voltage between the two (Ohm's law): the battery neither gives nor takes, however large the car."""
    kinds = ["resistive", "lamp", "motor", "coil", "resistive", "lamp", "motor"] * 2
    for share in np.linspace(0.85, 0.9, 25).tolist():
        output_a = 14.0 * scale * share
        results = compute(Plan.model_validate({
            "fuseplan": 1,
            "battery": {"capacity": "60 Ah", "open_circuit": "12.6 V", "internal_resistance": "9 mohm"},
            "alternator": {"curve": [{"speed": "800 r/min", "current": f"{output_a} A"}], "regulator_voltage": "14.2 V",
                           "cable": [{"size": "95 mm2", "length": "1 m"}]},
            "feed": {"post": {}}, "earth": {"negative": {}},
            "circuit": {f"number_{number}": {
                "feed": "post", "earth": "negative", "unfused": "a test", "wire": [{"size": size, "length": "8 m"}],
                "load": [{"current": f"{scale} A", "at": "14.2 V", "kind": kind, "when": ["engine"],
                          "evidence": "measured"}]}
                for number, kind in enumerate(kinds)},
        }), limit_set("road"))
        running = results.source.running
        assert running.sum() > 3
        between = results.balance.bus_v[0, running]
        assert ((between > 12.6) & (between < 14.2)).all()
        assert (results.balance.battery_a[0, running] == 0).all()
        assert (results.balance.balance_a[0, running] == 0).all()
