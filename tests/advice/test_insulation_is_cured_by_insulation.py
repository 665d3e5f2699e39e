"""Wires whose insulation is too weak for their place get another insulation, all in one go: none grows, and no fuse
changes, for what the insulation alone puts right."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

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


def test_a_fuse_before_such_a_wire_is_put_right_all_the_same() -> None:
    """The wire carries nothing at the temperature assumed, whatever its size: it grew to 120 mm², and its fuse was then
    given up."""
    data: Any = {
        "fuseplan": 1, "battery": {"capacity": "60 Ah", "cold_crank": "540 A"}, "earth": {"negative": {}},
        "feed": {"post": {}, "box": {"from": "post", "fuse": {"kind": "maxi", "rating": "60 A", "distance": "100 mm"},
                                     "wire": [{"size": "10 mm2", "length": "1.5 m"}]}},
        "circuit": {
            "fan": {"feed": "box", "earth": "negative", "fuse": {"kind": "blade", "rating": "15 A"},
                    "wire": [{"size": "1 mm2", "length": "3 m"}],
                    "load": [{"current": "18 A", "kind": "motor"}]},
            "horn": {"feed": "box", "earth": "negative", "fuse": {"kind": "glass", "rating": "100 A"},
                     "wire": [{"size": "1.5 mm2", "length": "2 m"}],
                     "load": [{"current": "8 A", "kind": "motor"}]}}}
    proposal = propose(Plan.model_validate(data), limit_set("road"), look_for_savings=False)
    assert not [each for each in proposal.collisions if each.check == "fuse-too-small"]
    assert {"fuse-too-small", "fuse-exceeds-wire", "wire-overloaded", "insulation-too-weak"}.isdisjoint(
        each.check for each in proposal.after.findings if each.subject == "fan" and not each.measure)
    size = proposal.plan.circuit["fan"].wire[0].size
    assert size is not None
    assert size.area_mm2 <= 10.0
