"""What a proposal is found by: each changed plan is assessed once, and as if it were the first."""

from __future__ import annotations

import pytest

from fuseplan.advice import propose, trials
from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.plan.putting import Plain
from fuseplan.plan.references import Path
from tests.advice.worlds import gappy_plan

ROAD = limit_set("road")


@pytest.mark.parametrize("seed", [1, 4])
def test_no_plan_is_assessed_twice_on_the_way_to_a_proposal(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    plans: list[Plan] = []
    made = trials.assess
    monkeypatch.setattr(trials, "assess", lambda plan, *more: plans.append(plan) or made(plan, *more))
    assert propose(gappy_plan(6, seed), ROAD, look_for_savings=False).changes
    assert len(plans) > 2
    assert not [one for number, one in enumerate(plans) if one in plans[:number]]


def test_an_assessment_that_begins_from_the_one_before_says_the_same() -> None:
    plan = gappy_plan(6, 1)
    tried = trials.Trials(plan, ROAD)
    values: dict[Path, Plain] = {}
    steps: list[tuple[Path, Plain]] = [
        (("circuit", "circuit_1", "fuse", "rating"), "20 A"), (("circuit", "circuit_2", "wire", 0, "size"), "6 mm2"),
        (("alternator", "fuse"), {"kind": "mega", "rating": "200 A"}), (("alternator", "cable", 0, "size"), "50 mm2"),
        (("feed", "coils"), {"from": "bus_0"}), (("feed", "coils", "fuse"), {"kind": "mini", "rating": "5 A"}),
        (("circuit", "circuit_1", "fuse", "rating"), "10 A")]
    for path, value in steps:
        values[path] = value
        found, plain = tried.of(values), assess(changed(plan, values), ROAD)
        assert found.plan == plain.plan
        assert found.findings == plain.findings
    del values["circuit", "circuit_2", "wire", 0, "size"]
    assert tried.of(values).plan == changed(plan, values)
    assert tried.of({}).plan == plan
