"""The first page names the worst first, whatever its check is called, and counts every fault it does not name."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.papers.findings import finding_level
from fuseplan.papers.summary import first_page
from fuseplan.papers.worst_first import FAR, PAST, alike, worst_first
from fuseplan.planfile.library import shipped_folder
from tests.papers.first_page_read import dangers_told
from tests.plans import plan_of

EXAMPLES = ("boot_battery", "dynamo_saloon", "van_24v")


@cache
def bare(name: str, kept: int) -> Assessment:
    """An example whose circuits and feeds have no fuse, but for the first few."""
    data: Any = tomllib.loads((shipped_folder("examples") / f"{name}.toml").read_text(encoding="utf-8"))
    for part in [*data["circuit"].values(), *data["feed"].values()][kept:]:
        part.pop("fuse", None)
    return assess(plan_of(data))


def leading(found: Assessment, level: str) -> list[Finding]:
    return [each for each in found.findings if each.cause is None and finding_level(each) == level]


def times(finding: Finding) -> float:
    if finding.figure is None or finding.limit is None:
        return float("inf") if finding.figure is None or all_rules()[finding.check].lack else PAST
    share = finding.figure / finding.limit
    return share if finding.figure_side == "burden" else 1.0 / share


@pytest.mark.parametrize("kept", [12, 20, 100])
def test_what_is_far_past_its_limit_goes_before_what_is_just_past_it(kept: int) -> None:
    """In whatever order they are found, and however many circuits are behind what is just past it."""
    found = bare("coupe_turbo", kept)
    dangers = leading(found, "danger")
    dangers += [replace(each, subject_kind="feed", subject="main_bus", figure=1.1 * each.limit) for each in dangers
                if each.limit is not None and each.figure_side == "burden" and each.unit != "°C"]
    order = worst_first(dangers[::-1], found.plan)
    assert sorted(map(id, order)) == sorted(map(id, dangers))
    bands = [0 if times(each) >= FAR else 1 if times(each) >= PAST else 2 for each in order if each.unit != "°C"]
    assert bands == sorted(bands)
    assert len(set(bands)) > 1


def test_of_two_missing_fuses_that_with_more_behind_it_goes_first() -> None:
    found = bare("dynamo_saloon", 0)
    order = [each for each in worst_first(leading(found, "danger"), found.plan) if each.check == "no-fuse"]
    assert order[0].subject == "control_box"
    kinds = [each.subject_kind for each in order if each.subject_kind == "circuit" or each.subject == "control_box"]
    assert kinds[0] == "feed"


@pytest.mark.parametrize("kept", [0, 12])
@pytest.mark.parametrize("name", EXAMPLES)
def test_each_danger_is_named_or_counted(name: str, kept: int) -> None:
    found = bare(name, kept)
    told, counted = dangers_told(first_page(found, 100))
    assert told == counted == len(leading(found, "danger"))


def test_what_is_put_together_is_one_fault_of_different_parts() -> None:
    looked_at = 0
    for name in EXAMPLES:
        for group in alike(leading(bare(name, 0), "danger")):
            assert len({(each.check, each.subject_kind) for each in group}) == 1
            assert len({each.subject for each in group}) == len(group)
            looked_at += len(group) > 1
    assert looked_at


def test_fuses_that_are_not_selective_go_behind_a_battery_that_is_not_charged() -> None:
    found = bare("boot_battery", 100)
    short = next(each for each in bare("coupe_turbo", 100).findings if each.check == "discharge-while-running")
    short = replace(short, figure=60.0, limit=40.0)
    other = replace(short, check="not-selective", figure=180.0, limit=None, unit="A", subject_kind="feed",
                    subject="main_bus")
    assert [each.check for each in worst_first([other, short], found.plan)] == [
        "discharge-while-running", "not-selective"]
