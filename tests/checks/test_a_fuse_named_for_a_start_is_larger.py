"""A fuse that may blow at switch-on is cured by no smaller one of its type, and the one that is named withstands the
case that fails; where the equipment allows none, no larger one is named."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.plan.model import Plan
from tests.advice.worlds import around

NAMED = re.compile(r"fit ([\d.]+) A[;,]")


def plan(rating: str, current: str, size: str, limit: str = "") -> Plan:
    loads = "".join(f"""
[[circuit.one.load]]
{current}
at = "14.2 V"
kind = "motor"
evidence = "published"
when = ["engine"]
inrush = 5
inrush_time = "140 ms"
""" for _ in range(2))
    return around(f"""
[circuit.one]
feed = "battery_post"
fuse = {{ kind = "blade", rating = "{rating} A", distance = "100 mm" }}
{limit}
wire = [{{ length = "1 m", zone = "cabin", insulation = "pvc105", size = "{size}" }}]
earth = "battery_negative"
earth_wire = [{{ length = "0.5 m", zone = "cabin", insulation = "pvc105", size = "{size}" }}]
{loads}
""")


def blowing(assessment: Assessment) -> list[Finding]:
    return [each for each in assessment.findings if each.check == "blows-at-switch-on"]


CURRENTS = ['current = "2 A"\nrange = ["2 A", "4 A"]', 'current = "5 A"\nrange = ["2 A", "20 A"]', 'current = "5 A"']


@pytest.mark.parametrize("current", CURRENTS)
@pytest.mark.parametrize("size", ["2.5 mm2", "10 mm2"])
@pytest.mark.parametrize("limit", ["", 'max_fuse = "30 A"'])
def test_the_fuse_named_is_larger_and_removes_it(current: str, size: str, limit: str) -> None:
    found = 0
    for rating in ("5", "7.5", "10", "15", "20", "25", "30"):
        for each in blowing(assess(plan(rating, current, size, limit))):
            found += 1
            named = NAMED.match(each.fix)
            if named is None:
                continue
            assert float(named[1]) > float(rating), each.fix
            after = blowing(assess(plan(named[1], current, size, limit)))
            assert not after if each.measure else all(other.measure for other in after), (rating, each.fix)
    assert found


def test_where_the_equipment_allows_no_larger_one_a_slower_type_is_told() -> None:
    [found] = blowing(assess(plan("30", CURRENTS[1], "10 mm2", 'max_fuse = "30 A"')))
    assert found.fix.startswith("a slower type of fuse of at most 30 A: ")
    assert "larger fuse" not in found.fix
