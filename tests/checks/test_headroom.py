"""What feeds and earth points have left in each condition, against figures worked by hand."""

from __future__ import annotations

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.headroom import earth_headroom, feed_headroom
from fuseplan.engine.intervals import CONTINUOUS
from fuseplan.limits import limit_set
from fuseplan.planfile.read import parse_plan

PLAN = """
fuseplan = 1
[zone.bench]
ambient = "25 degC"
[feed.post]
zone = "bench"
[feed.bus]
from = "post"
zone = "bench"
fuse = {{ kind = "maxi", rating = "40 A" }}
wire = [{{ size = "{size}", length = "1 m", zone = "bench", insulation = "pvc70" }}]
{limit}
[earth.negative]
[earth.stud]
to = "negative"
wire = [{{ size = "2.5 mm2", length = "1 m", zone = "bench", insulation = "pvc70" }}]
[circuit.window]
feed = "bus"
fuse = {{ kind = "blade", rating = "20 A" }}
wire = [{{ size = "4 mm2", length = "1 m", zone = "bench", insulation = "pvc70" }}]
earth = "stud"
[[circuit.window.load]]
current = "10 A"
at = "12 V"
kind = "electronic"
when = ["demist"]
evidence = "measured"
"""


def assessed(size: str = "10 mm2", limit: str = ""):
    return assess(parse_plan(PLAN.format(size=size, limit=limit)), limit_set("road"))


def test_the_fuse_is_the_weakest_part() -> None:
    """A fuse carries 75 % of its rating lastingly at 25 °C (fuse makers' selection guides, as the limits cites)."""
    found = assessed()
    feed = next(view for view in found.feeds if view.id == "bus")
    rows = {row.condition: row for row in feed_headroom(found, feed)}
    row = rows["idle_wet_night"]
    assert row.limit == "its fuse, lastingly"
    assert row.limit_a == pytest.approx(0.75 * 40.0)
    assert row.spare_a == pytest.approx(30.0 - row.current_a)
    through_a = found.results.demands.supply[0, CONTINUOUS, feed.node]
    assert row.current_a == pytest.approx(through_a), "what the fuse is checked with: constant power at 10.5 V"
    assert rows["crank"].limit == "its fuse, for minutes"
    assert rows["crank"].limit_a == pytest.approx(40.0)
    assert rows["town_day"].current_a == pytest.approx(0.0, abs=1e-6)


def test_a_stated_limit_below_it_counts_and_may_be_exceeded() -> None:
    found = assessed(limit='limit = "8 A"')
    feed = next(view for view in found.feeds if view.id == "bus")
    row = next(row for row in feed_headroom(found, feed) if row.condition == "idle_wet_night")
    assert (row.limit, row.limit_a) == ("its bus or stud", 8.0)
    assert row.spare_a is not None
    assert row.spare_a < -1.0


def test_a_wire_nothing_is_on_file_for_leaves_the_headroom_unknown() -> None:
    found = assessed(size="0.05 mm2")
    feed = next(view for view in found.feeds if view.id == "bus")
    row = next(row for row in feed_headroom(found, feed) if row.condition == "idle_wet_night")
    assert row.limit_a is None
    assert row.spare_a is None
    assert "nothing on file for the wire to bus" in row.limit


def test_a_strap_bears_what_the_check_says_it_bears() -> None:
    found = assessed()
    stud = next(view for view in found.earths if view.id == "stud")
    row = next(row for row in earth_headroom(found, stud) if row.condition == "idle_wet_night")
    assert row.limit_a == pytest.approx(stud.segments[0].ampacity_a)
    root = next(view for view in found.earths if view.id == "negative")
    assert {row.limit for row in earth_headroom(found, root)} == {""}
