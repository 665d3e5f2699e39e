"""The pull-in of a starter solenoid is 30 to 50 A at both ends of its published running current, and no more: 30 A of
fuse and 4 mm² are what is fitted (both from memory: common practice, no source)."""

from __future__ import annotations

import tomllib

import pytest

from fuseplan.advice import propose
from fuseplan.limits import limit_set
from fuseplan.planfile.library import shipped_folder
from tests.plans import plan_of

PATH = shipped_folder("circuits") / "starter_solenoid.toml"
AROUND = """
fuseplan = 1
[battery]
capacity = "60 Ah"
cold_crank = "540 A"
[zone.cabin]
ambient = "45 degC"
[zone.engine_bay]
ambient = "90 degC"
[feed.post]
zone = "cabin"
[feed.main_bus]
from = "post"
zone = "cabin"
fuse = { kind = "maxi", rating = "60 A", distance = "100 mm" }
wire = [{ size = "16 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }]
[feed.coils_50]
from = "main_bus"
zone = "cabin"
live = ["crank"]
fuse = { kind = "blade", rating = "5 A", distance = "100 mm" }
[earth.negative]
[earth.engine_block]
to = "negative"
engine = true
wire = [{ size = "50 mm2", length = "0.5 m", zone = "engine_bay", insulation = "xlpe125" }]
"""


def test_the_surge_is_the_pull_in_at_both_ends_of_the_range() -> None:
    load, = tomllib.loads(PATH.read_text(encoding="utf-8"))["circuit"]["starter_solenoid"]["load"]
    ends = [float(each.split()[0]) * load["inrush"] for each in load["range"]]
    assert ends == pytest.approx([30.0, 50.0])


def test_a_usual_fuse_on_the_wire_of_the_library_is_proposed() -> None:
    data = tomllib.loads(AROUND)
    data["circuit"] = {"starter_solenoid": tomllib.loads(PATH.read_text(encoding="utf-8"))["circuit"][
        "starter_solenoid"]}
    proposal = propose(plan_of(data), limit_set("road"), look_for_savings=False)
    changes = {change.path[2:]: change.new for change in proposal.changes if change.path[1] == "starter_solenoid"}
    assert changes == {("fuse", "rating"): "30 A"}
