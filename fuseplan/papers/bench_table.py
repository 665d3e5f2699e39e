"""The rows of the test sheet as a table for papers, CSV and spreadsheets; filled in, it is read back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fuseplan.bench.sheet import SheetRow, SheetSection
from fuseplan.papers.bench_words import (
    expected_words,
    instrument_words,
    limit_words,
    not_asked_words,
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


def sheet_table(sections: Sequence[SheetSection]) -> Table:
    """All rows of some sections, in order."""
    return Table("test-sheet", COLUMNS, tuple(_cells(each, row) for each in sections for row in each.rows),
                 group="section")


_PRINTED = (
    TableColumn("row", "Row"), TableColumn("section", "Section"), TableColumn("what", "What"),
    TableColumn("where", "Red probe (clamp) – black probe"), TableColumn("state", "Condition"),
    TableColumn("expected", "Expected"), TableColumn("limit", "Limit"), TableColumn("meter", "Meter, range"),
    TableColumn("reading", "Reading", fill_in=True), TableColumn("verdict", "Verdict", fill_in=True))
REQUIRED = "R"
"""Stands behind the number of a row that is required."""


def sources_of(sections: Sequence[SheetSection]) -> dict[str, int]:
    """The sources of the limits, each with its number from 1."""
    found = dict.fromkeys(row.limit.source for each in sections for row in each.asked_rows if row.limit is not None)
    return {source: number for number, source in enumerate(found, 1)}


def printed_table(sections: Sequence[SheetSection], sources: Mapping[str, int]) -> Table:
    """The rows of some sections that are asked for, for a page: notes with what is done, sources by their number."""
    return Table("test-sheet", _PRINTED, tuple(_short(each, row, sources) for each in sections
                                       for row in each.asked_rows), group="section")


def _short(section: SheetSection, row: SheetRow, sources: Mapping[str, int]) -> tuple[Cell, ...]:
    limit = "" if row.limit is None else f"{limit_words(row.limit, row.point)} [{sources[row.limit.source]}]"
    # The steps of first power have a card of their own.
    note = f". {row.note}" if row.note and section.section.key != "first_power" else ""
    number = f"{row.number} {REQUIRED}" if row.required else row.number
    where = f"{row.point.probe} – {row.point.to}" if row.point.to else row.point.probe
    return (number, section.section.title, f"{what_words(row)}{note}", where, row.condition_words,
            expected_words(row.expected, row.point), limit, f"{row.instrument.short}, {row.range.words}",
            reading_words(row), verdict_words(row))


def what_words(row: SheetRow) -> str:
    """Part and what is read: by it a row of a printed sheet is known again."""
    return f"{row.point.title}: {row.point.words}"


def _cells(section: SheetSection, row: SheetRow) -> tuple[Cell, ...]:
    limit = "" if row.limit is None else f"{limit_words(row.limit, row.point)} ({row.limit.source})"
    note = row.note if row.required else f"{not_asked_words(row)}. {row.note}".strip()
    return (row.number, section.section.title, what_words(row), row.point.probe, row.point.to,
            row.condition_words, expected_words(row.expected, row.point), limit, instrument_words(row),
            reading_words(row), verdict_words(row), note, f"{row.point.address}@{row.condition}")
