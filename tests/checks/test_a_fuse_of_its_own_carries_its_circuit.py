"""A fuse of its own that is named for a circuit behind the fuse of its feed carries what the circuit does, or comes
with the wires it needs: fitted as told, neither is too small."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.stock import ladder
from fuseplan.plan.model import Plan
from tests.advice.worlds import around

FAULTS = {"fuse-too-small", "no-fuse-fits", "fuse-exceeds-wire", "thinner-wire-unprotected", "wire-overloaded"}
SIZES = ("0.75", "1", "1.5", "2.5", "4")


def plan(size: str, back: str, lamp: int, own: str = "") -> Plan:
    """A lamp without a fuse of its own beside a fan, behind the 60 A fuse of their feed."""
    wire = 'length = "1 m", zone = "cabin", insulation = "pvc70", size = '
    more = 'at = "14 V"\nkind = "resistive"\nevidence = "measured"\nwhen = ["engine"]'
    return around(f"""
[feed.box]
from = "battery_post"
zone = "cabin"
fuse = {{ kind = "maxi", distance = "100 mm", rating = "60 A" }}
wire = [{{ {wire} "16 mm2" }}]
[circuit.lamp]
feed = "box"
{own}
wire = [{{ {wire} "{size} mm2" }}]
earth_wire = [{{ {wire} "{back} mm2" }}]
earth = "engine"
[[circuit.lamp.load]]
current = "{lamp} A"
{more}
[circuit.fan]
feed = "box"
fuse = {{ kind = "maxi", rating = "40 A" }}
wire = [{{ {wire} "10 mm2" }}]
earth = "engine"
[[circuit.fan.load]]
current = "{44 - lamp} A"
{more}
""")


@pytest.mark.parametrize("lamp", [3, 7, 10, 13, 15, 17, 20, 22])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("back", SIZES[1:4])
def test_the_fuse_named_carries_the_circuit(size: str, back: str, lamp: int) -> None:
    for finding in assess(plan(size, back, lamp)).findings:
        if finding.subject != "lamp" or finding.check not in FAULTS or "fuse of its own" not in finding.fix:
            continue
        most, told = re.search(r"of its own of at most ([\d.]+) A", finding.fix), \
            re.search(r"then a fuse of its own of ([\d.]+) A", finding.fix)
        sizes = [size, back]
        if most is not None:
            rating = max(each for each in ladder("blade") if each <= float(most[1]))
        else:
            assert told is not None, finding.fix
            rating = float(told[1])
            first, *rest = re.findall(r"([\d.]+) mm² in place of", finding.fix)
            both = "earth wire" in finding.fix and "the wire of" in finding.fix
            sizes = [first, rest[0] if rest else first] if both else \
                [size, first] if "earth wire" in finding.fix else [first, back]
        after = assess(plan(*sizes, lamp, f'fuse = {{ kind = "blade", rating = "{rating:g} A" }}'))
        assert not [(each.check, each.message) for each in after.findings
                    if each.subject == "lamp" and each.check in FAULTS and not each.measure], finding.fix
