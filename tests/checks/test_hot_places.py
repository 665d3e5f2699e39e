"""A wire whose insulation stands no more than its place has: no size of it is named as a cure."""

from __future__ import annotations

import pytest

from fuseplan.checks.assessment import Assessment
from fuseplan.choose.propose import propose
from fuseplan.guidance import guidance
from tests.checks.test_rules import assessed

HOT = """
[zone.exhaust]
ambient = "{ambient} degC"
[circuit.w]
feed = "bus"
fuse = {{ kind = "regular"{rating} }}
wire = [{{ size = "4 mm2", length = "4 m", zone = "exhaust", insulation = "pvc105" }}]
earth = "body"
[[circuit.w.load]]
current = "15 A"
kind = "resistive"
when = ["demist"]
use = "{use}"
evidence = "measured"
"""
ON_WIRES = ("wire-carries-load", "fuse-guards-wire", "fuse-carries-load", "window-empty")


def hot(ambient: int, use: str = "continuous", rating: str = "") -> Assessment:
    return assessed(HOT.format(ambient=ambient, use=use, rating=f', rating = "{rating}"' if rating else ""))


@pytest.mark.parametrize("ambient", [105, 120])
@pytest.mark.parametrize("use", ["continuous", "momentary"])
@pytest.mark.parametrize("rating", ["", "20 A"])
def test_no_thickness_helps(ambient: int, use: str, rating: str) -> None:
    found = [each for each in hot(ambient, use, rating).findings if each.subject == "w" and each.check in ON_WIRES]
    assert len(found) >= 2
    for each in found:
        assert "no thickness helps" in each.remedy, each.check
        assert "thicker wire" not in each.remedy
        assert "such as etfe150" in each.remedy
        assert not any(field.endswith(".size") for field in each.fields), each.check


def test_a_cooler_place_leaves_the_size_as_the_cure() -> None:
    found = [each for each in hot(100).findings if each.subject == "w" and each.check == "wire-carries-load"]
    assert found
    assert "thickness" not in found[0].remedy


def test_the_proposal_gives_it_an_insulation_for_the_place() -> None:
    found = propose(hot(120, rating="20 A").plan, guidance("road"))
    changes = {change.path[2:]: change.new for change in found.changes}
    assert changes[("wire", 0, "insulation")] == "etfe150"
