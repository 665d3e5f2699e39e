"""What the maker of a socket, a window motor or a control unit allows caps the fuse in front of it, whatever the wire
would allow."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import assess
from fuseplan.checks.explain import explain
from fuseplan.limits import limit_set
from tests.advice.worlds import around
from tests.plans import cabin_wire, circuit_text, fuse, load

ROAD = limit_set("road")


def socket(current: str, size: str | None = "6 mm2", **keys: object) -> str:
    keys = {"fuse": fuse("30 A"), **keys}
    return circuit_text("socket", load(current, max_fuse="15 A"), wire=cabin_wire(size, "0.5 m"), **keys)


def test_the_range_ends_at_what_the_maker_allows_and_the_working_says_so() -> None:
    """6 mm² of 70 °C insulation carries far more than 15 A (DIN VDE 0298-4:2023 table 11: 54 A at 30 °C)."""
    assessment = assess(around(socket("6 A")), "road")
    view = assessment.circuit("socket").fuse
    assert view is not None
    assert view.range_a.high == pytest.approx(15.0)
    assert view.max_fuse_a == pytest.approx(15.0)
    assert view.largest_for_wire_a is not None
    assert view.largest_for_wire_a > 50
    assert "fuse-exceeds-equipment" in {each.check for each in assessment.findings if each.level == "danger"}
    assert "fuse-exceeds-wire" not in {each.check for each in assessment.findings}
    worked = explain(assessment, "circuits.socket.fuse.range_a.high")
    assert "the limit stated for socket (max_fuse)" in str(worked.to_dict())


@pytest.mark.parametrize("order", [("5 A", "15 A"), ("15 A", "5 A")])
def test_of_several_on_one_fuse_the_smallest_counts(order: tuple[str, str]) -> None:
    loads = [load("1 A", max_fuse=most) for most in order]
    view = assess(around(circuit_text("both", *loads, fuse=fuse("5 A"), wire=cabin_wire("6 mm2", "0.5 m"))),
                  "road").circuit("both").fuse
    assert view is not None
    assert view.range_a.high == pytest.approx(5.0)


@pytest.mark.parametrize("on_circuit", [False, True])
def test_a_proposal_never_exceeds_it(on_circuit: bool) -> None:
    keys = {"fuse": {"kind": "blade"}} if not on_circuit else {"max_fuse": "10 A"}
    proposal = propose(around(socket("6 A", None, **keys)), ROAD)
    rating = proposal.after.circuit("socket").fuse
    assert rating is not None
    assert rating.rating_a == pytest.approx(10.0)
    assert proposal.accepted, (proposal.collisions, [each.message for each in proposal.left])


def test_a_load_that_needs_more_than_the_maker_allows_is_said_not_fitted() -> None:
    """16 A ask for more than 15 A of any fuse: no thicker wire helps."""
    proposal = propose(around(socket("16 A", "1 mm2")), ROAD)
    assert not proposal.accepted
    assert {each.against for each in proposal.collisions} == {"fuse-exceeds-equipment"}
    assert "the limit stated for socket (max_fuse) allows 15 A" in proposal.collisions[0].words
    fitted = proposal.after.circuit("socket").fuse
    assert fitted is not None
    assert fitted.rating_a == pytest.approx(15.0)


def test_a_circuit_on_a_larger_shared_fuse_gets_one_of_its_own() -> None:
    plan = around("""
[feed.bus]
from = "battery_post"
zone = "cabin"
fuse = { kind = "maxi", rating = "40 A" }
wire = [{ size = "10 mm2", length = "0.5 m", zone = "cabin", insulation = "pvc105" }]
""" + circuit_text("socket", load("6 A", max_fuse="15 A"), feed="bus", wire=cabin_wire("10 mm2", "0.5 m")))
    [found] = [each for each in assess(plan, "road").findings if each.check == "fuse-exceeds-equipment"]
    assert found.subject == "socket"
    assert "of its own" in found.fix
    proposal = propose(plan, ROAD)
    own = proposal.after.circuit("socket").fuse
    assert own is not None
    assert own.rating_a is not None
    assert own.rating_a <= 15
    assert "fuse-exceeds-equipment" not in {each.check for each in proposal.after.findings}


def test_nothing_in_front_of_it_is_a_danger_too() -> None:
    plan = around(circuit_text("socket", load("6 A", max_fuse="15 A"), wire=cabin_wire("6 mm2", "0.5 m")))
    assert "fuse-exceeds-equipment" in {each.check for each in assess(plan, "road").findings}


def test_where_the_load_is_not_stated_its_fix_is_the_fuse_the_maker_allows() -> None:
    plan = around(circuit_text("socket", {"kind": "electronic", "max_fuse": "15 A"}, wire=cabin_wire("6 mm2", "0.5 m"),
                               fuse=fuse("30 A")))
    [found] = [each for each in assess(plan, "road").findings if each.check == "fuse-exceeds-equipment"]
    assert "15 A at most" in found.fix
    assert "?" not in found.fix
    smaller = around(circuit_text("socket", {"kind": "electronic", "max_fuse": "15 A"},
                                  wire=cabin_wire("6 mm2", "0.5 m"), fuse=fuse("15 A")))
    assert "fuse-exceeds-equipment" not in {each.check for each in assess(smaller, "road").findings}
