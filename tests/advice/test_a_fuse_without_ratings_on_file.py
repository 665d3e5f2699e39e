"""Of a type of fuse no ratings are on file: the wire goes with the rating entered."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.engine.stock import ladder
from fuseplan.limits import limit_set
from tests.advice.worlds import one

ROAD = limit_set("road")


@pytest.mark.parametrize("wire", ['colour = "RD"', 'size = "1 mm2"'])
def test_a_wire_behind_a_fuse_of_such_a_type_is_thick_enough_for_it(wire: str) -> None:
    assert not ladder("strip")
    proposal = propose(one(wire=wire, fuse='fuse = { kind = "strip", rating = "60 A", distance = "50 mm" }'), ROAD,
                       look_for_savings=False)
    assert not [each for each in proposal.after.findings if each.check == "fuse-exceeds-wire"]
    fuse = proposal.plan.circuit["one"].fuse
    assert fuse is not None
    assert fuse.rating == 60.0
    assert not proposal.collisions


def test_of_one_too_small_it_is_said_that_its_ratings_are_not_on_file() -> None:
    proposal = propose(one(wire='size = "16 mm2"', current="55 A",
                           fuse='fuse = { kind = "strip", rating = "60 A", distance = "50 mm" }'), ROAD,
                       look_for_savings=False)
    left, = (each for each in proposal.collisions if each.check == "fuse-too-small")
    assert left.words.endswith("; its ratings are not on file")
    assert not proposal.changes
