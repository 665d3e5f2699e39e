"""The first page names the worst first, whatever its check is called, and counts every fault it does not name."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.papers.action import action
from fuseplan.papers.findings import finding_level
from fuseplan.papers.summary import first_page, others_words
from fuseplan.papers.worst_first import FAR, PAST, alike, worst_first
from fuseplan.plan.part_names import in_words
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


@pytest.mark.parametrize("kept", [0, 12])
@pytest.mark.parametrize("level", ["danger", "warning"])
def test_a_fix_stands_for_others_only_where_theirs_names_the_same_sizes(kept: int, level: str) -> None:
    """The fuse that one motor needs may be more than the next may have: what is written beside the first of several
    must not be read as the fix of all."""
    looked_at = set()
    for name in ("coupe_turbo", *EXAMPLES):
        found = bare(name, kept)
        for first, *others in alike(leading(found, level)):
            sizes = {tuple(re.findall(r"[\d.]+ (?:A|mm²)|AWG \d+", action(each))) for each in (first, *others)}
            words = others_words(found, first, others, dict.fromkeys(map(id, others), 1))
            assert ("; the same fault: " in words) <= (len(sizes) == 1)
            assert bool(others) == ("the same fault" in words)
            looked_at.add((bool(others), "each with its own fix" in words))
    assert (True, True) in looked_at


def test_a_fix_that_differs_by_the_name_of_its_part_alone_is_the_same() -> None:
    found = bare("boot_battery", 100)
    short = next(each for each in bare("coupe_turbo", 100).findings if each.subject_kind == "circuit")
    one, other = list(found.plan.circuit)[:2]
    left, right = (replace(short, subject=each, fix=f"fit 2.5 mm² in place of wire 1 of {name}")
                   for each in (one, other) for name in [in_words(found.plan, "circuit", each)])
    times_of = {id(left): 1, id(right): 1}
    assert others_words(found, left, [right], times_of).startswith("; the same fault: ")
    thicker = replace(right, fix=right.fix.replace("2.5", "4"))
    assert "each with its own fix" in others_words(found, left, [thicker], times_of | {id(thicker): 1})


def test_fuses_that_are_not_selective_go_behind_a_battery_that_is_not_charged() -> None:
    found = bare("boot_battery", 100)
    short = next(each for each in bare("coupe_turbo", 100).findings if each.check == "discharge-while-running")
    short = replace(short, figure=60.0, limit=40.0)
    other = replace(short, check="not-selective", figure=180.0, limit=None, unit="A", subject_kind="feed",
                    subject="main_bus")
    assert [each.check for each in worst_first([other, short], found.plan)] == [
        "discharge-while-running", "not-selective"]
