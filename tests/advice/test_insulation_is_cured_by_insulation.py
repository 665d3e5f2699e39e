"""Wires whose insulation is too weak for their place get another insulation, all in one go: none grows, and no fuse
changes, for what the insulation alone puts right."""

from __future__ import annotations

import copy
import tomllib

import pytest

from fuseplan.advice import propose
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from tests.checks.check_plans import BASE
from tests.plans import circuit_text, load

WIRE = [{"size": "2.5 mm2", "length": "2 m", "zone": "hot", "insulation": "pvc70"}]
CAR = tomllib.loads(BASE + circuit_text(
    "heater", load("1 A"), feed="bus", earth="body", role="other", drop_class="control", wire=WIRE, earth_wire=WIRE,
    fuse={"kind": "blade", "rating": "5 A", "distance": "80 mm"}))


@pytest.mark.parametrize("place_c", [55, 70, 90, 120])
def test_no_wire_grows_for_a_place_that_is_too_hot_for_its_insulation(place_c: int) -> None:
    data = copy.deepcopy(CAR)
    data["zone"]["hot"] = {"ambient": f"{place_c} degC"}
    proposal = propose(Plan.model_validate(data), limit_set("road"), look_for_savings=False)
    own = {change.path[2:] for change in proposal.changes if change.path[:2] == ("circuit", "heater")}
    assert own == {("wire", 0, "insulation"), ("earth_wire", 0, "insulation")}
    assert not [each for each in proposal.after.findings if each.subject == "heater" and each.level != "advice"]


@pytest.mark.parametrize("place_c", [70, 85, 100])
@pytest.mark.parametrize(("current", "rating"), [("8 A", "5 A"), ("12 A", "10 A"), ("4 A", "30 A")])
def test_a_wrong_fuse_before_such_a_wire_is_put_right_all_the_same(place_c: int, current: str, rating: str) -> None:
    """The wire carries nothing there whatever its size: it grew to 120 mm², and fuse and wire were then given up."""
    data = copy.deepcopy(CAR)
    data["zone"]["hot"] = {"ambient": f"{place_c} degC"}
    data["circuit"]["heater"]["load"] = [load(current)]
    data["circuit"]["heater"]["fuse"]["rating"] = rating
    proposal = propose(Plan.model_validate(data), limit_set("road"), look_for_savings=False)
    assert not proposal.collisions
    assert {("circuit", "heater", side, 0, "insulation") for side in ("wire", "earth_wire")} <= \
        {each.path for each in proposal.changes}
    assert not [each for each in proposal.after.findings if each.subject == "heater" and each.level != "advice"]
    wire = proposal.plan.circuit["heater"].wire[0].size
    assert wire is not None
    assert wire.area_mm2 <= 4.0
