"""A wire is proposed thicker than its terminals are made for with a word about them, in every form of the proposal."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import propose_text
from tests.advice.worlds import one

ROAD = limit_set("road")


@pytest.mark.parametrize(("terminal", "is_said"), [("flat_6.3", True), ("flat_2.8", True), (None, False)])
def test_a_terminal_that_takes_no_wire_so_thick_is_named(terminal: str | None, is_said: bool) -> None:
    """6.3 mm push-on terminals are printed for AWG 10, 5.26 mm², at most (faston_250.csv)."""
    ends = "" if terminal is None else f', start = {{ terminal = "{terminal}" }}'
    plan = one(wire=f'size = "4 mm2"{ends}', fuse='fuse = { kind = "maxi", rating = "60 A" }', current="40 A")
    proposal = propose(plan, ROAD, look_for_savings=False)
    change, = (each for each in proposal.changes if each.path[-1] == "size")
    assert float(str(change.new).split()[0]) >= 6.0
    assert ("push-on terminal" in change.why) is is_said
    for full in (False, True):
        assert ("terminal" in propose_text(proposal, 200, full=full)) is is_said
