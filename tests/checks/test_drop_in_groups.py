"""Voltage lost to a load that is never on together with a stronger one: judged and cured while it is the one on."""

from __future__ import annotations

from fuseplan.advice.sizes import path_volts
from fuseplan.checks import assess
from fuseplan.planfile.read import parse_plan
from tests.checks.check_plans import BASE

GROUP = """
[circuit.dip]
feed = "battery_post"
wire = [{ size = "1.5 mm2", length = "6 m", zone = "cabin", insulation = "pvc70" }]
earth = "battery_negative"
drop_class = "headlamp"
[[circuit.dip.load]]
current = "5 A"
at = "13.5 V"
kind = "resistive"
when = ["engine"]
evidence = "measured"
either = "beam"

[circuit.main]
feed = "battery_post"
wire = [{ size = "6 mm2", length = "1 m", zone = "cabin", insulation = "pvc70" }]
earth = "battery_negative"
[[circuit.main.load]]
current = "9 A"
at = "13.5 V"
kind = "resistive"
when = ["engine"]
evidence = "measured"
either = "beam"
"""


def test_the_cure_of_the_weaker_load_is_its_own_wire() -> None:
    """6 m of 1.5 mm² at 13.3 ohm/km (IEC 60228 class 5, 20 °C) are 80 mohm: 5 A lose at least 0.40 V in them."""
    assessment = assess(parse_plan(BASE + GROUP), "road")
    found = [each for each in assessment.findings if each.check == "voltage-drop" and each.subject == "dip"]
    assert len(found) == 1
    assert found[0].fix.startswith("fit ")
    assert "wire 1 of dip" in found[0].fix
    results = assessment.results
    consumer = int(results.drops.worst_load[assessment.circuit("dip").index])
    lost = path_volts(results, consumer, supply=True, returns=False)
    assert 0.40 < max(lost.values()) <= float(results.drops.supply_v[0, consumer])
