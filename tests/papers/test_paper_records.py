"""What a paper is made of refuses what cannot be printed, and every paper that can be asked for says what it is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sample_papers import STOCK, sample_set

from fuseplan.checks.assessment import assess
from fuseplan.errors import PaperError
from fuseplan.papers.label_stock import stock_of, usual_stock
from fuseplan.papers.paper import BoxCell, BoxGrid, Label, LabelSheet, Marked, Table, TableColumn
from fuseplan.papers.paper_set import head_of, marks_of, paper_set, sheets, texts_of
from fuseplan.plan.model import Plan


@pytest.mark.parametrize(("figures", "says"), [
    ({"columns": 6}, "6 columns of labels take 244 mm of a sheet 210 mm in width"),
    ({"rows": 14}, "14 rows of labels take"), ({"columns": 0}, "accepted is a whole number"),
    ({"rows": True}, "accepted is a whole number"), ({"label_width_mm": 2.0}, "accepted is 3 to 1200 mm"),
    ({"row_gap_mm": -1.0}, "accepted is 0 to 1200 mm"), ({"sheet_width_mm": float("nan")}, "accepted is"),
    ({"left_margin_mm": "6"}, "accepted is a number of millimetres")])
def test_labels_that_cannot_lie_on_their_sheet_are_refused(figures: dict[str, object], says: str) -> None:
    with pytest.raises(PaperError, match=says):
        replace(usual_stock(), **figures)


@pytest.mark.parametrize(("text", "says"), [
    ("columns = ", "is no TOML"), ("colums = 5", "unknown key 'colums'; accepted are sheet_width_mm"),
    ("columns = 5", "missing: 'sheet_width_mm'")])
def test_a_sheet_of_labels_is_described_whole_or_refused(text: str, says: str) -> None:
    with pytest.raises(PaperError, match=rf"mine\.toml: {says}"):
        stock_of(text, "mine.toml")


def test_labels_lie_on_their_sheet_and_not_on_each_other() -> None:
    corners = list(STOCK.corners())
    assert len(corners) == len(set(corners)) == STOCK.per_sheet
    for left, top in corners:
        assert 0 <= left <= STOCK.sheet_width_mm - STOCK.label_width_mm + 0.05
        assert 0 <= top <= STOCK.sheet_height_mm - STOCK.label_height_mm + 0.05


@pytest.mark.parametrize("first", [0, -1, 66])
def test_a_first_label_that_is_not_on_the_sheet_is_refused(first: int) -> None:
    with pytest.raises(PaperError, match="accepted is 1 to 65"):
        LabelSheet((Label(("W1",)),), first=first)


def test_two_fuses_never_share_a_place_of_a_box() -> None:
    with pytest.raises(PaperError, match="positions F1 and F2 both at row 1, column 1"):
        BoxGrid("box", 1, 1, (BoxCell(1, 1, "F1", "5 A"), BoxCell(1, 1, "F2", "5 A")))
    with pytest.raises(PaperError, match="position F3 at row 1, column 2 of a box"):
        BoxGrid("box", 1, 1, (BoxCell(1, 1, "F3", "5 A", columns=2),))


def test_a_row_has_a_cell_under_every_column() -> None:
    with pytest.raises(PaperError, match="a row of 1 cells under 2 columns"):
        Table("t", (TableColumn("a", "A"), TableColumn("b", "B")), (("x",),))


def test_a_cell_is_rounded_to_its_side_and_what_is_not_known_never_reads_as_blank() -> None:
    column = TableColumn("drop_v", "Drop", "V", True, "burden")
    assert [column.written(cell) for cell in (0.311, None, Marked(0.5, "*"), "–")] == ["0.32", "?", "0.50*", "–"]
    assert column.whole_heading == "Drop, V"


def test_marks_are_explained_where_they_occur_and_only_there() -> None:
    one, _ = sample_set().papers
    assert [line[0] for line in marks_of(one)] == ["*", "†", "?"]
    assert marks_of(type(one)("x", "Does it run?", ())) == ()


def test_every_paper_that_can_be_asked_for_says_what_it_is() -> None:
    assert len(sheets()) >= 2
    for name, sheet in sheets().items():
        assert name == sheet.name == name.lower()
        assert name.replace("-", "").isalnum()
        assert sheet.title
        assert sheet.words
        assert not sheet.words.endswith(".")


def test_every_paper_can_be_made_of_a_plan_without_anything() -> None:
    made = paper_set(assess(Plan(fuseplan=1)))
    assert [paper.name for paper in made.papers] == list(sheets())
    assert made.head.day == made.head.revision == ""
    assert "not named" in made.head.state


def test_a_wrong_name_is_refused_with_the_nearest() -> None:
    with pytest.raises(PaperError, match="there is no paper 'summry'; the nearest known is 'summary'"):
        paper_set(assess(Plan(fuseplan=1)), ["summry"])


def test_no_text_of_a_paper_acts() -> None:
    made = sample_set(lambda word: f"{word}\x1b[31m\u202e\n")
    texts = list(texts_of(made))
    assert len(texts) > 60
    assert all(text.isprintable() for text in texts if "<svg" not in text)


def test_a_danger_and_what_is_not_known_stand_in_the_banner() -> None:
    from fuseplan.planfile.library import shipped_folder
    from fuseplan.planfile.read import read_plan

    assessment = assess(read_plan(shipped_folder("examples") / "coupe_turbo.toml"))
    banner = head_of(assessment).banner
    assert assessment.count("danger") > 0
    assert f"{assessment.count('danger')} DANGER: DO NOT POWER UP" in banner
