"""A rating the program proposes by itself breaks no check; where none is proposed, every rating would break one."""

from __future__ import annotations

import math
from functools import lru_cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuseplan.advice import propose
from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.checks.subjects import fuse_subject
from fuseplan.engine.stock import ladder
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import summary_words
from fuseplan.plan.model import Plan
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.library import definitions
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan
from fuseplan.results.fuse import fuse_result
from tests.advice.worlds import gappy_plan, one

RATING = {"fuse-too-small", "fuse-exceeds-wire", "no-trip-far-end", "blows-at-switch-on", "no-such-fuse-rating",
          "wire-damaged-by-short", "connection-overloaded", "wrong-fuse-position", "no-fuse-fits"}
"""The checks that look at a rating."""


@lru_cache(maxsize=1)
def library_plans() -> dict[str, Plan]:
    """Every definition of the library alone in a new plan."""
    return {name: PlanDocument.from_text(starter_plan("Test car", (name,))).plan for name in definitions()}


def broken_by_ratings(assessment: Assessment) -> list[Finding]:
    """What is found above advice of the devices whose rating is proposed."""
    results = assessment.results
    proposed = {fuse_subject(row) for index, row in enumerate(results.network.fuses)
                if row.fuse.rating is None and not math.isnan(results.fusing.proposed_a[index])}
    return [finding for finding in assessment.findings
            if finding.check in RATING and finding.level != "advice" and not finding.measure
            and (finding.subject_kind, finding.subject) in proposed]


@pytest.mark.one_in(5, first=4)
@pytest.mark.parametrize("name", sorted(definitions()))
def test_no_rating_proposed_for_the_library_breaks_a_check(name: str) -> None:
    found = broken_by_ratings(assess(library_plans()[name]))
    assert not found, found[0].message


@settings(max_examples=40, deadline=None)
@given(circuits=st.integers(1, 12), seed=st.integers(0, 10_000))
def test_no_rating_proposed_in_a_generated_plan_breaks_a_check(circuits: int, seed: int) -> None:
    found = broken_by_ratings(assess(gappy_plan(circuits, seed)))
    assert not found, found[0].message


def with_rating(plan: Plan, circuit: str, rating: float) -> Assessment:
    return assess(changed(plan, {("circuit", circuit, "fuse", "rating"): f"{rating:g} A"}))


@pytest.mark.parametrize(("plan", "reason"), [
    (one('size = "0.75 mm2"', current="5.5 A", length="40 m"), "far end"),
    (one('size = "25 mm2"', 'fuse = { kind = "maxi", holder = "maxi_in_line" }', "44.5 A"), "holder"),
], ids=["far end", "holder"])
def test_where_none_is_proposed_every_rating_breaks_a_check(plan: Plan, reason: str) -> None:
    assessment = assess(plan)
    circuit = next(iter(plan.circuit))
    view = fuse_result(assessment, ("circuit", circuit))
    assert view is not None
    if view.proposed_a is None:
        assert view.none_fits or view.range_a.is_empty
    rejected = assessment.results.fusing.rejected.get(0, ())
    inside = [step for step in ladder(view.kind) if (view.range_a.low or 0) <= step <= (view.range_a.high or math.inf)]
    assert inside, "the range itself is not empty"
    assert reason in {each.reason for each in rejected}
    for each in rejected:
        judged = with_rating(plan, circuit, each.rating_a)
        assert any(finding.check in RATING for finding in judged.findings_for("circuit", circuit)), each
    if view.proposed_a is None:
        assert [each.rating_a for each in rejected] == inside
        empty, = (each for each in assessment.findings if each.check == "no-fuse-fits")
        assert f"{inside[0]:g} A" in empty.message
        assert assessment.verdict(circuit) == "fails"


def test_a_smaller_rating_is_taken_where_the_first_would_not_open() -> None:
    """A heated window of 120 to 400 W, on 6 mm² behind a thin main feed and a poor earth, asks for a fuse that a
    short at the far end does not blow; the smaller rating that carries the load as entered does."""
    text = starter_plan("Test car", ("heated_rear_window",)).replace('"70 mm2"', '"10 mm2"')
    text = text.replace('"18.5 A"', '"30 A"').replace('fuse = { kind = "blade" }', 'fuse = { kind = "maxi" }')
    assessment = assess(PlanDocument.from_text(text.replace('"1 mohm"', '"20 mohm"')).plan)
    view = assessment.circuit("rear_window").fuse
    assert view is not None
    assert view.proposed_a is not None
    reasons = {each.reason: each.rating_a for each in assessment.results.fusing.rejected[
        assessment.fuse_of["circuit", "rear_window"]]}
    assert reasons["far end"] > view.proposed_a
    assert {each.measure for each in assessment.findings_for("circuit", "rear_window")
            if each.check == "fuse-too-small"} == {True}


def test_a_small_number_of_findings_left_says_how_many_circuits_are_not_known() -> None:
    plan = parse_plan(starter_plan("new", ["horn", "radio"]))
    proposal = propose(plan, limit_set("road"), look_for_savings=False)
    unknown = [view.id for view in proposal.after.circuits if view.verdict == "unknown"]
    assert unknown
    assert f"still {len(unknown)} circuit" in summary_words(proposal)
