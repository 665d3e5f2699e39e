"""What a proposal cannot meet is told once: where one fix removes it from several parts, and where it follows from
parts of another system's voltage."""

from __future__ import annotations

import re
from dataclasses import replace

from fuseplan.advice import propose
from fuseplan.advice.proposal import Collision
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import COLLIDE, propose_text
from fuseplan.planfile.read import parse_plan

GLOW = """
fuseplan = 1
[vehicle]
system = "24 V"
[battery]
capacity = "60 Ah"
cold_crank = "500 A"
[zone.cabin]
ambient = "45 degC"
[feed.battery_post]
[earth.battery_negative]
[circuit.glow_plugs]
role = "glow_plugs"
feed = "battery_post"
fuse = { kind = "midi", rating = "80 A", blows_at = 3.5, distance = "100 mm", zone = "cabin" }
relay = { contact = "maxi_70", coil_feed = "battery_post", driver = "switch", suppression = "diode", zone = "cabin" }
wire = [{ size = "25 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }]
earth = "battery_negative"
[[circuit.glow_plugs.load]]
current = "60 A"
at = "12 V"
kind = "resistive"
use = "prolonged"
when = ["always"]
evidence = "measured"
"""


def test_what_follows_from_parts_of_another_voltage_stands_under_them() -> None:
    proposal = propose(parse_plan(GLOW), limit_set("road"), look_for_savings=False)
    assert [each.check for each in proposal.collisions if each.subject == "glow_plugs"]
    text = propose_text(proposal)
    assert "wrong-system-voltage" in text
    section = text.partition(COLLIDE)[2].partition("Left to you")[0]
    assert "glow_plugs" not in section
    assert re.search(rf"{len(proposal.collisions)} more findings? follows? from it", text)


def test_parts_that_one_fix_mends_are_listed_under_it() -> None:
    found = propose(parse_plan(GLOW.replace("24 V", "12 V")), limit_set("road"), look_for_savings=False)
    alike = [Collision("circuit", name, "voltage-drop", "joints", f"words of {name}", "clean the earth point")
             for name in ("first", "second", "third")]
    other = Collision("circuit", "fourth", "voltage-drop", "joints", "words of fourth", "shorten the run")
    text = " ".join(propose_text(replace(found, collisions=(*alike[:2], other, alike[2]))).split())
    assert text.count("Fix: clean the earth point.") == 1
    assert text.count("Fix: shorten the run.") == 1
    told = re.search(r"The same fault with the same fix: (.*?)\. Fix: clean", text)
    assert told is not None
    assert [name for name in ("first", "second", "third", "fourth") if name in told[1]] == ["second", "third"]
    assert f"{COLLIDE} (4)" in text
