"""A load that cycles counts in the continuous load by its duty, as in the load analysis the limit of 80 % is written
for (FAA AC 43.13-1B; cyclic loads by their duty: A. Ingle, Tech Time, January 2005)."""

from __future__ import annotations

import pytest

from fuseplan.engine.results import Results
from tests.power.plans import condition, solved

PLAN = """
fuseplan = 1
[battery]
cold_crank = "500 A"
[alternator]
rated = "90 A"
[zone.bay]
ambient = "40 degC"
[feed.battery]
[earth.chassis]
[circuit.cycling]
feed = "battery"
fuse = {{ kind = "blade", rating = "30 A" }}
wire = [{{ size = "4 mm2", length = "1 m", zone = "bay" }}]
earth = "chassis"
load = [{{ current = "20 A", at = "14.2 V", kind = "resistive", use = "{use}", duty = {duty}, evidence = "measured" }}]
"""


def _continuous_a(results: Results) -> float:
    return float(results.balance.continuous_a[0, condition(results, "cruise_day")])


@pytest.mark.parametrize("duty", [0.1, 0.5, 1.0])
def test_a_cycling_load_counts_by_its_duty(duty: float) -> None:
    whole = _continuous_a(solved(PLAN.format(use="continuous", duty=1.0)))
    assert _continuous_a(solved(PLAN.format(use="continuous", duty=duty))) == pytest.approx(duty * whole, rel=0.03)


def test_a_load_switched_on_for_seconds_is_not_continuous() -> None:
    assert _continuous_a(solved(PLAN.format(use="momentary", duty=1.0))) == 0.0
