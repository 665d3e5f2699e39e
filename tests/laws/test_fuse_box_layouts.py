"""A fuse box looks the same to every check, however its positions are written: listed one by one, or numbered in one go
and fed row by row."""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.boxes import answers, free, ways
from fuseplan.errors import PlanError
from fuseplan.plan.fuse_boxes import FuseBox, counted, feeds, places, rows
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan

EXAMPLES = Path(__file__).parents[2] / "examples"
COUPE = tomllib.loads((EXAMPLES / "coupe_turbo.toml").read_text(encoding="utf-8"))


def apart(data: dict[str, Any]) -> dict[str, Any]:
    """The same plan with a box a feed, each listing its positions."""
    data = copy.deepcopy(data)
    boxes: dict[str, Any] = {}
    for name, box in Plan.model_validate(data).fuse_box.items():
        for place in places(box):
            own = boxes.setdefault(f"{name}_{place.feed}", {"feed": place.feed, "position": {}})
            own["position"][place.position] = {"largest": str(place.part.largest), "kind": place.part.kind}
    data["fuse_box"] = boxes
    return data


def test_one_box_on_many_feeds_is_judged_as_many_boxes_on_one_each() -> None:
    together, many = assess(Plan.model_validate(COUPE)), assess(Plan.model_validate(apart(COUPE)))
    box_findings = {"wrong-fuse-position"}

    def said(assessment: Any) -> set[tuple[str, str]]:
        return {(each.check, each.subject) for each in assessment.findings
                if each.check not in box_findings or each.subject_kind != "fuse_box"}

    assert said(together) == said(many)
    for index in range(len(together.results.network.fuses)):
        one = {(each.way.position, each.why_not) for each in answers(together.results, index)}
        assert one == {(each.way.position, each.why_not) for each in answers(many.results, index)}
    assert free(together.results, "cabin") == sum(
        free(many.results, name) for name in many.plan.fuse_box if name.startswith("cabin"))


def test_positions_are_counted_on_row_by_row() -> None:
    box = FuseBox(feed="a", rows=2, columns=3, numbered="F08", row_feed=("a", "b"))
    assert [(each.position, each.feed, each.row, each.column) for each in places(box)] == [
        ("F08", "a", 1, 1), ("F09", "a", 1, 2), ("F10", "a", 1, 3),
        ("F11", "b", 2, 1), ("F12", "b", 2, 2), ("F13", "b", 2, 3)]
    assert feeds(box) == ("a", "b")
    assert counted("F", 3) == ()


def test_a_position_of_its_own_says_what_is_different_or_lies_outside_the_rows() -> None:
    box = FuseBox.model_validate({"feed": "a", "rows": 1, "columns": 2, "numbered": "1", "largest": "30 A",
                                  "kind": "blade", "position": {"2": {"largest": "10 A"}, "main": {"kind": "maxi"}}})
    found = {each.position: each for each in places(box)}
    assert [str(found[name].part.largest) for name in ("1", "2", "main")] == ["30 A", "10 A", "30 A"]
    assert [found[name].part.kind for name in ("1", "2", "main")] == ["blade", "blade", "maxi"]
    assert (found["main"].row, found["main"].column, found["main"].feed) == (None, None, "a")


def test_rows_follow_from_the_columns_where_positions_are_listed() -> None:
    listed = {"feed": "a", "columns": 2, "position": {name: {} for name in "xyz"}}
    box = FuseBox.model_validate(listed)
    assert rows(box) == 2
    assert [(each.row, each.column) for each in places(box)] == [(1, 1), (1, 2), (2, 1)]
    assert rows(FuseBox(feed="a")) is None


@pytest.mark.parametrize(("keys", "said"), [
    ('numbered = "F1"', "`numbered` without `rows` and `columns`"),
    ('numbered = "FA"\nrows = 1\ncolumns = 2', "ends in no number to count on from"),
    ("rows = 2", "`rows` without `columns`"),
    ('row_feed = ["post"]', "`row_feed` without `columns`"),
    ('rows = 1\ncolumns = 2\nrow_feed = ["post", "post"]', "`row_feed` names 2 rows, `rows` is 1"),
    ("rows = 1\ncolumns = 1\nposition = { a = {}, b = {} }", "`position` lists 2 positions"),
    ('columns = 1\nrow_feed = ["pots"]', "names 'pots', which is not a feed of this plan"),
    ("rows = 0\ncolumns = 1", "rows"),
])
def test_what_cannot_be_a_box_is_refused_with_its_line(keys: str, said: str) -> None:
    text = f'fuseplan = 1\n[feed.post]\n[fuse_box.b]\nfeed = "post"\n{keys}\n'
    with pytest.raises(PlanError) as refused:
        parse_plan(text, "car.toml")
    assert said in str(refused.value)
    assert "accepted" in str(refused.value) or "known" in str(refused.value)
    assert "car.toml:" in str(refused.value)


def test_an_own_bus_limit_holds_for_each_row_feed() -> None:
    data = copy.deepcopy(COUPE)
    data["fuse_box"]["cabin"]["rating"] = "1 A"
    found = {each.subject for each in assess(Plan.model_validate(data)).findings if each.check == "feed-overloaded"}
    assert {"main_bus", "ignition_bus"} <= found


def test_every_way_of_the_example_box_is_on_its_rows_feed() -> None:
    assessment = assess(Plan.model_validate(COUPE))
    cabin = ways(assessment.results, "cabin")
    assert len(cabin) == 30
    assert {way.feed for way in cabin[10:20]} == {"ignition_bus"}
    taken = [way for way in cabin if not way.is_free]
    fuses = [circuit["fuse"] for kind in ("feed", "circuit") for circuit in COUPE[kind].values() if "fuse" in circuit]
    assert len(taken) == sum(fuse.get("position", "").startswith("F") for fuse in fuses) > 20
    assert all(len(way.devices) == 1 for way in taken)
