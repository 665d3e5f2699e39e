"""Workings of plans with gaps, of devices without tables, of generated plans: no crash, and the same figures."""

from __future__ import annotations

import pytest

from fuseplan.checks import assess
from fuseplan.checks.explain import explain
from fuseplan.limits import names
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from fuseplan.results.address import FigureSpot, Spot, Value, figures, find
from tests.explain.agreeing import agrees
from tests.plans import large_plan, plan_of

GAPS = """
fuseplan = 1
[feed.a]
[earth.e]
[circuit.a]
feed = "a"
earth = "e"
fuse = { kind = "link" }
wire = [{ size = "2.5 mm2" }, { length = "1 m" }, { size = "300 mm2", length = "2 m", insulation = "cotton" }]
earth_wire = [{ length = "1 m" }]
switch = { rating = "5 A", resistance = "10 mohm" }
[[circuit.a.load]]
power = "55 W"
kind = "lamp"
either = "x"
wire = [{ size = "1 mm2", length = "1 m" }]
[[circuit.a.load]]
current = "5 A"
either = "x"
kind = "electronic"
earth_wire = [{ size = "1 mm2", length = "2 m", joint = { resistance = "5 mohm" } }]
standby = "5 mA"
"""
HOT = """
fuseplan = 1
[vehicle]
displacement = "2 l"
[alternator]
curve = [{ speed = "1500 r/min", current = "30 A" }, { speed = "6000 r/min", current = "90 A" }]
fuse = { kind = "mega", rating = "100 A" }
cable = [{ size = "16 mm2", length = "1 m" }]
[battery]
reserve_capacity = "90 min"
cold_crank = "500 A"
[feed.a]
[feed.b]
from = "a"
fuse = { kind = "midi" }
[earth.e]
[zone.hot]
ambient = "300 degC"
[circuit.a]
feed = "b"
earth = "e"
fuse = { kind = "mini", zone = "hot" }
wire = [{ size = "1 mm2", length = "1 m", zone = "hot" }]
[[circuit.a.load]]
power = "55 W"
kind = "lamp"
essential = true
"""
SENSED = """
fuseplan = 1
[vehicle]
system = "12 V"
[zone.bay]
ambient = "60 degC"
[battery]
cold_crank = "500 A"
[alternator]
rated = "90 A"
low_speed = "60 A"
feed = "stud"
earth = "engine"
sense = "battery"
cable = [{ size = "16 mm2", length = "LENGTH" }]
[feed.post]
zone = "bay"
[feed.stud]
from = "post"
wire = [{ size = "25 mm2", length = "1 m" }]
[earth.minus]
[earth.engine]
to = "minus"
switch = { rating = "300 A", resistance = "1 mohm" }
wire = [{ size = "25 mm2", length = "1 m" }]
[circuit.a]
feed = "post"
earth = "minus"
fuse = { kind = "maxi", rating = "40 A" }
wire = [{ size = "6 mm2", length = "1 m" }]
[[circuit.a.load]]
current = "30 A"
kind = "resistive"
"""
PLANS = {
    "sensed": parse_plan(SENSED.replace("LENGTH", "2 m")),
    "sensed, more than is made up for": parse_plan(SENSED.replace("LENGTH", "60 m")),
    "sensed at a feed": parse_plan(SENSED.replace("LENGTH", "2 m").replace(
        'sense = "battery"', 'sense = "battery"\nsense_feed = "stud"')),
    "empty": parse_plan("fuseplan = 1"), "bare": parse_plan("fuseplan = 1\n[circuit.a]\n"), "gaps": parse_plan(GAPS),
    "hot": parse_plan(HOT), "generated": plan_of(large_plan(8, 3)), "generated, larger": plan_of(large_plan(20, 3)),
}


def value(whole: Spot, address: str) -> Value:
    found = find(whole, address)
    assert isinstance(found, FigureSpot)
    return found.value


@pytest.mark.one_in(5)
@pytest.mark.parametrize("limit_set", names())
@pytest.mark.parametrize("plan", [pytest.param(plan, id=name, marks=pytest.mark.rest if "larger" in name else ())
                                  for name, plan in PLANS.items()])
def test_every_figure(plan: Plan, limit_set: str) -> None:
    assessment = assess(plan, limit_set)
    found = list(figures(assessment.whole))
    assert len(found) > 100
    for figure in found:
        working = explain(assessment, figure)
        assert working.steps, figure.address
        if figure.value is not None:
            assert agrees(figure, working.steps[-1].result), figure.address


def test_what_is_not_known_is_no_number() -> None:
    """A wire of no known size has no temperature; a reserve in minutes gives a capacity by the published rules."""
    gaps = assess(PLANS["gaps"]).whole
    assert value(gaps, "circuits.a.segments.1.temperature_c") is None
    assert value(gaps, "circuits.a.segments.1.ampacity_a") is None
    # A public battery page: half the reserve minutes and 16; a maker's bulletin: 0.6 of them (second-hand).
    hot = assess(PLANS["hot"]).whole
    rules = [value(hot, f"power.battery.reserve_conversions.{number}.rule") for number in (0, 1)]
    halved = value(hot, f"power.battery.reserve_conversions.{rules.index('half_plus_16')}.capacity_ah")
    assert halved == pytest.approx(90 / 2 + 16)
    assert value(hot, "circuits.a.segments.0.ampacity_a") == 0.0
    assert value(hot, "circuits.a.fuse.range_a.low") is None


@pytest.mark.parametrize("elsewhere", ["", 'wire = [{ size = "1 mm2", length = "1 m" }]\n'])
def test_no_wire_is_named_for_a_device_that_protects_none(elsewhere: str) -> None:
    """Whether the plan has wires elsewhere or none at all."""
    assessment = assess(parse_plan(f"""
fuseplan = 1
[feed.a]
[feed.b]
from = "a"
fuse = {{ kind = "glass_british" }}
[earth.e]
[earth.f]
to = "e"
{elsewhere}"""))
    words = [step.equation for figure in figures(assessment.whole) if figure.address.startswith("feeds.b.fuse")
             for step in explain(assessment, figure).steps if "this device protects" in step.equation]
    assert words
    assert not [each for each in words if "sets the limit" in each]
