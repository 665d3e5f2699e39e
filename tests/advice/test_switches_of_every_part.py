"""A switch that is rated too low is answered by the proposal wherever it is: in a circuit, a feed or an earth lead."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from fuseplan.advice import propose
from fuseplan.limits import limit_set
from tests.advice.test_propose_laws import check_laws
from tests.plans import plan_of

OVERLOADED = ("switch-overloaded", "feed-overloaded")
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.mark.parametrize("path", [path if path.stem == "van_24v" else
                                  pytest.param(path, marks=pytest.mark.rest) for path in EXAMPLES],
                         ids=[path.stem for path in EXAMPLES])
@pytest.mark.parametrize("kind", ["circuit", "feed", "earth"])
def test_a_switch_rated_too_low_is_answered(path: Path, kind: str) -> None:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    for part in data[kind].values():
        named = "feed" if kind == "circuit" else "from" if kind == "feed" else "to"
        if named in part and "relay" not in part and not part.get("out_of_scope"):
            part["switch"] = {**part.get("switch", {}), "rating": "0.1 A"}
    proposal = propose(plan_of(data), limit_set("road"), look_for_savings=False)
    found = {(each.subject_kind, each.subject) for each in proposal.before.findings
             if each.check in OVERLOADED and each.subject_kind == kind and each.level != "advice"}
    assert found
    answered = {(change.path[0], change.path[1]) for change in proposal.changes if "relay" in change.path} | \
        {(each.subject_kind, each.subject) for each in proposal.collisions}
    assert found <= answered
    check_laws(proposal)
