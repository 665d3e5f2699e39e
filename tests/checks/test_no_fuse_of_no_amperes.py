"""Where insulation is at the end of what it is rated for no fuse protects a wire: no fix orders one of 0 A, or a size,
before the insulation or the place is another."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.planfile.read import parse_plan
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


@pytest.mark.parametrize("size", ["0.75 mm2", "4 mm2"])
@pytest.mark.parametrize(("zone", "insulation", "said"), [
    ("", "", "state the zone and the insulation of wire 1"),
    (' zone = "hot",', "", "fit another insulation, such as"),
    ("", ' insulation = "pvc70",', "fit another insulation, such as"),
    ("", ' insulation = "xlpe125",', "fit a fuse")])
def test_no_insulation_is_ordered_for_a_place_and_an_insulation_that_are_both_assumed(
        zone: str, insulation: str, said: str, size: str) -> None:
    plan = """
fuseplan = 1
[zone.hot]
ambient = "85 degC"
[feed.post]
[earth.body]
[circuit.amp]
feed = "post"
earth = "body"
wire = [{ length = "2 m",ZONE INSULATION size = "4 mm2" }, { length = "2 m",ZONE INSULATION size = "SIZE" }]
[[circuit.amp.load]]
current = "8 A"
kind = "resistive"
""".replace("ZONE", zone).replace("INSULATION", insulation).replace("SIZE", size)
    plan = plan if zone else plan.replace('[zone.hot]\nambient = "85 degC"\n', "")
    found = [each for each in assess(parse_plan(plan)).findings if each.check in FUSES]
    assert len(found) == (1 if size == "4 mm2" else 2)
    for each in found:
        assert "insulation" not in each.fix or re.sub("wire 2", "wire 1", each.fix).startswith(said), each.fix
    assert found[0].fix.startswith(said) or found[0].fix.replace("wire 2", "wire 1").startswith(said)
