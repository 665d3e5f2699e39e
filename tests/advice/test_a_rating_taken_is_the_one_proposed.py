"""A fuse without a rating is judged at the one that a proposal fits: one that withstands what is switched on at the
worst-case current, where the wire allows it."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan
from tests.advice.worlds import around


@pytest.mark.parametrize(("current", "most", "inrush", "time"), [
    ("1.5 A", "2.5 A", 3, "10 s"), ("7 A", "9 A", 5, "100 ms"), ("9 A", "11 A", 5, "100 ms"), ("4 A", "4 A", 3, "1 s")])
@pytest.mark.parametrize("size", ["1.5 mm2", "4 mm2"])
def test_it_is_the_one_that_a_proposal_fits(current: str, most: str, inrush: int, time: str, size: str) -> None:
    plan = around(f"""
[circuit.one]
feed = "battery_post"
fuse = {{ kind = "blade", distance = "100 mm" }}
wire = [{{ length = "1 m", zone = "cabin", insulation = "pvc105", size = "{size}" }}]
earth = "battery_negative"
[[circuit.one.load]]
current = "{current}"
range = ["{current}", "{most}"]
at = "14.2 V"
kind = "motor"
evidence = "published"
when = ["engine"]
inrush = {inrush}
inrush_time = "{time}"
""")
    assessment = assess(plan)
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    fuse = proposal.after.plan.circuit["one"].fuse
    assert fuse is not None
    assert fuse.rating is not None
    assert assessment.results.fusing.rating_a[assessment.fuse_of["circuit", "one"]] == float(fuse.rating)
    blows = [each.message for each in assessment.findings if each.check == "blows-at-switch-on"]
    assert bool(blows) is bool([each for each in proposal.after.findings if each.check == "blows-at-switch-on"])


@pytest.mark.parametrize("name", ["trailer_socket", "vacuum_pump", "amplifier", "inverter", "glow_plugs"])
def test_a_usual_rating_comes_before_one_for_the_worst_case(name: str) -> None:
    """As `[stock]` is taken first: what is left of the worst case is to be measured."""
    plan = parse_plan(starter_plan("new", [name]))
    before = assess(plan)
    fuse = propose(plan, limit_set("road"), look_for_savings=False).after.plan.circuit[name].fuse
    assert fuse is not None
    assert fuse.rating is not None
    assert before.results.fusing.rating_a[before.fuse_of["circuit", name]] == float(fuse.rating)
