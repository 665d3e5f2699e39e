"""A fuse that blows at switch-on behind a wire too thin for a larger one: what is to be entered leaves no such finding,
though a thicker wire lets the load draw more, and it is one entry with the fuse that exceeds that wire."""

from __future__ import annotations

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.plan.model import Plan
from tests.advice.worlds import around
from tests.laws.test_a_fix_changes_something import fixed


def plan(rating: str, size: str, length: str, current: str, inrush: int) -> Plan:
    return around(f"""
[circuit.one]
feed = "battery_post"
fuse = {{ kind = "blade", rating = "{rating}", distance = "100 mm" }}
wire = [{{ length = "{length}", zone = "cabin", insulation = "pvc70", size = "{size}" }}]
earth = "battery_negative"
earth_wire = [{{ length = "0.5 m", zone = "cabin", insulation = "pvc70", size = "1 mm2" }}]
[[circuit.one.load]]
current = "{current}"
at = "14.2 V"
kind = "motor"
evidence = "measured"
when = ["engine"]
inrush = {inrush}
inrush_time = "200 ms"
""")


def blowing(assessment: Assessment) -> list[Finding]:
    return [each for each in assessment.findings if each.check == "blows-at-switch-on" and not each.measure]


@pytest.mark.parametrize("rating", ["15 A", "25 A"])
@pytest.mark.parametrize("size", ["0.75 mm2", "1 mm2"])
@pytest.mark.parametrize("length", ["2 m", "12 m"])
@pytest.mark.parametrize(("current", "inrush"), [("9 A", 6), ("9 A", 9), ("16 A", 4)])
def test_what_is_to_be_entered_removes_it(rating: str, size: str, length: str, current: str, inrush: int) -> None:
    assessment = assess(plan(rating, size, length, current, inrush))
    for each in blowing(assessment):
        assert not each.values or not blowing(fixed(assessment.plan, each)), each.fix
        assert each.values or "fit 2.5 mm² in place" not in each.fix or length == "12 m" or " a " in each.fix
        leader = each if each.cause is None else assessment.findings[each.cause]
        if leader.values:
            assert not blowing(fixed(assessment.plan, leader)), leader.fix


def test_it_is_one_entry_with_the_fuse_that_exceeds_the_wire() -> None:
    assessment = assess(plan("25 A", "1 mm2", "2 m", "9 A", 9))
    [found] = blowing(assessment)
    assert found.values
    assert found.cause is not None
    assert assessment.findings[found.cause].check == "fuse-exceeds-wire"
