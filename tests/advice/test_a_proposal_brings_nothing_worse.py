"""What a proposal fits leaves nothing worse behind than what it is fitted for."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from tests.advice.worlds import BASE


def weak_bus(battery: str, load: str) -> Plan:
    """Four loads behind a bus fuse that blows at 3.5 times its rating, on a battery of some resistance."""
    circuits = "".join(f"""
[circuit.lamps_{number}]
feed = "bus"
fuse = {{ kind = "maxi", rating = "40 A", distance = "100 mm" }}
wire = [{{ size = "10 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "battery_negative"
[[circuit.lamps_{number}.load]]
current = "{load}"
at = "14.2 V"
kind = "resistive"
evidence = "measured"
when = ["engine"]
inrush = 1
""" for number in range(4))
    return parse_plan(BASE.replace("15 mohm", battery) + f"""
[feed.bus]
from = "battery_post"
zone = "cabin"
fuse = {{ kind = "mega", rating = "80 A", distance = "100 mm", blows_at = 3.5 }}
wire = [{{ size = "16 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
{circuits}""")


@pytest.mark.parametrize(("battery", "load", "is_raised"), [
    ("15 mohm", "28 A", True), ("24 mohm", "28 A", False), ("28 mohm", "28 A", False), ("28 mohm", "24 A", False)])
def test_a_fuse_that_a_short_would_not_blow_is_not_fitted(battery: str, load: str, is_raised: bool) -> None:
    """By Ohm's law: 150 A times 3.5 asks for 525 A, a loop of 24 mΩ at 12.6 V, of which the battery has most."""
    proposal = propose(weak_bus(battery, load), limit_set("road"), look_for_savings=False)
    assert "fuse-too-small" in {each.check for each in proposal.before.findings}
    assert not [each.message for each in proposal.after.findings if each.level == "danger" and not each.measure]
    assert [each.path[1] for each in proposal.changes if each.path[-1] == "rating"] == (["bus"] if is_raised else [])
    kept = [(each.check, each.against) for each in proposal.collisions]
    fix = next(each.fix for each in proposal.before.findings if each.check == "fuse-too-small")
    assert ("may then not blow the 150 A fuse in time" in fix) is not is_raised
    assert kept == ([] if is_raised else [("fuse-too-small", "no-trip-far-end")])
