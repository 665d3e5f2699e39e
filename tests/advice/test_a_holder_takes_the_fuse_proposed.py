"""A proposal leaves no fuse in a holder that is too small for it, where one on file takes it; the limits of holders are
those of their maker's sheets, Littelfuse FHA and MAH."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from fuseplan.advice import propose
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from tests.advice.worlds import one

HOLDER = ("circuit", "one", "fuse", "holder")


@pytest.mark.parametrize("rating", ["5 A", "20 A", "30 A"])
@pytest.mark.parametrize(("current", "holder"), [
    ("6 A", "blade_in_line"), ("12 A", "blade_in_line"), ("16 A", "blade_in_line_heavy"),
    ("20 A", "blade_in_line_heavy")])
@pytest.mark.parametrize("evidence", ["measured", "guess"])
def test_the_holder_goes_with_the_fuse(current: str, holder: str, rating: str, evidence: str) -> None:
    plan = one('size = "6 mm2"', f'fuse = {{ kind = "blade", rating = "{rating}", holder = "blade_in_line" }}',
               current=current, evidence=evidence)
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    assert not [each for each in proposal.after.findings if each.check == "connection-overloaded" and not each.measure]
    changes = {change.path: change.new for change in proposal.changes}
    assert changes.get(HOLDER, "blade_in_line") == holder


def test_a_holder_for_another_type_is_replaced() -> None:
    plan = one('size = "6 mm2"', 'fuse = { kind = "blade", rating = "15 A", holder = "mini_in_line" }')
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    assert {change.path: change.new for change in proposal.changes} == {HOLDER: "blade_in_line"}
    assert not proposal.left


BOX = """
[fuse_box.cab]
feed = "battery_post"
rows = 1
columns = 4
numbered = "F1"
kind = "blade"
largest = "{}"
"""


@pytest.mark.parametrize(("largest", "rating", "holder", "current", "fitted"), [
    ("10 A", "20 A", "blade_in_line_heavy", "14 A", None), ("15 A", "30 A", "blade_in_line_heavy", "16 A", None),
    ("10 A", "20 A", "blade_in_line", "14 A", None), ("15 A", "30 A", "blade_in_line", "16 A", "blade_in_line_heavy"),
    ("10 A", "20 A", "mini_in_line", "14 A", "blade_in_line")])
def test_a_holder_is_no_answer_to_a_position(largest: str, rating: str, holder: str, current: str, fitted: str | None
                                             ) -> None:
    """A fuse too large for its position in the fuse box keeps a holder that takes it, and the position stays told."""
    circuit = one('size = "6 mm2"', f'fuse = {{ kind = "blade", rating = "{rating}", holder = "{holder}", '
                  f'position = "F1", distance = "100 mm" }}', current=current, load=BOX.format(largest))
    proposal = propose(circuit, limit_set("road"), look_for_savings=False)
    assert {change.path: (change.new, change.check) for change in proposal.changes} == (
        {} if fitted is None else {HOLDER: (fitted, "connection-overloaded")})
    assert "wrong-fuse-position" in {each.check for each in (*proposal.left, *proposal.collisions)}

def about_holders(findings: Iterable[Finding]) -> set[tuple[str, str, str]]:
    return {each.identity for each in findings if each.check == "connection-overloaded" and not each.measure}


@pytest.mark.parametrize(("kind", "holder"), [
    ("blade", "blade_in_line"), ("blade", "midi_holder"), ("maxi", "maxi_in_line"), ("midi", "midi_holder"),
    ("mega", "midi_holder")])
@pytest.mark.parametrize("current", ["12 A", "18 A", "24 A", "35 A", "70 A", "155 A"])
@pytest.mark.parametrize("origin", ["", ', origin = "existing"'])
def test_what_a_holder_does_not_take_is_mended_or_said(current: str, kind: str, holder: str, origin: str) -> None:
    """No fuse is left in a holder that does not take it or its load, unless that collides with something; a second
    proposal finds no more to change."""
    for rating in ("15 A", "40 A"):
        plan = one(f'size = "1 mm2"{origin}', f'fuse = {{ kind = "{kind}", rating = "{rating}", '
                   f'holder = "{holder}", distance = "100 mm" }}', current=current)
        proposal = propose(plan, limit_set("road"), look_for_savings=False)
        assert about_holders(proposal.after.findings) <= {each.identity for each in proposal.collisions}
        assert not propose(proposal.plan, limit_set("road"), look_for_savings=False).changes
        fuse = proposal.plan.circuit["one"].fuse
        assert fuse is not None
        if not origin and kind != "mega" and current != "155 A":
            assert proposal.accepted, "a type on file has a holder on file for it"


@pytest.mark.parametrize("rating", ["15 A", "40 A"])
def test_a_fuse_too_small_on_a_wire_that_is_kept_gets_a_holder_for_the_load(rating: str) -> None:
    """No fuse carries 24 A on a kept wire of 1 mm²; the heavy holder carries the fuse that is left and the load."""
    plan = one('size = "1 mm2", origin = "existing"', f'fuse = {{ kind = "blade", rating = "{rating}", '
               'holder = "blade_in_line", distance = "100 mm" }', current="24 A")
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    assert not about_holders(proposal.after.findings)
    assert {change.path: change.new for change in proposal.changes}[HOLDER] == "blade_in_line_heavy"


def test_a_load_past_the_fuses_of_its_holder_gets_a_larger_type_in_its_own() -> None:
    """24 A ask for 32 A of fuse and more: the heavy blade holder takes 30 A, the maxi holder 60 A and 45 A of load."""
    plan = one('size = "1 mm2"', 'fuse = { kind = "blade", rating = "15 A", holder = "blade_in_line", '
               'distance = "100 mm" }', current="24 A")
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    assert proposal.accepted
    fuse = proposal.plan.circuit["one"].fuse
    assert fuse is not None
    assert (fuse.kind, fuse.holder, str(fuse.rating)) == ("maxi", "maxi_in_line", "40 A")
    [said] = [each for each in proposal.before.findings if each.check == "connection-overloaded"]
    assert "blade_in_line_heavy" not in said.fix, "it takes no fuse that carries the load"
