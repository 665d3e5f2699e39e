"""No chain is too long, and nothing takes minutes: plans of odd shape through every way a plan is worked on."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import tomlkit

from fuseplan.advice.evidence import MOST_ASKED, measure_first, not_asked, sample
from fuseplan.advice.propose import propose
from fuseplan.checks import assess
from fuseplan.errors import PlanError
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import propose_text
from fuseplan.plan.reference_problems import MOST_ALTERNATIVES
from fuseplan.planfile.read import parse_plan
from fuseplan.results.address import figures
from fuseplan.workspace.session import Session
from fuseplan.workspace.supply import branches
from tests.odd_plans import CHAINS, CROWDS, groups
from tests.plans import plan_of

Made = Callable[[int], dict[str, Any]]
DEEPER = 1_100
"""More than Python's own limit on calls within calls, 1,000."""
SECONDS = 60.0
"""Of the processor, for one way of working on a plan of some hundred parts; a proposal for 500 feeds one behind the
other takes a third of it, more on a busy machine."""


SLOW = {"fused_feeds"}
"""Every fuse is held against every other above it."""


@pytest.mark.one_in(3)
@pytest.mark.parametrize("made", [pytest.param(made, marks=pytest.mark.long if name in SLOW else ())
                                  for name, made in CHAINS.items()], ids=CHAINS)
def test_no_chain_is_too_long_to_assess(made: Made) -> None:
    assessment = assess(plan_of(made(DEEPER)))
    assert [view.id for view in assessment.circuits] == ["end"]
    assert len(assessment.to_dict()["circuits"]) == 1


@pytest.mark.long
@pytest.mark.parametrize("made", CHAINS.values(), ids=CHAINS)
def test_no_chain_is_too_long_to_read_edit_explain_and_propose(made: Made, tmp_path: Path) -> None:
    path = tmp_path / "chain.toml"
    path.write_text(tomlkit.dumps(made(2_000)), encoding="utf-8")
    session = Session.open(path)
    session.edit("name", lambda: session.document.set(("circuit", "end", "name"), "the end of it"))
    session.edit("rename", lambda: session.document.rename("circuit", "end", "last"))
    assert session.plan.circuit["last"].name == "the end of it"
    assert len(branches(session, "feed")) == len(session.plan.feed)
    assert len(branches(session, "earth")) == len(session.plan.earth)
    assert len(list(figures(session.assessment.whole))) > 50
    assert propose_text(propose(session.plan, limit_set("road")))


@pytest.mark.long
@pytest.mark.parametrize("made", [*CHAINS.values(), *CROWDS.values()], ids=[*CHAINS, *CROWDS])
def test_nothing_takes_minutes(made: Made) -> None:
    plan = plan_of(made(500))
    took: dict[str, float] = {}

    def timed(name: str, work: Callable[[], object]) -> None:
        start = time.thread_time()
        work()
        took[name] = time.thread_time() - start

    timed("assess", lambda: assess(plan))
    assessment = assess(plan)
    timed("document", assessment.to_dict)
    timed("figures", lambda: [figure.value for figure in figures(assessment.whole)])
    timed("sample", lambda: sample(assessment, 20))
    timed("measure first", lambda: measure_first(assessment))
    timed("power", lambda: [assessment.results.power.trip(name) for name in assessment.results.power.trips])
    timed("propose", lambda: propose(plan, limit_set("road")))
    assert max(took.values()) < SECONDS, took


def test_measure_first_looks_at_the_most_uncertain_and_says_how_many_it_left_out() -> None:
    few, many = (assess(plan_of(groups(count))) for count in (MOST_ASKED, MOST_ASKED + 30))
    assert not_asked(few) == 0
    assert not_asked(many) == 30


def test_a_group_of_more_alternatives_than_can_be_tried_is_refused_with_the_number_accepted() -> None:
    data = groups(MOST_ALTERNATIVES + 2)
    for circuit in data["circuit"].values():
        circuit["load"][0]["either"] = "one"
    with pytest.raises(PlanError) as refused:
        parse_plan(tomlkit.dumps(data))
    assert str(refused.value).count("in the group 'one'") == 1
    assert f"accepted are up to {MOST_ALTERNATIVES}" in str(refused.value)
    for name in list(data["circuit"])[:2]:
        del data["circuit"][name]["load"][0]["either"]
    assert parse_plan(tomlkit.dumps(data)).circuit
