"""A fuse that is added for a feed is as large as what that hands out asks for: that of a circuit for a small one; and
it is one change, of the type to be fitted."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.limits import limit_set
from tests.advice.worlds import around

ROAD = limit_set("road")


@pytest.mark.parametrize(("current", "kind"), [("2 A", "blade"), ("10 A", "blade"), ("25 A", "maxi")])
def test_a_small_feed_is_fused_like_a_circuit(current: str, kind: str) -> None:
    plan = around(f"""
[feed.bus]
from = "battery_post"
zone = "cabin"
fuse = {{ kind = "mega", rating = "100 A", distance = "100 mm" }}
wire = [{{ size = "25 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
[feed.branch]
from = "bus"
zone = "cabin"
wire = [{{ length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
[circuit.heater]
feed = "bus"
role = "other"
fuse = {{ kind = "blade" }}
wire = [{{ length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "battery_negative"
[[circuit.heater.load]]
current = "20 A"
kind = "resistive"
when = ["engine"]
evidence = "measured"
[circuit.radio]
feed = "branch"
role = "audio"
wire = [{{ length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "battery_negative"
[[circuit.radio.load]]
current = "{current}"
kind = "resistive"
when = ["engine"]
evidence = "measured"
""")
    proposal = propose(plan, ROAD, look_for_savings=False)
    added = [part.fuse.kind for part in (proposal.plan.feed["branch"], proposal.plan.circuit["radio"])
             if part.fuse is not None]
    assert added
    assert set(added) <= {kind, "blade"}
    assert kind in added
    assert not [each for each in proposal.after.findings if each.level != "advice" and not each.measure]


@pytest.mark.parametrize(("current", "kind"), [("25 A", "maxi"), ("70 A", "midi")])
def test_an_added_fuse_is_said_with_the_type_that_is_fitted(current: str, kind: str) -> None:
    found = propose(around(f"""
[feed.bus]
from = "battery_post"
zone = "cabin"
wire = [{{ size = "50 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
[circuit.heater]
feed = "bus"
role = "other"
fuse = {{ kind = "midi" }}
wire = [{{ size = "35 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "battery_negative"
[[circuit.heater.load]]
current = "{current}"
kind = "resistive"
when = ["engine"]
use = "prolonged"
evidence = "measured"
"""), ROAD, look_for_savings=False)
    fuse = found.plan.feed["bus"].fuse
    assert fuse is not None
    assert fuse.kind == kind
    of_fuse = {each.path: each for each in found.changes if each.path[:3] == ("feed", "bus", "fuse")}
    assert set(of_fuse) == {("feed", "bus", "fuse"), ("feed", "bus", "fuse", "rating")}
    added = of_fuse["feed", "bus", "fuse"].new
    assert not isinstance(added, str)
    assert added["kind"] == kind
