"""The same load on 6 V draws twice the current and may lose half the voltage: its wire has four times the copper for
the same length, and a proposal fits it as it does on 12 V (physics: P = U I, drop = I R)."""

from __future__ import annotations

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from tests.advice.worlds import BASE

SIX = {'name = "Around one circuit"': 'name = "Around one circuit"\nsystem = "6 V"',
       "12.6 V": "6.3 V", "14.2 V": "7.1 V"}


def plan(volts: int, power_w: int, size: str, length: str) -> Plan:
    text = BASE + f"""
[circuit.one]
feed = "battery_post"
fuse = {{ kind = "blade" }}
wire = [{{ size = "{size}", length = "{length}", zone = "cabin", insulation = "pvc70" }}]
earth = "battery_negative"
[[circuit.one.load]]
power = "{power_w} W"
at = "14.2 V"
kind = "resistive"
evidence = "measured"
when = ["engine"]
inrush = 1
"""
    for usual, six in SIX.items():
        text = text.replace(usual, six) if volts == 6 else text
    return parse_plan(text)


def proposed(volts: int, power_w: int, size: str, length: str) -> Proposal:
    return propose(plan(volts, power_w, size, length), limit_set("road"), look_for_savings=False)


@pytest.mark.parametrize("size", ["0.75 mm2", "1.5 mm2"])
@pytest.mark.parametrize(("power_w", "length"), [(60, "5 m"), (100, "6 m"), (100, "7 m"), (150, "6 m"), (150, "8 m")])
def test_what_can_be_wired_on_12_v_can_be_on_6_v(power_w: int, length: str, size: str) -> None:
    on_12, on_6 = (proposed(volts, power_w, size, length) for volts in (12, 6))
    assert not on_12.collisions
    assert not on_6.collisions
    copper = [found.after.results.network.segments.area_mm2[0] for found in (on_12, on_6)]
    assert 1.0 < copper[1] / copper[0] < 8.0
