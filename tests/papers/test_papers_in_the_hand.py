"""Papers as they are used: room for the pen, the label found again, sizes beside what is crimped, words for codes."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import get_args

from fuseplan.bench.sheet import sheet_of
from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.papers.findings import check_words
from fuseplan.papers.paper import Label, LabelSheet, Pairs, Table, Words
from fuseplan.papers.paper_set import paper_set, texts_of
from fuseplan.papers.power_text import power_text
from fuseplan.papers.sheets.connectors import _SPLICES
from fuseplan.papers.sheets.owner_summary import STOPPED_BY
from fuseplan.papers.writers.pdf_blocks import block_data, label_list
from fuseplan.plan.words import CutOff
from fuseplan.planfile.read import read_plan
from fuseplan.workspace.findings import subject_words
from fuseplan.workspace.session import Session
from tests.plans import plan_of

COUPE = Path(__file__).parents[2] / "examples" / "coupe_turbo.toml"
PORTRAIT_MM = 183.0


def tables(assessment: Assessment, paper: str) -> dict[str, Table]:
    [found] = paper_set(assessment, [paper]).papers
    return {block.name: block for block in found.blocks if isinstance(block, Table)}


def test_what_is_written_in_sentences_has_room_for_them() -> None:
    """Eight words by hand take some 50 mm; a line of its own is as high as writing."""
    assessment = assess(read_plan(COUPE))
    changed = block_data(tables(assessment, "change-log")["by_hand"], PORTRAIT_MM)
    wide = [each["mm"] for each in changed["widths"]]
    assert sum(wide) == PORTRAIT_MM
    assert all(mm >= 50.0 for heading, mm in zip(changed["headings"], wide, strict=True) if heading in ("What", "Why"))
    assert all(row["by_hand"] for row in changed["rows"])
    answers = block_data(tables(assessment, "open-points")["open"], PORTRAIT_MM)
    assert answers["widths"][-1]["mm"] >= 50.0
    assert not any(row["by_hand"] for row in answers["rows"])


def test_the_list_of_labels_says_on_which_sheet_each_is() -> None:
    sheet = LabelSheet(tuple(Label((f"W{number}",)) for number in range(100)), first=60)
    rows = label_list(sheet).rows
    assert [row[0] for row in rows] == ["sheet 1 of 3"] * 6 + ["sheet 2 of 3"] * 65 + ["sheet 3 of 3"] * 29
    assert [row[1] for row in rows[4:8]] == [64.0, 65.0, 1.0, 2.0]


def test_the_size_of_a_wire_stands_where_its_ends_are_crimped() -> None:
    found = tables(assess(read_plan(COUPE)), "cut-list")
    sizes = {row[0]: str(row[1]).partition(", ")[0] for row in found["cut"].rows}
    assert found["ends"].group == "size"
    assert {row[0]: row[2] for row in found["ends"].rows} == sizes


def test_what_stops_a_pump_is_said_in_words() -> None:
    assert set(STOPPED_BY) == set(get_args(CutOff))
    [found] = paper_set(assess(read_plan(COUPE)), ["owner-summary"]).papers
    said = dict(item for block in found.blocks if isinstance(block, Pairs) for item in block.items)
    assert said["Fuel pump is stopped by"] == "the control unit, a crash (inertia) switch"


def test_a_sheet_says_that_no_fuse_fits_where_the_range_is_upside_down() -> None:
    data = tomllib.loads(COUPE.read_text(encoding="utf-8"))
    [found] = paper_set(assess(plan_of(data)), ["circuit-sheets"]).papers
    fuses = [value for block in found.blocks if isinstance(block, Pairs) for words, value in block.items
             if words == "Fuse"]
    assert any(value.endswith("; no fuse fits: smallest for the load 29.4 A, largest behind it 25 A")
               for value in fuses)
    assert any(", standard blade fuse, position F4; " in value for value in fuses)
    for value in fuses:
        between = re.search(r"range ([\d.]+)–([\d.]+) A", value)
        assert between is None or float(between[1]) <= float(between[2]), value


def test_a_note_on_the_test_sheet_begins_as_a_sentence() -> None:
    notes = [row.note for section in sheet_of(assess(read_plan(COUPE))) for row in section.rows if row.note]
    assert len(notes) > 20
    assert [note for note in notes if re.search(r"(^|\. )[a-z]", note)] == []


def test_what_is_assumed_is_told_once_with_the_names_of_its_parts() -> None:
    assessment = assess(read_plan(COUPE))
    rows = tables(assessment, "summary")["assumed"].rows
    assert len(rows) == len({(row[0], row[2]) for row in rows}) < len(assessment.assumptions) / 3
    named = {part for row in rows for part in str(row[1]).split("; ")}
    assert {assessment.circuit(each.subject).name for each in assessment.assumptions
            if each.subject_kind == "circuit"} <= named
    assert not any("_" in part for part in named)


def test_a_caution_in_the_summary_says_which_check_it_belongs_to() -> None:
    assessment = assess(read_plan(COUPE))
    [found] = paper_set(assessment, ["summary"]).papers
    told = [block.text for block in found.blocks if isinstance(block, Words) and block.role == "caution"]
    for each in assessment.findings:
        assert any(text.endswith(f": {each.caution}") and check_words(each.check, each.subject_kind) in text
                   for text in told), each.check


def test_the_papers_of_a_car_with_a_dynamo_do_not_call_it_an_alternator() -> None:
    saloon = assess(read_plan(COUPE.with_name("dynamo_saloon.toml")))
    texts = [text for paper in ("load-analysis", "fuse-map", "cut-list", "owner-summary", "summary", "test-sheet")
             for text in texts_of(paper_set(saloon, [paper]).papers[0].blocks)]
    assert "dynamo cable" in texts
    assert "Dynamo, nameplate" in texts
    # The caution on fuses names what any car may have.
    assert [text for text in texts if re.search("^alternator cable|Alternator( gives|[,:] )", text)] == []


def test_nor_do_the_power_report_and_the_screens() -> None:
    session = Session.open(COUPE.with_name("six_volt_tourer.toml"))
    heads = [line for line in power_text(session.assessment).splitlines() if re.match(r"\w", line)]
    assert {"Dynamo", "After the dynamo has failed", "Dynamo cable and exciter"} <= set(heads)
    assert [line for line in heads if "lternator" in line and not line.startswith("[")] == []
    about = [each for each in session.assessment.findings if each.subject_kind == "alternator"]
    assert {subject_words(session, each) for each in about} == {"dynamo"}


def test_where_the_battery_stands_is_said_without_an_id() -> None:
    tourer = assess(read_plan(COUPE.with_name("six_volt_tourer.toml")))
    [found] = paper_set(tourer, ["owner-summary"]).papers
    said = dict(item for block in found.blocks if isinstance(block, Pairs) for item in block.items)
    assert said["Battery stands in"] == "under seat"


def test_a_run_has_one_number_on_every_paper_and_a_zone_its_name() -> None:
    assessment = assess(read_plan(COUPE))
    plan = assessment.plan
    numbers = {name: f"R{number}" for number, name in enumerate(plan.run, 1)}
    listed = tables(assessment, "run-table")["runs"].rows
    assert [row[0] for row in listed] == list(numbers.values())
    assert [row[5] for row in listed] == [plan.zone[run.zone].name or run.zone.replace("_", " ")
                                          for run in plan.run.values() if run.zone]
    drawn = tables(assessment, "loom-drawing")["runs"].rows
    assert [row[:2] for row in drawn] == [row[:2] for row in listed]
    way = {piece.number: [numbers[name] for name in piece.runs] for piece in build_facts(assessment).pieces}
    cut = tables(assessment, "cut-list")["cut"]
    at = [column.key for column in cut.columns].index("runs")
    said = {row[0]: row[at] for row in cut.rows if row[0] in way}
    assert said == {number: ", ".join(way[str(number)]) or "no run stated" for number in said}
    assert sum(str(each).startswith("R") for each in said.values()) > 10


def test_a_barrel_is_stated_no_finer_than_barrels_are_sold() -> None:
    barrel = next(column for column in _SPLICES if column.key == "barrel_mm2")
    assert [barrel.written(area) for area in (4.591, 3.5, 0.724, 1.646)] == ["4.6", "3.5", "0.73", "1.7"]
    assert barrel.whole_heading == "Barrel takes, mm²"
