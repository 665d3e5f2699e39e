"""Where insulation is at the end of what it is rated for no fuse protects a wire: no fix orders one of 0 A, or a size,
before the insulation or the place is another."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from tests.advice.worlds import around

HOT = """
[zone.hot]
ambient = "{t} degC"
[feed.box]
from = "battery_post"
zone = "cabin"
{box}
wire = [{{ length = "1 m", zone = "{feed}", insulation = "pvc70", size = "16 mm2" }}]
[circuit.lamp]
feed = "{fed}"
{own}
wire = [{{ length = "2 m", zone = "{wire}", insulation = "pvc70", size = "2.5 mm2" }}]
earth_wire = [{{ length = "1 m", zone = "{back}", insulation = "pvc70", size = "2.5 mm2" }}]
earth = "battery_negative"
[circuit.lamp.relay]
contact = "mini_40"
coil_feed = "battery_post"
wire_86 = [{{ length = "1 m", zone = "{coil}", size = "0.75 mm2", insulation = "pvc70" }}]
wire_85 = [{{ length = "1 m", zone = "cabin", size = "0.75 mm2", insulation = "pvc70" }}]
[[circuit.lamp.load]]
current = "6 A"
at = "14.2 V"
kind = "resistive"
evidence = "measured"
when = ["engine"]
"""
PLACES = ("feed", "wire", "back", "coil")
FUSES = ("no-fuse", "no-fuse-fits", "thinner-wire-unprotected", "fuse-exceeds-wire", "fuse-too-small")


@pytest.mark.parametrize("t", [70, 80])
@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("fed", ["box", "battery_post"])
@pytest.mark.parametrize("own", ["", 'fuse = { kind = "blade" }', 'fuse = { kind = "blade", rating = "7.5 A" }'])
@pytest.mark.parametrize("box", ["", 'fuse = { kind = "maxi", rating = "60 A" }'])
def test_insulation_or_place_comes_first(box: str, own: str, fed: str, place: str, t: int) -> None:
    zones = dict.fromkeys(PLACES, "cabin") | {place: "hot"}
    found = [each for each in assess(around(HOT.format(t=t, box=box, own=own, fed=fed, **zones))).findings
             if each.check in FUSES]
    for each in found:
        assert not re.search(r"(from|least|most|rated for|a fuse of) 0 A", each.fix), each.fix
        assert "0 A, the smallest" not in each.message
    is_subject = {"feed": "box"}.get(place, "lamp")
    bare = [each for each in found if each.check == "no-fuse" and each.subject == is_subject
            and ("coil" in each.message) == (place == "coil")]
    if t == 70:
        assert all(each.fix.startswith("fit another insulation, such as pvc105, or move the wire to a cooler place")
                   for each in bare)
    assert found or place == "coil"
