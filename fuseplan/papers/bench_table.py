"""The rows of the test sheet as a table for papers, CSV and spreadsheets; filled in, it is read back."""

from __future__ import annotations

from collections.abc import Sequence

from fuseplan.bench.sheet import SheetSection
from fuseplan.papers.bench_words import (
    expected_words,
    instrument_words,
    limit_words,
    reading_words,
    verdict_words,
)
from fuseplan.papers.paper import Table, TableColumn

POINT, CONDITION, READING = "point", "condition", "reading"
"""Columns that are read back; beside them ``date`` and ``instrument``, if somebody adds them."""

COLUMNS = (
    TableColumn("row", "Row"), TableColumn("section", "Section"), TableColumn("part", "Part"),
    TableColumn("what", "What"), TableColumn("probe", "Red probe, or clamp"), TableColumn("to", "Black probe"),
    TableColumn("state", "Condition"), TableColumn("expected", "Expected"), TableColumn("limit", "Limit"),
    TableColumn("source", "Source of the limit"), TableColumn("meter", "Instrument, range"),
    TableColumn(READING, "Reading", fill_in=True), TableColumn("verdict", "Verdict", fill_in=True),
    TableColumn("note", "Note"), TableColumn(POINT, "Address"), TableColumn(CONDITION, "Condition id"))


def sheet_table(sections: Sequence[SheetSection], name: str = "test-sheet") -> Table:
    """All rows of some sections, in order."""
    return Table(name, COLUMNS, tuple(
        (row.number, each.section.title, row.point.title, row.point.words, row.point.probe, row.point.to,
         row.condition_words, expected_words(row.expected, row.point), limit_words(row.limit, row.point),
         row.limit.source if row.limit else "", instrument_words(row), reading_words(row), verdict_words(row),
         row.note if row.required else f"not required. {row.note}".strip(), row.point.address, row.condition)
        for each in sections for row in each.rows))
