"""The loom drawing is true along every run, and says of no wire what the plan does not say."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from fuseplan.build.facts import build_facts
from fuseplan.build.ways import parted, place_on_run
from fuseplan.checks.assessment import assess
from fuseplan.papers.loom_svg import draw
from fuseplan.papers.paper import Drawing, Table, Wishes, Words
from fuseplan.papers.sheets.loom_drawing import SHEET
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan

SVG = "{http://www.w3.org/2000/svg}"
EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))


def plan_of(runs: dict[str, dict[str, object]], wires: list[dict[str, object]]) -> Plan:
    return Plan.model_validate({
        "fuseplan": 1, "feed": {"bus": {}}, "run": runs,
        "circuit": {"lamp": {"feed": "bus", "wire": [{"size": "1 mm2", **wire} for wire in wires],
                             "load": [{"name": "lamp", "current": "2 A"}]}}})


def line(name: str, start: str, end: str, length: str | None = "1 m") -> dict[str, dict[str, object]]:
    return {name: {"from": start, "to": end, **({} if length is None else {"length": length})}}


ROW = line("one", "a", "b") | line("two", "b", "c", "2 m") | line("three", "c", "d", "500 mm")


@pytest.mark.parametrize("plan", EXAMPLES, ids=lambda plan: plan.stem)
def test_every_run_is_as_long_on_paper_as_the_scale_says(plan) -> None:
    layout = build_facts(assess(read_plan(plan))).layout
    numbers = {f"run:{each.bundle.id}": f"R{number}" for number, each in enumerate(layout.sections)}
    numbers |= {f"place:{place.name}": f"{number}" for number, place in enumerate(layout.places)}
    drawn = draw(layout, numbers)
    lines = list(ET.fromstring(drawn.svg).iter(f"{SVG}line"))
    assert len(lines) == len(layout.sections) >= 2
    scaled = 0
    for section, each in zip(layout.sections, lines, strict=True):
        long = math.hypot(float(each.get("x2", 0)) - float(each.get("x1", 0)),
                          float(each.get("y2", 0)) - float(each.get("y1", 0)))
        if section.to_scale:
            assert long == pytest.approx(float(section.bundle.run.length) * 1000 / drawn.scale, abs=0.05)
            scaled += 1
        assert (each.get("stroke-dasharray") is None) == section.to_scale
    assert scaled
    assert drawn.width_mm <= 262
    assert drawn.height_mm <= 160


def test_the_drawing_fits_whatever_the_size_of_the_loom() -> None:
    for length in ("20 mm", "1 m", "60 m"):
        facts = build_facts(assess(plan_of(line("one", "a", "b", length) | line("two", "b", "c", length), [
            {"along": ["one", "two"]}])))
        numbers = {"run:one": "R1", "run:two": "R2", "place:a": "1", "place:b": "2", "place:c": "3"}
        drawn = draw(facts.layout, numbers)
        for each in ET.fromstring(drawn.svg).iter(f"{SVG}circle"):
            assert 0 < float(each.get("cx", -1)) < drawn.width_mm
            assert 0 < float(each.get("cy", -1)) < drawn.height_mm


@pytest.mark.parametrize(("runs", "wires"), [
    ({}, [{"length": "1 m"}]), (ROW, [{"length": "1 m"}]), (line("one", "a", "b", None), [{"along": ["one"]}]),
    (line("one", "a", "b", None) | line("two", "b", "c", None) | line("three", "a", "b", None), [{"length": "1 m"}]),
    (line("one", "a", "b", "1 mm"), [{"along": ["one"]}])])
def test_every_loom_is_drawn_and_one_without_runs_is_said_to_be_none(runs: dict[str, dict[str, object]],
                                                                     wires: list[dict[str, object]]) -> None:
    found = SHEET.paper(assess(plan_of(runs, wires)), Wishes()).blocks
    drawings = [block for block in found if isinstance(block, Drawing)]
    assert len(drawings) == bool(runs)
    assert [len(list(ET.fromstring(each.svg).iter(f"{SVG}circle"))) for each in drawings] == [
        len({place for run in runs.values() for place in (run["from"], run["to"])}) for _ in drawings]
    assert any(isinstance(block, Words) and block.text.startswith("The plan has no runs") for block in found) != bool(
        drawings)


def test_every_run_place_and_leaving_wire_is_in_the_tables() -> None:
    assessment = assess(read_plan(shipped_folder("examples") / "coupe_turbo.toml"))
    facts = build_facts(assessment)
    paper = SHEET.paper(assessment, Wishes())
    tables = {block.name: block for block in paper.blocks if isinstance(block, Table)}
    assert len(tables["runs"].rows) == len(assessment.plan.run)
    assert len(tables["places"].rows) == 2 * len(facts.ways) > 20
    drawing = next(block for block in paper.blocks if isinstance(block, Drawing))
    texts = {element.text for element in ET.fromstring(drawing.svg).iter(f"{SVG}text")}
    for row in tables["runs"].rows:
        assert any(str(text).startswith(f"{row[0]} ") for text in texts)


def test_names_that_are_markup_stay_names() -> None:
    facts = build_facts(assess(plan_of(line("<b>&", "</svg>", "\"'\x1b"), [{"along": ["<b>&"]}])))
    numbers = {"run:<b>&": "R1", "place:</svg>": "1", "place:\"'\x1b": "2"}
    drawn = draw(facts.layout, numbers)
    texts = {element.text for element in ET.fromstring(drawn.svg).iter(f"{SVG}text")}
    assert {"</svg>", "\"'\\x1b"} <= texts


@pytest.mark.parametrize(("wires", "stops"), [
    ([{"along": ["one", "two"]}], ("a", "b", "c")),
    ([{"along": ["two", "one"]}], ("c", "b", "a")),
    # One run alone, and the next wire goes on from one end of it.
    ([{"along": ["one"]}, {"along": ["two"]}], ("a", "b")),
    ([{"along": ["two"]}, {"along": ["one"]}], ("c", "b")),
    ([{"along": ["two"]}, {"along": ["three"]}], ("b", "c"))])
def test_a_wire_lies_the_way_its_runs_say(wires: list[dict[str, object]], stops: tuple[str, ...]) -> None:
    found = build_facts(assess(plan_of(ROW, wires))).ways[("circuit", "lamp"), "wire.0"]
    assert found.stops == stops
    assert found.directed


@pytest.mark.parametrize("wires", [[{"along": ["one"]}], [{"along": ["one"]}, {"length": "1 m"}],
                                   [{"along": ["one"]}, {"along": ["three"]}]])
def test_which_end_of_a_wire_is_where_is_not_guessed(wires: list[dict[str, object]]) -> None:
    facts = build_facts(assess(plan_of(ROW, wires)))
    way = next(each for key, each in facts.ways.items() if key[1] == "wire.0")
    assert not way.directed
    assert place_on_run(way, 0.2, facts.assessment.plan.run) is None


@pytest.mark.parametrize(("wires", "wrong"), [
    ([{"along": ["one", "two"]}, {"along": ["three"]}], False), ([{"along": ["one"]}, {"along": ["two"]}], False),
    ([{"along": ["two", "one"]}, {"along": ["three"]}], True), ([{"along": ["one"]}, {"along": ["three"]}], True),
    ([{"along": ["one"]}, {"length": "1 m"}], False)])
def test_joined_wires_whose_ways_do_not_meet_are_named(wires: list[dict[str, object]], wrong: bool) -> None:
    assessment = assess(plan_of(ROW, wires))
    assert bool(parted(build_facts(assessment).ways)) == wrong
    said = [block.text for block in SHEET.paper(assessment, Wishes()).blocks
            if isinstance(block, Words) and block.role == "caution"]
    assert len(said) == wrong
    assert all("lamp-A and lamp-B are joined" in text for text in said)


@pytest.mark.parametrize(("along", "place_m", "where"), [
    (["one", "two"], 1.5, ("two", 0.25)), (["two", "one"], 1.5, ("two", 0.25)), (["two", "one"], 2.25, ("one", 0.75)),
    (["one", "two"], 0.25, ("one", 0.25)), (["one", "two"], 9.0, None)])
def test_a_place_on_a_wire_is_counted_from_the_wires_start(along: list[str], place_m: float,
                                                           where: tuple[str, float] | None) -> None:
    facts = build_facts(assess(plan_of(ROW, [{"along": along}])))
    way = facts.ways[("circuit", "lamp"), "wire.0"]
    assert place_on_run(way, place_m, facts.assessment.plan.run) == where


@pytest.mark.parametrize("plan", EXAMPLES, ids=lambda plan: plan.stem)
def test_no_name_lies_on_the_line_of_a_run(plan) -> None:
    layout = build_facts(assess(read_plan(plan))).layout
    numbers = {f"run:{each.bundle.id}": f"R{number}" for number, each in enumerate(layout.sections)}
    numbers |= {f"place:{place.name}": f"{number}" for number, place in enumerate(layout.places)}
    root = ET.fromstring(draw(layout, numbers).svg)
    names = [each for each in root.findall(f"{SVG}text")
             if each.get("font-size") == "2.60" and not (each.text or "").isdigit()]
    assert len(names) >= len(layout.places)
    for each in names:
        x, y, half = float(each.get("x", 0)), float(each.get("y", 0)), 0.3 * 2.6 * len(each.text or "")
        for run in root.findall(f"{SVG}line"):
            x1, y1, x2, y2, thick = (float(run.get(key, 0)) for key in ("x1", "y1", "x2", "y2", "stroke-width"))
            for step in range(201):
                at = x1 + (x2 - x1) * step / 200, y1 + (y2 - y1) * step / 200
                covered = abs(at[0] - x) < half + thick / 2 and y - 1.9 - thick / 2 < at[1] < y + thick / 2
                assert not covered, f"{each.text} on the run at {at}"
