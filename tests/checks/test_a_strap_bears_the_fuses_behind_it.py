"""A strap is an earth wire that several circuits share: the fuse of each must protect it as it does the circuit's own
earth wire."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks import assess
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from tests.checks.check_plans import whole

PLAN = """
[earth.rear]
to = "battery_negative"
[circuit.socket]
feed = "bus"
fuse = { kind = "blade", rating = "25 A" }
wire = [{ size = "4 mm2", length = "1 m", zone = "cabin", insulation = "pvc105" }]
earth = "rear"
[[circuit.socket.load]]
current = "8 A"
kind = "resistive"
when = ["demist"]
evidence = "measured"
[circuit.lamp]
feed = "bus"
fuse = { kind = "blade", rating = "5 A" }
wire = [{ size = "1 mm2", length = "1 m", zone = "cabin", insulation = "pvc105" }]
earth = "rear"
[[circuit.lamp.load]]
current = "2 A"
kind = "lamp"
when = ["demist"]
evidence = "measured"
"""


def plan(strap: str, own: str | None = None, length: str = "0.5 m") -> dict[str, Any]:
    data = tomllib.loads(whole(PLAN))
    data["earth"]["rear"]["wire"] = [_wire(strap, length)]
    if own is not None:
        data["circuit"]["socket"]["earth_wire"] = [_wire(own, length)]
    return data


def _wire(size: str, length: str) -> dict[str, str]:
    return {"size": size, "length": length, "zone": "cabin", "insulation": "pvc105"}


def found(data: dict[str, Any], check: str) -> list[Finding]:
    return [each for each in assess(Plan.model_validate(data)).findings if each.check == check]


@pytest.mark.parametrize("size", ["0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2"])
def test_the_same_copper_is_judged_alike_as_earth_wire_and_as_strap(size: str) -> None:
    shared = found(plan(size), "fuse-exceeds-strap")
    alone = found(plan("16 mm2", own=size), "fuse-exceeds-wire")
    assert [(each.figure, each.limit, each.level) for each in shared] == [
        (each.figure, each.limit, each.level) for each in alone]
    assert bool(shared) is (size in ("0.75 mm2", "1 mm2", "1.5 mm2"))


def test_what_it_names_is_the_least_that_cures_it() -> None:
    finding, = found(plan("1 mm2"), "fuse-exceeds-strap")
    assert finding.values == (("earth.rear.wire.0.size", "2.5 mm2"),)
    assert not found(plan("2.5 mm2"), "fuse-exceeds-strap")
    assert found(plan("1.5 mm2"), "fuse-exceeds-strap")
    after = propose(Plan.model_validate(plan("1 mm2")), limit_set("road"), look_for_savings=False).after
    strap = after.plan.earth["rear"].wire[0].size
    assert str(strap) == "2.5 mm2"
    assert not [each for each in after.findings if each.check == "fuse-exceeds-strap"]


def test_a_strap_that_leads_on_to_another_is_judged_too() -> None:
    data = plan("4 mm2")
    data["earth"]["rear"]["to"] = "body"
    data["earth"]["body"] = {"to": "battery_negative", "wire": [_wire("1.5 mm2", "1 m")]}
    assert [each.subject for each in found(data, "fuse-exceeds-strap")] == ["body"]


@pytest.mark.parametrize(("wire", "is_thin"), [("16 mm2", False), ("1 mm2", True)])
def test_behind_a_fuse_of_the_feed_it_is_judged_by_that_unless_the_circuit_is_too_thin_for_it(
        wire: str, is_thin: bool) -> None:
    """A circuit whose own wires its fuse does not protect is found there, and told once."""
    data = plan("1 mm2")
    data["feed"]["bus"]["fuse"] = {"kind": "maxi", "rating": "40 A", "distance": "100 mm"}
    del data["circuit"]["lamp"], data["circuit"]["socket"]["fuse"]
    data["circuit"]["socket"]["wire"] = [_wire(wire, "1 m")]
    assert bool(found(data, "fuse-exceeds-strap")) is not is_thin
    assert ("socket" in {each.subject for each in found(data, "fuse-exceeds-wire")}) is is_thin


@pytest.mark.parametrize(("role", "is_found"), [("starter", False), ("other", True)])
def test_what_may_go_without_a_fuse_is_not_measured_by_one_of_its_feed(role: str, is_found: bool) -> None:
    """A fuse before a starter guards against shorts: what its strap carries is its current."""
    data = plan("4 mm2")
    data["feed"]["bus"]["fuse"] = {"kind": "maxi", "rating": "60 A", "distance": "100 mm"}
    del data["circuit"]["lamp"], data["circuit"]["socket"]["fuse"]
    data["circuit"]["socket"] |= {"role": role, "wire": [_wire("25 mm2", "1 m") | {"cover": "sleeve"}]}
    assert bool(found(data, "fuse-exceeds-strap")) is is_found
