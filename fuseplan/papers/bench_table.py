"""The rows of the test sheet as a table for papers, CSV and spreadsheets; filled in, it is read back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fuseplan.bench.sheet import SheetRow, SheetSection
from fuseplan.papers.bench_words import (
    expected_words,
    instrument_words,
    limit_words,
    reading_words,
    verdict_words,
)
from fuseplan.papers.paper import Cell, Table, TableColumn

COLUMNS = (
    TableColumn("row", "Row"), TableColumn("section", "Section"), TableColumn("what", "What"),
    TableColumn("probe", "Red probe, or clamp"), TableColumn("to", "Black probe"), TableColumn("state", "Condition"),
    TableColumn("expected", "Expected"), TableColumn("limit", "Limit, source"),
    TableColumn("meter", "Instrument, range"), TableColumn("reading", "Reading", fill_in=True),
    TableColumn("verdict", "Verdict", fill_in=True), TableColumn("note", "Note"), TableColumn("point", "Address"))
"""``point`` and ``reading`` are read back; beside them ``date`` and ``instrument``, if somebody adds them."""


def sheet_table(sections: Sequence[SheetSection], name: str = "test-sheet") -> Table:
    """All rows of some sections, in order."""
    return Table(name, COLUMNS, tuple(_cells(each, row) for each in sections for row in each.rows), group="section")


def rows_table(name: str, rows: Iterable[tuple[SheetSection, SheetRow]], keys: Sequence[str], title: str = "",
               note: str = "") -> Table:
    """Some rows with some of the columns."""
    at = [next(place for place, column in enumerate(COLUMNS) if column.key == key) for key in keys]
    return Table(name, tuple(COLUMNS[place] for place in at),
                 tuple(tuple(_cells(section, row)[place] for place in at) for section, row in rows), title, note=note)


def _cells(section: SheetSection, row: SheetRow) -> tuple[Cell, ...]:
    limit = "" if row.limit is None else f"{limit_words(row.limit, row.point)} ({row.limit.source})"
    note = row.note if row.required else f"not required. {row.note}".strip()
    return (row.number, section.section.title, f"{row.point.title}: {row.point.words}", row.point.probe, row.point.to,
            row.condition_words, expected_words(row.expected, row.point), limit, instrument_words(row),
            reading_words(row), verdict_words(row), note, f"{row.point.address}@{row.condition}")
