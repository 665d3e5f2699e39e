"""Text made harmless, paragraphs and tables of a width, cautions."""

from __future__ import annotations

import csv
import io
import re
import tomllib
import unicodedata
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fuseplan.checks import assess
from fuseplan.papers.cautions import caution, cautions, notice, stop
from fuseplan.papers.columns import PROPOSED_NOTE, Column
from fuseplan.papers.findings import FROM_MEMORY, source_words
from fuseplan.papers.harmless import cell_text, csv_text, shown, width
from fuseplan.papers.json_text import to_json
from fuseplan.papers.layout import table
from fuseplan.papers.paragraphs import paragraph, wrap
from fuseplan.papers.text import report
from fuseplan.plan.model import Plan
from tests.checks.check_plans import passing

ANY = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)


@given(ANY)
def test_shown_text_holds_nothing_a_terminal_acts_on(text):
    result = shown(text)
    assert not [character for character in result if unicodedata.category(character)[0] in "C"]
    if text.isprintable():
        assert result == text


@pytest.mark.parametrize(("without", "kind"), [("feed", "maxi"), ("alternator", "mega"), ("circuit", "blade")])
def test_each_table_says_what_its_star_means(without, kind):
    """A rating that the plan does not give is printed as proposed, whichever fuse it is of."""
    data = tomllib.loads(passing("fuse-too-small"))
    part = data["alternator"] if without == "alternator" else next(each for each in data[without].values()
                                                                   if "fuse" in each)
    part["fuse"] = {"kind": kind, "distance": "100 mm"}
    sections = report(assess(Plan.model_validate(data))).split("\n\n")
    starred = [each for each in sections if re.search(r" A\*", each)]
    assert starred
    assert all(PROPOSED_NOTE in each for each in starred)


def test_shown_spells_out():
    assert shown("a\x1b[31mb\u202ec\n\U000e0001") == "a\\x1b[31mb\\u202ec\\x0a\\U000e0001"


@given(st.one_of(ANY, st.sampled_from(["=1+1", "+49", "-2+3", "@x", "\t=1", "\r=1", "-5", "+1e3", " =x"])))
def test_no_text_cell_starts_a_formula(text):
    """OWASP "CSV Injection": cells that begin with = + - @ tab or carriage return (from memory)."""
    result = cell_text(text)
    if result[:1] in ("=", "+", "-", "@", "\t", "\r"):
        float(result)


def test_cells_keep_numbers_and_leave_the_unknown_empty():
    assert [cell_text(value) for value in (-5.25, 3, "-5.25", None, float("nan"), True, "-5 A")] == [
        "-5.25", "3", "-5.25", "", "", "true", "'-5 A"]


@given(st.lists(ANY, min_size=1, max_size=4))
def test_csv_reads_back_cell_by_cell(cells):
    rows = list(csv.reader(io.StringIO(csv_text([["a heading"], cells]), newline="")))
    assert rows[1] == [cell_text(shown(cell)) for cell in cells]


@given(st.dictionaries(ANY, st.one_of(ANY, st.floats(), st.none(), st.booleans())))
def test_json_reads_back_and_prints_harmlessly(document):
    import json

    text = to_json(document)
    assert all(line.isprintable() for line in text.split("\n"))
    wanted = {key: None if isinstance(value, float) and not abs(value) < float("inf") else value
              for key, value in document.items()}
    assert json.loads(text) == wanted


@given(st.text(st.characters(categories=["L", "N", "P", "Zs"]), max_size=200), st.integers(4, 60))
def test_wrapping_loses_nothing_and_keeps_the_width(text, columns):
    lines = wrap(text, columns)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(width(line) <= columns for line in lines)


def test_wide_characters_count_twice():
    """Unicode Standard Annex 11: wide characters take two columns."""
    assert width("電流 A") == 6
    assert width("e\u0301") == 1


@given(st.lists(st.text("abcxyz", min_size=1, max_size=9), min_size=1, max_size=4), st.integers(10, 24))
def test_an_id_longer_than_a_line_is_broken_between_its_words(parts, columns):
    lines = wrap("_".join(parts), columns)
    assert "".join(lines) == "_".join(parts)
    for line in lines[:-1]:
        joint = line.rfind("_") + 1
        assert joint == len(line) or joint * 2 < columns


def test_a_paragraph_hangs_after_its_first_words():
    assert paragraph("one two three four five", 24, "• ", "  ") == ["• one two three four", "  five"]


@given(st.lists(st.text("abc", min_size=1, max_size=12), min_size=20, max_size=40).map(" ".join),
       st.text("xyz:", max_size=40).map(lambda label: label + " "),
       st.integers(0, 8).map(" ".__mul__) | st.none(), st.integers(65, 90))
def test_every_line_of_a_paragraph_goes_as_far_as_its_words_let_it(text, first, rest, columns):
    """Also those after the first, whatever the first begins with."""
    lines = paragraph(text, columns, first, rest)
    assert all(width(line) <= columns for line in lines)
    assert lines[0].startswith(first.rstrip())
    assert " ".join("\n".join(lines)[len(first.rstrip()):].split()) == " ".join(text.split())
    for line, following in pairwise(lines):
        word = following.split()[0]
        assert width(line) + 1 + width(word) > columns or (line == first.rstrip() and
                                                           width(first) + width(word) > columns)


COLUMNS = tuple(
    Column[list[str]](key, heading, heading, align, rank, lambda view, number=number: view[number])
    for number, (key, heading, align, rank) in enumerate((
        ("a", "Name", "left", 0), ("b", "Figure", "right", 0), ("c", "Where", "left", 2), ("d", "Note", "right", 1))))
ROWS = [["a long name of a thing", "1.0 A", "somewhere far away", "0.10 V"], ["b", "20.0 A", "near", "7 V"]]


def test_a_wide_table_shows_all_in_line():
    lines, left_out = table(ROWS, COLUMNS, 100)
    assert left_out == []
    assert lines == [
        "  Name                    Figure  Where                 Note",
        "  a long name of a thing   1.0 A  somewhere far away  0.10 V",
        "  b                       20.0 A  near                   7 V",
    ]


def test_a_narrow_table_folds_then_leaves_out_by_rank():
    lines, left_out = table(ROWS, COLUMNS, 45)
    assert left_out == []
    assert max(map(len, lines)) <= 45
    assert lines[1:3] == ["  a long name    1.0 A  somewhere far  0.10 V", "  of a thing            away"]
    lines, left_out = table(ROWS, COLUMNS, 30)
    assert [column.key for column in left_out] == ["c"]
    assert max(map(len, lines)) <= 30
    lines, left_out = table(ROWS, COLUMNS, 22)
    assert [column.key for column in left_out] == ["c", "d"]
    assert max(map(len, lines)) <= 22


def test_colour_changes_nothing_but_colour():
    plain, _ = table(ROWS, COLUMNS, 60)
    painted, _ = table(ROWS, COLUMNS, 60, lambda text, role: f"<{role}>{text}</>")
    assert [line.replace("<heading>", "").replace("</>", "") for line in painted] == plain


def test_every_caution_has_words_and_a_source():
    topics = [each.topic for each in cautions()]
    assert len(topics) == len(set(topics)) >= 10
    for each in cautions():
        assert each.text
        assert each.source
        assert each.how in ("read", "common practice")
        assert (each.how == "common practice") == (each.source == "common practice, no source")
    assert {"before_work", "fuel", "airbag", "welding", "first_power", "live_studs"} <= set(topics)
    assert "earth lead comes off first" in caution("before_work").text


def test_the_notice_defers_and_claims_nothing():
    words = notice()
    for phrase in ("Local law", "maker's procedures", "qualified auto electrician", "no approval"):
        assert phrase in words
    assert "airbags" in stop()


def test_a_source_from_memory_says_what_to_do():
    assert source_words("AC 43.13-1B (from memory)") == f"AC 43.13-1B ({FROM_MEMORY})"
    assert source_words(f"x; {FROM_MEMORY}") == f"x; {FROM_MEMORY}"
    assert source_words("ISO 8820") == "ISO 8820"
