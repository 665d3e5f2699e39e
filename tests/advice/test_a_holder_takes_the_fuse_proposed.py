"""A proposal leaves no fuse in a holder that is too small for it, where one on file takes it; the limits of holders are
those of their maker's sheets, Littelfuse FHA and MAH."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
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
