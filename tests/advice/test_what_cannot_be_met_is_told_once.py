"""What a proposal cannot meet is told once: where one fix removes it from several parts, and where it follows from
parts of another system's voltage."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from fuseplan.advice import propose
from fuseplan.advice.proposal import Collision
from fuseplan.limits import limit_set
from fuseplan.papers.proposal_sections import COLLIDE
from fuseplan.papers.propose_text import propose_text
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan, read_plan

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


@pytest.mark.parametrize(("zone_c", "origin"), [("118", "existing"), ("260", "new")])
def test_too_weak_insulation_is_told_once_with_all_that_follows_from_it(zone_c: str, origin: str) -> None:
    """In a place too hot for its insulation a wire carries nothing: the fuse before it, its load and a short fail for
    no other reason, and are no more limits that cannot be met."""
    text = (shipped_folder("examples") / "track_car.toml").read_text(encoding="utf-8")
    plan = parse_plan(text.replace("90 degC", f"{zone_c} degC").replace(
        'insulation = "xlpe125"', f'insulation = "pvc105", origin = "{origin}"'))
    found = propose(plan, limit_set("road"), look_for_savings=False)
    told = [each for leader, members in found.collisions_by_cause for each in (leader, *members)]
    assert sorted(map(id, told)) == sorted(map(id, found.collisions))
    assert {leader.check for leader, _ in found.collisions_by_cause} == {"insulation-too-weak"}
    assert {each.check for each in told} >= {"wire-overloaded", "fuse-exceeds-wire", "fuse-too-small"}
    section = propose_text(found).partition(COLLIDE)[2].partition("Left to you")[0]
    assert " against " in section
    assert section.count(" against ") == section.count("insulation-too-weak against ")
    assert all(check in section for check in {each.check for each in told})


def test_what_has_another_cause_stands_for_itself() -> None:
    found = propose(read_plan(shipped_folder("examples") / "coupe_turbo.toml"), limit_set("road"),
                    look_for_savings=False)
    findings = found.after.findings
    for leader, members in found.collisions_by_cause:
        for each in members:
            causes = {findings[finding.cause].identity for finding in findings
                      if finding.identity == each.identity and finding.cause is not None}
            assert causes == {leader.identity}
    assert sum(bool(members) for _, members in found.collisions_by_cause) < len(found.collisions_by_cause) - 2
