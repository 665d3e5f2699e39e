"""A part without a name is called by what it is, and that is an earth point, never an earth: in the lines of a proposal
and in what a list that is read is refused with."""

from __future__ import annotations

import pytest

from fuseplan.advice.proposal import Change
from fuseplan.exchange.wire_places import called
from fuseplan.papers.proposed_changes import part_words, subject_words
from fuseplan.plan.references import part_kind_words
from fuseplan.planfile.read import parse_plan

PLAN = parse_plan("""
fuseplan = 1
[feed.battery]
[feed.bus]
from = "battery"
[earth.body]
[earth.engine]
to = "body"
[circuit.fan]
""")


@pytest.mark.parametrize(("kind", "name"), [("circuit", "fan"), ("feed", "bus"), ("earth", "engine")])
def test_a_part_without_a_name(kind, name):
    wire, added = (Change(path, None, "16 mm2", "voltage-drop", "")
                   for path in ((kind, name, "wire", 0, "size"), (kind, name)))
    assert subject_words(wire, PLAN) == f"{part_kind_words(kind)} {name}"
    assert part_words(wire) == "wire 1 size"
    assert part_words(added) == f"new {part_kind_words(kind)}"
    assert called((kind, name, "wire", 0)) == f"{part_kind_words(kind)} '{name}'"


def test_an_earth_is_an_earth_point():
    assert part_kind_words("earth") == "earth point"
