"""Wherever lines are broken, a number and its unit stand on one line if the line has room for both."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.content import Content

from fuseplan.papers.columns import Column
from fuseplan.papers.layout import LONGEST_KEPT_WHOLE, table
from fuseplan.papers.paragraphs import wrap
from fuseplan.quantities.decimals import unit_words
from fuseplan.quantities.tied import TIE, tied, untied
from fuseplan.quantities.units import UNITS
from fuseplan.tui.app import FuseplanApp

_UNITS = sorted({unit_words(unit.symbol) for listed in UNITS.values() for unit in listed} | {"%", "K", "days"})
_FIGURES = st.builds("{} {}".format, st.sampled_from(["0", "12.5", "−18", "0.31/0.50", "9.8–20.4", "1e3"]),
                     st.sampled_from(_UNITS))
_SIZES = st.sampled_from(["AWG 14", "SAE 10", "10 000"])
_WORDS = st.text("abcdefgh", min_size=1, max_size=8)


@st.composite
def _texts(draw):
    """A text of words and figures, some with punctuation behind, and the figures in it."""
    pieces = draw(st.lists(st.one_of(_FIGURES, _SIZES, _WORDS), min_size=1, max_size=20))
    ends = draw(st.lists(st.sampled_from(["", ",", ";", ")"]), min_size=len(pieces), max_size=len(pieces)))
    return " ".join(f"{piece}{end}" for piece, end in zip(pieces, ends, strict=True))


def _pairs(text):
    """Places of the blanks that are inside a figure, counted without blanks."""
    held = tied(text)
    return {len(held[:at].replace(TIE, "").replace(" ", "")) for at, sign in enumerate(held) if sign == TIE}


def _ends(lines):
    """Places at which lines end, counted without blanks."""
    return set(itertools.accumulate(len(line.replace(" ", "")) for line in lines[:-1]))


@given(_texts(), st.integers(16, 60))
def test_no_line_of_a_text_ends_inside_a_figure(text, columns):
    assert not _pairs(text) & _ends(wrap(text, columns))


@given(_texts(), st.integers(16, 60))
def test_no_line_of_the_screens_ends_inside_a_figure(text, columns):
    assert FuseplanApp is not None
    lines = [line.plain for line in Content(text).wrap(columns)]
    assert not _pairs(text) & _ends(lines)


@pytest.mark.parametrize("unit", _UNITS)
def test_every_unit_is_tied(unit):
    assert untied(tied(f"a 5 {unit} b")) == f"a 5 {unit} b"
    assert tied(f"a 5 {unit}, b") == f"a 5{TIE}{unit}, b"


def test_what_is_no_unit_is_not_tied():
    assert TIE not in tied("6 circuits, 30 days2, room for 3 more, terminal A 12")


def test_where_a_line_has_no_room_for_both_it_ends_between_them():
    assert wrap("123456 mm²", 8) == ["123456", "mm²"]


def test_a_cell_of_a_table_is_not_folded_inside_a_figure():
    columns = [Column[str](key, key, key, "left", rank, lambda view: view)
               for key, rank in (("a", 0), ("b", 0))]
    lines, _ = table(["0.31 V to 12.5 V at 7 A"], columns, 2 * LONGEST_KEPT_WHOLE + 4)
    assert len(lines) > 2
    for line in lines[1:]:
        for cell in line.split("  "):
            assert cell.strip().removesuffix(" to").removesuffix(" at")[-1:] in ("V", "A", "")
