"""What a fix of a check names is what the proposal changes, or the proposal says why not: over the examples and the
plans beside the checks."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.checks.fixes import copper_mm2
from fuseplan.limits import limit_set
from fuseplan.papers.propose_text import propose_text
from fuseplan.planfile.read import parse_plan
from tests.advice.worlds import example
from tests.checks.check_plans import FOLDER, whole

EXAMPLES = sorted(path.stem for path in (Path(__file__).parents[2] / "examples").glob("*.toml"))
PLANS = sorted(path.name for path in FOLDER.glob("*.toml"))


@cache
def proposed(name: str) -> Proposal:
    if name in EXAMPLES:
        return example(name)
    return propose(parse_plan(whole((FOLDER / name).read_text(encoding="utf-8"))), limit_set("road"),
                   look_for_savings=False)


def is_met(path: str, value: str, changes: dict[str, str]) -> bool:
    """Whether a value is changed to the one named; a wire may be thicker for another fault of it."""
    new = changes.get(path)
    return new == value or (new is not None and path.endswith(".size") and copper_mm2(new) >= copper_mm2(value))


def not_met(proposal: Proposal) -> list[tuple[str, str, str]]:
    """Findings that fail as entered and name a figure that the proposal neither sets nor says anything about."""
    changes = {".".join(map(str, each.path)): each.new_words for each in proposal.changes}
    said = {each.identity for each in (*proposal.collisions, *proposal.cured_by_others)}
    return [(each.check, each.subject, each.fix) for each in proposal.before.findings
            if each.values and not each.measure and each.level != "advice" and each.identity not in said
            and not all(is_met(path, value, changes) for path, value in each.values)]


@pytest.mark.parametrize("name", EXAMPLES + PLANS)
def test_a_figure_that_a_fix_names_is_proposed_or_said(name: str) -> None:
    assert not_met(proposed(name)) == []


def test_figures_of_every_kind_are_named_and_proposed() -> None:
    keys = {path.rpartition(".")[2] for name in EXAMPLES + PLANS for each in proposed(name).before.findings
            for path, _ in each.values if not each.measure and each.level != "advice"}
    assert keys >= {"rating", "size", "insulation"}


def test_what_passes_by_the_changes_to_other_parts_is_told_with_its_own_fix() -> None:
    proposal = proposed("coupe_turbo")
    assert [(each.check, each.subject) for each in proposal.cured_by_others] == [("fuse-exceeds-wire", "blower")]
    assert "If they are not all made: fit 25 A, which still carries the load." in " ".join(
        propose_text(proposal).split())
