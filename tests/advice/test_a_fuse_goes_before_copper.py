"""A circuit without a fuse of its own, behind one that is too large for its wires, is proposed one where it starts, as
its finding says: none of its wires grows to suit the fuse of the whole feed."""

from __future__ import annotations

import tomllib
from typing import Any

import numpy as np
import pytest

from fuseplan.advice import propose
from fuseplan.advice.added_fuse import is_branch
from fuseplan.advice.draft import Draft
from fuseplan.advice.trials import Trials
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value, without
from tests.laws.test_silence_never_helps import GOOD

TOO_LARGE = {"fuse-exceeds-wire", "thinner-wire-unprotected", "no-trip-far-end", "wire-damaged-by-short"}


@pytest.mark.parametrize("bare", [("lamps",), ("lamps", "clock")])
def test_a_fuse_is_added_and_no_wire_grows_for_that_of_the_feed(bare: tuple[str, ...]) -> None:
    data: Any = tomllib.loads(GOOD)
    for circuit in bare:
        data = with_value(without(data, ("circuit", circuit, "fuse")), ("circuit", circuit, "wire", 0, "size"), "1 mm2")
    plan = Plan.model_validate(data)
    assert {each.subject for each in assess(plan).findings if each.check in TOO_LARGE} >= set(bare)
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    assert {change.path[1] for change in proposal.changes if change.path[2:] == ("fuse",)} == set(bare)
    assert not [change for change in proposal.changes if change.path[-1] == "size" and change.check in TOO_LARGE]
    assert not [each for each in proposal.after.findings if each.check in TOO_LARGE]


def test_the_only_load_of_a_feed_gets_no_second_fuse_in_a_row() -> None:
    data: Any = tomllib.loads(GOOD)
    data["feed"]["fan_bus"] = {"from": "post", "zone": "cabin", "wire": data["feed"]["bus"]["wire"], "fuse": {
        "kind": "maxi", "rating": "40 A", "distance": "100 mm"}}
    data = without(data, ("circuit", "fan", "fuse"))
    for path, value in ((("feed",), "fan_bus"), (("wire", 0, "size"), "1 mm2"), (("load", 0, "current"), "24 A")):
        data = with_value(data, ("circuit", "fan", *path), value)
    proposal = propose(Plan.model_validate(data), limit_set("road"), look_for_savings=False)
    assert "fan" in {each.subject for each in proposal.before.findings if each.check in TOO_LARGE}
    changed = {change.path for change in proposal.changes}
    assert ("circuit", "fan", "fuse") not in changed
    assert ("circuit", "fan", "wire", 0, "size") in changed
    assert not [each for each in proposal.after.findings if each.check in TOO_LARGE]


def test_a_small_circuit_is_a_branch_while_the_load_of_its_feed_is_not_known() -> None:
    """As while the size of a starter's cable is to be chosen: the fuse of the feed was then exchanged for a smaller
    one, for a circuit that gets its own."""
    plan = Plan.model_validate(without(tomllib.loads(GOOD), ("circuit", "clock", "fuse")))
    draft = Draft(Trials(plan, limit_set("road")), None)
    results = draft.assess().results
    assert is_branch(draft, results, ("circuit", "clock"))
    results.demands.supply[...] = np.nan
    assert is_branch(draft, results, ("circuit", "clock"))
