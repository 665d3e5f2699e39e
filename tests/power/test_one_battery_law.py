"""Reserve, time to flat, time to a no-start and trips discharge a battery by one law; charge put in counts in ampere
hours."""

from __future__ import annotations

import pytest

from fuseplan.engine.battery import CHARGE_EFFICIENCY, facts_of, reserve
from fuseplan.plan.model import Battery
from tests.power.plans import solved

PLAN = """
fuseplan = 1
[battery]
capacity = "60 Ah"
internal_resistance = "5 mohm"
state_of_charge = {charge}
[alternator]
rated = "90 A"
[feed.battery]
[earth.chassis]
[circuit.lamp]
feed = "battery"
fuse = {{ kind = "blade", rating = "30 A" }}
earth = "chassis"
[[circuit.lamp.load]]
name = "Steady load"
power = "{power} W"
at = "12 V"
kind = "resistive"
when = ["{when}"]
evidence = "measured"
[trip.stand]
leg = [{{ condition = "hazard", duration = "{duration}" }}]
[trip.drive]
leg = [{{ condition = "cruise_day", duration = "{duration}" }}]
"""



@pytest.mark.parametrize("current", [1.0, 3.0, 10.0, 25.0, 60.0])
def test_the_reserve_ends_when_the_same_current_has_taken_the_share_counted_on(current: float) -> None:
    facts = facts_of(Battery.model_validate({"capacity": "60 Ah"}), 12.0)
    # 75 % of the capacity: avionics installation manual 190-02246-10, p. 3-38.
    assert reserve(facts, 0, current, current).total_s == pytest.approx(0.75 * facts.flat_s(current))
    # 40 % before a no-start: a car maker's bulletin on standing drain.
    assert facts.no_start_s(current) == pytest.approx(0.4 * facts.flat_s(current))


@pytest.mark.parametrize(("power", "duration"), [(30, "30 s"), (120, "30 s"), (120, "30 min"), (300, "30 min")])
def test_a_trip_discharges_as_the_reserve_does(power: int, duration: str) -> None:
    results = solved(PLAN.format(charge=1.0, power=power, when="hazard", duration=duration))
    trip = results.power.trip("stand")
    assert trip is not None
    facts = results.power.battery
    hours = float(trip.time_s[-1]) / 3600.0
    mean_a = trip.taken_out_ah / hours
    assert (1.0 - float(trip.charge[-1])) * 60.0 == pytest.approx(float(facts.taken_a(mean_a)) * hours, rel=0.01)


@pytest.mark.parametrize("charge", [0.2, 0.5, 0.7])
def test_charge_put_in_counts_in_ampere_hours(charge: float) -> None:
    trip = solved(PLAN.format(charge=charge, power=12, when="day", duration="30 min")).power.trip("drive")
    assert trip is not None
    assert trip.put_in_ah > 1.0
    assert (float(trip.charge[-1]) - charge) * 60.0 == pytest.approx(CHARGE_EFFICIENCY * trip.put_in_ah)
