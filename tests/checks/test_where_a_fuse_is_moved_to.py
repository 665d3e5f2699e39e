"""A fuse too far along its wire is moved to where that wire starts: at the battery, or at the bus it comes from."""

from __future__ import annotations

import tomllib

import pytest

from fuseplan.checks.assessment import assess
from tests.checks.check_plans import failing
from tests.plans import plan_of


@pytest.mark.parametrize(("on_bus", "named"), [(False, "the battery end"), (True, "where its wire starts")])
@pytest.mark.parametrize("of_a_feed", [False, True])
def test_the_fix_says_where_the_wire_starts(on_bus: bool, of_a_feed: bool, named: str) -> None:
    data = tomllib.loads(failing("fuse-far-from-battery"))
    data["feed"]["stud"] = {"from": "battery_post", "zone": "cabin"}
    heater, start = data["circuit"]["heater"], "stud" if on_bus else "battery_post"
    heater["feed"] = start
    if of_a_feed:
        data["feed"]["bus_far"] = {"from": start, "zone": "cabin", "fuse": heater.pop("fuse"), "wire": heater["wire"]}
        heater["feed"] = "bus_far"
    finding, = (each for each in assess(plan_of(data)).findings if each.check == "fuse-far-from-battery")
    assert finding.fix.startswith(f"move the fuse to {named}, or cover")
