"""Two plans compared: every difference is named once, with its place, and nothing that means the same."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuseplan.advice.plan_comparison import PlanComparison, compare_plans
from fuseplan.checks.assessment import assess
from fuseplan.cli.main import main
from fuseplan.papers.plan_comparison_text import change_words, comparison_text, subject_of
from fuseplan.plan.references import REFERENCES
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.plain import with_value
from fuseplan.planfile.read import parse_plan, plan_of

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
CAR = Path(__file__).parents[1] / "tui" / "car.toml"
TEXT = CAR.read_text(encoding="utf-8")


def compared(before: str, after: str) -> PlanComparison:
    return compare_plans(assess(parse_plan(before)), assess(parse_plan(after)))


@pytest.mark.one_in(3)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_plan_compared_with_itself_has_no_difference(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert compared(text, text).same


def lengths(data: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Places of all lengths and ratings, which can be changed alone."""
    if isinstance(data, dict):
        return [each for key, value in data.items() for each in lengths(value, (*path, key))]
    if isinstance(data, list):
        return [each for index, value in enumerate(data) for each in lengths(value, (*path, index))]
    return [path] if path[-1] in ("length", "rating") else []


DATA = tomllib.loads(EXAMPLES[0].read_text(encoding="utf-8"))
PLAN = assess(plan_of(DATA, "", "plan"))


@settings(max_examples=12, deadline=None)
@given(st.sampled_from(lengths(DATA)))
def test_one_changed_value_is_one_difference_with_its_place(path: tuple[str | int, ...]) -> None:
    new = "7.123 m" if path[-1] == "length" else "33 A"
    after = assess(plan_of(with_value(DATA, path, new), "", "plan"))
    found = compare_plans(PLAN, after).changes
    assert [(each.path, each.after) for each in found] == [(path, new)]
    back = compare_plans(after, PLAN).changes
    assert [(each.path, each.before, each.after) for each in back] == [(path, new, found[0].before)]


def test_what_means_the_same_is_no_difference() -> None:
    assert 'size = "2.5 mm2"' in TEXT
    assert compared(TEXT, TEXT.replace('size = "2.5 mm2"', 'size = "2.50 mm²"')).same


def test_a_renamed_circuit_is_the_same_circuit() -> None:
    """By its place in the box or its name; what names it follows in silence."""
    found = compared(TEXT, TEXT.replace("circuit.fan", "circuit.radiator_fan"))
    assert [(each.kind, each.path) for each in found.changes] == [("renamed", ("circuit", "radiator_fan"))]
    assert not [*found.verdicts, *found.appeared, *found.gone]


def test_what_a_change_did_to_verdicts_and_findings_is_said() -> None:
    fuse = parse_plan(TEXT).circuit["fan"].fuse
    assert fuse is not None
    after = with_value(tomllib.loads(TEXT), ("circuit", "fan", "fuse", "rating"), "3 A")
    found = compare_plans(assess(parse_plan(TEXT)), assess(plan_of(after, "", "plan")))
    assert found.appeared
    other = compare_plans(found.after, found.before)
    assert [each.check for each in other.gone] == [each.check for each in found.appeared]
    assert [each.check for each in other.appeared] == [each.check for each in found.gone]
    said = comparison_text(found, ("one", "two"))
    assert f"fuse rating: {fuse.rating} → 3 A" in said
    assert all(f" {each.check} " in said for each in found.appeared)


def test_parts_that_came_and_went_are_named() -> None:
    data = tomllib.loads(TEXT)
    data["circuit"]["extra"] = {"name": "Extra lamp", "feed": next(iter(data["feed"]))}
    found = compare_plans(assess(parse_plan(TEXT)), assess(plan_of(data, "", "plan")))
    assert [(subject_of(each), change_words(each).split(":")[0]) for each in found.changes] == [
        ("circuit extra", "added")]
    back = compare_plans(found.after, found.before)
    assert [(subject_of(each), each.kind) for each in back.changes] == [("circuit extra", "removed")]
    for each in (found, back):
        assert "\n  Extra lamp (circuit extra)\n" in comparison_text(each, ("one", "two"))


def test_a_key_names_parts_of_one_table_only() -> None:
    targets: dict[str, set[str]] = {}
    for (_, key), target in REFERENCES.items():
        targets.setdefault(key, set()).add(target)
    # An earth leads `to` an earth and a feed comes `from` one; the rest means the same everywhere.
    assert all(len(each) == 1 for each in targets.values())


def test_the_command_ends_in_0_1_or_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = tmp_path / "other.toml"
    other.write_text(TEXT.replace("[circuit.fan]", "[circuit.fan]\nnote = \"\\u001b[2Jnew\""), encoding="utf-8")
    assert main(["compare", str(CAR), str(CAR)]) == 0
    assert main(["compare", str(CAR), str(other)]) == 1
    assert "\x1b" not in capsys.readouterr().out
    assert main(["compare", str(CAR), str(other), "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert [each["path"] for each in document["changes"]] == ["circuit.fan.note"]
    assert main(["compare", str(CAR), str(tmp_path / "none.toml")]) == 2
