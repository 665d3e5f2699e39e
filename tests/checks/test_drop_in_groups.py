"""Voltage lost to a load that is never on together with a stronger one: judged and fixed while it is the one on."""

from __future__ import annotations

from fuseplan.checks import assess
from fuseplan.planfile.read import parse_plan
from tests.checks.check_plans import BASE
from tests.plans import cabin_wire, circuit_text, load

SAME_V = 1e-9
"""Noise in the last digits."""
GROUP = circuit_text(
    "dip", load("5 A", at="13.5 V", either="beam"), drop_class="headlamp", wire=cabin_wire("1.5 mm2", "6 m"),
) + circuit_text("main", load("9 A", at="13.5 V", either="beam"), wire=cabin_wire("6 mm2", "1 m"))


def test_the_fix_of_the_weaker_load_is_its_own_wire() -> None:
    """6 m of 1.5 mm² at 13.3 ohm/km (IEC 60228 class 5, 20 °C) are 80 mohm: 5 A lose at least 0.40 V in them."""
    assessment = assess(parse_plan(BASE + GROUP), "road")
    found = [each for each in assessment.findings if each.check == "voltage-drop" and each.subject == "dip"]
    assert len(found) == 1
    assert found[0].fix.startswith("fit ")
    assert "the wire of dip" in found[0].fix
    results = assessment.results
    drops, consumer = results.drops, int(results.drops.worst_load[assessment.circuit("dip").index])
    choice, row = drops.out.at(0, consumer, len(results.network.conditions))
    solution, owner = results.choices[choice], results.network.segments.owner
    lost = max(float(solution.segment_a[row, index] * solution.segment_ohm[row, index])
               for index in range(len(owner)) if owner[index] == ("circuit", "dip"))
    assert 0.40 < lost <= float(drops.supply_v[0, consumer]) + SAME_V
