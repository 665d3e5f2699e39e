"""What cannot be met is told of the plan as it is proposed, not of a fuse or a size that was tried on the way."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fuseplan.advice import propose
from fuseplan.limits import limit_set
from fuseplan.planfile.read import parse_plan

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize("feeds", ["main_bus", r"\w+"])
def test_what_cannot_be_met_is_told_of_what_is_proposed(feeds: str) -> None:
    text = (EXAMPLES / "coupe_turbo.toml").read_text(encoding="utf-8")
    unfused = re.sub(rf"^(\[feed\.{feeds}\][^\[]*?^)fuse = .*\n", r"\1", text, flags=re.MULTILINE)
    assert unfused != text
    found = propose(parse_plan(unfused), limit_set("road"), look_for_savings=False)
    findings = {finding.identity: finding for finding in found.after.findings}
    # A load that no rating suits is told by what it asks for, without what the check found.
    judged = [each for each in found.collisions if each.check != "fuse-too-small" and each.identity in findings]
    assert judged
    for each in judged:
        assert each.words.startswith(findings[each.identity].message)
        assert each.fix == findings[each.identity].fix


@pytest.mark.parametrize("length", ["5 m", "6 m"])
def test_a_bad_earth_point_does_not_keep_the_wire_there_from_being_mended(length: str) -> None:
    """Of a circuit that loses too much on either side, one side may be given up and the other mended."""
    plan = parse_plan(f"""
        fuseplan = 1
        [vehicle]
        system = "12 V"
        [zone.cabin]
        ambient = "40 degC"
        [feed.post]
        zone = "cabin"
        [earth.negative]
        [earth.body]
        to = "negative"
        resistance = "100 mohm"
        [circuit.fan]
        feed = "post"
        role = "cooling_fan"
        fuse = {{ kind = "blade", rating = "10 A", distance = "100 mm" }}
        wire = [{{ size = "1 mm2", length = "{length}", zone = "cabin", insulation = "pvc105" }}]
        earth = "body"
        earth_wire = [{{ size = "2.5 mm2", length = "0.3 m", zone = "cabin", insulation = "pvc105" }}]
        drop_class = "control"
        [[circuit.fan.load]]
        current = "4 A"
        at = "12 V"
        kind = "resistive"
        evidence = "typical"
        """)
    found = propose(plan, limit_set("road"), look_for_savings=False)
    assert [change.path for change in found.changes] == [("circuit", "fan", "wire", 0, "size")]
    # By hand: 100 mΩ at 4 A loses 0.4 V of the 0.2 V that the earth side may lose: no wire takes that away.
    [told] = [each for each in found.collisions if each.check == "voltage-drop"]
    assert told.words.startswith("earth-side")
    assert "clean" in told.fix
