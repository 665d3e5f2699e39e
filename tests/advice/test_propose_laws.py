"""Laws of every proposal, on generated plans and on the examples, under every set of limits shipped."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuseplan.advice import Collision, Proposal, propose
from fuseplan.advice.cures import is_curable
from fuseplan.advice.draft import Draft
from fuseplan.advice.look import Look
from fuseplan.advice.sizes import all_segments
from fuseplan.advice.trials import Trials
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set, names
from fuseplan.plan.model import Battery
from fuseplan.planfile.library import definitions
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan
from fuseplan.tables import conductors
from tests.advice.worlds import example, gappy_plan
from tests.plans import plan_of, random_plan

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


def area(size: object) -> float:
    """Copper area of a size, 0 for none."""
    return 0.0 if size is None else conductors.conductor(size.system, size.name).area_mm2  # type: ignore[attr-defined]


def _key(each: Finding | Collision) -> tuple[str, str, str]:
    return each.check, each.subject_kind, each.subject


def check_laws(proposal: Proposal) -> None:
    after, plan = proposal.after, proposal.before.plan
    above = [finding for finding in after.findings if finding.level != "advice"]
    if proposal.accepted:
        assert not above
    look = Look(Draft(Trials(plan, after.limit_set), None), after)
    named = {_key(each) for each in proposal.collisions}
    had = {_key(finding) for finding in proposal.before.findings if finding.level != "advice" and not finding.measure}
    for finding in above:
        if finding.measure:
            continue
        # What a size, a rating, a relay or an insulation can cure is cured, or it is said why not.
        assert not is_curable(look, finding) or _key(finding) in named, finding.message
        # No proposal is itself above advice, unless it is said what it could not meet.
        assert _key(finding) in had | named, finding.message
        # No fuse that only blows under its load is made so large that it burns the car.
        assert finding.level != "danger" or _key(finding) in had or not [
            each for each in proposal.changes if each.check == "fuse-too-small" and each.old is not None
            and ".".join(map(str, each.path)) in finding.fields], finding.message
    for each in proposal.collisions:
        assert each.words
        assert each.fix
    before, changed = all_segments(plan), all_segments(after.plan)
    assert len(before) == len(changed)
    for old, new in zip(before, changed, strict=True):
        if old.origin == "existing":
            assert old == new
        assert area(new.size) >= area(old.size)
    fusing = after.results.fusing
    for index, row in enumerate(after.results.network.fuses):
        path = (*(part for part in row.owner if part), "fuse", "rating")
        if any(change.path == path for change in proposal.changes):
            assert fusing.rating_a[index] <= fusing.high_a[index] * (1 + 1e-9), row.owner
    for change in proposal.changes:
        assert change.check
        assert change.why
        assert change.new != change.old


SLOW = "coupe_turbo"
"""The largest example: by its own set of limits in each run, by the others among the long tests."""
CASES = [pytest.param(path, name, id=f"{path.stem}-{name}",
                      marks=pytest.mark.long if path.stem == SLOW and name != "road" else ())
         for path in EXAMPLES for name in names()]


@pytest.mark.one_in(4, first=1)
@pytest.mark.parametrize(("path", "name"), CASES)
def test_the_laws_hold_on_the_examples(path: Path, name: str) -> None:
    check_laws(example(path.stem, name))


@settings(max_examples=25, deadline=None)
@given(circuits=st.integers(1, 14), seed=st.integers(0, 10_000), name=st.sampled_from(names()))
def test_the_laws_hold_on_generated_plans(circuits: int, seed: int, name: str) -> None:
    check_laws(propose(gappy_plan(circuits, seed), limit_set(name), look_for_savings=False))


@pytest.mark.parametrize("taken", [
    pytest.param(slice(0, None, 3), id="each_third"), pytest.param(slice(None), id="all", marks=pytest.mark.rest)])
def test_the_laws_hold_on_a_plan_of_library_circuits(taken: slice) -> None:
    """What the library has, in one new plan, with a battery whose shorts are known."""
    plan = parse_plan(starter_plan("new", list(definitions())[taken]))
    battery = Battery.model_validate({"capacity": "70 Ah", "cold_crank": "640 A"})
    proposal = propose(plan.model_copy(update={"battery": battery}), limit_set("road"), look_for_savings=False)
    assert len(proposal.changes) > 0.5 * len(plan.circuit)
    check_laws(proposal)


@pytest.mark.parametrize("seed", range(2))
def test_the_laws_hold_on_random_plans(seed: int) -> None:
    check_laws(propose(plan_of(random_plan(seed)), limit_set("road"), look_for_savings=False))


@pytest.mark.long
@pytest.mark.parametrize("seed", [54, *range(2, 30)])
def test_the_laws_hold_on_many_random_plans(seed: int) -> None:
    check_laws(propose(plan_of(random_plan(seed)), limit_set("road"), look_for_savings=False))


@settings(max_examples=10, deadline=None)
@given(circuits=st.integers(1, 10), seed=st.integers(0, 10_000))
def test_a_proposal_leaves_nothing_to_propose_where_it_is_accepted(circuits: int, seed: int) -> None:
    first = propose(gappy_plan(circuits, seed), limit_set("road"), look_for_savings=False)
    if not first.collisions:
        assert propose(first.plan, limit_set("road"), look_for_savings=False).changes == ()


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_a_proposal_for_one_circuit_changes_that_circuit_alone(seed: int) -> None:
    plan = gappy_plan(8, seed)
    proposal = propose(plan, limit_set("road"), "circuit_3", look_for_savings=False)
    assert all(change.path[:2] == ("circuit", "circuit_3") for change in proposal.changes)
    for name in plan.circuit:
        assert name == "circuit_3" or proposal.plan.circuit[name] == plan.circuit[name]
    assert proposal.plan.feed == plan.feed


def accepted_ones(count: int) -> list[Proposal]:
    found = []
    for seed in range(40):
        proposal = propose(gappy_plan(5, seed), limit_set("road"), look_for_savings=False)
        if proposal.accepted:
            found.append(proposal)
            if len(found) == count:
                break
    return found


def test_the_laws_are_not_empty() -> None:
    """Proposals for generated plans are accepted, not because there was nothing to change."""
    proposals = accepted_ones(5)
    assert len(proposals) == 5
    for proposal in proposals:
        plan = proposal.before.plan
        keys = {change.path[-1] for change in proposal.changes}
        assert {"size", "rating"} <= keys
        assert any(view.verdict != "ok" for view in proposal.before.circuits)
        # What the plan does not say of coil wires no size or rating answers.
        asked = {each.subject for each in proposal.after.not_said if each.kind == "coil_wire" and each.safety}
        assert all(view.verdict in ("ok", "measure") for view in proposal.after.circuits if view.id not in asked)
        assert len(asked) < len(plan.circuit)
