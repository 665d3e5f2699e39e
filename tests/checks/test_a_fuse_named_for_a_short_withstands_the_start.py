"""A smaller fuse that a short asks for is not one that blows when its load is switched on, where the plan says what
that draws."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.plan.model import Plan
from tests.advice.worlds import around

OF_A_SHORT = ("no-trip-far-end", "wire-damaged-by-short")


def plan(rating: str, length: str, inrush: str) -> Plan:
    return around(f"""
[circuit.one]
feed = "battery_post"
fuse = {{ kind = "blade", rating = "{rating}", distance = "100 mm" }}
wire = [{{ length = "{length}", zone = "cabin", insulation = "pvc70", size = "1 mm2" }}]
earth = "battery_negative"
[[circuit.one.load]]
current = "4 A"
at = "14.2 V"
kind = "motor"
evidence = "measured"
when = ["engine"]
inrush = {inrush}
inrush_time = "200 ms"
""")


@pytest.mark.parametrize("rating", ["20 A", "25 A", "30 A"])
@pytest.mark.parametrize("length", ["3 m", "10 m", "14 m", "18 m"])
@pytest.mark.parametrize("inrush", ["1", "4", "8", "12"])
def test_with_the_fuse_named_the_load_can_be_switched_on(rating: str, length: str, inrush: str) -> None:
    named = [found[1] for each in assess(plan(rating, length, inrush)).findings if each.check in OF_A_SHORT
             and (found := re.search(r"fit ([\d.]+ A), which (?:blows|still)", each.fix))]
    for fuse in named:
        after = assess(plan(fuse, length, inrush)).findings
        assert not [each.message for each in after if each.check == "blows-at-switch-on" and not each.measure]
    assert named or inrush != "1" or length != "18 m"
