"""The tables of papers as CSV (RFC 4180): comma, CR LF, UTF-8; no cell that a spreadsheet would run."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from fuseplan.grouping import grouped
from fuseplan.papers.harmless import csv_text
from fuseplan.papers.paper import MARKS, Cell, Marked, Paper, Table, TableColumn
from fuseplan.papers.paper_set import PaperSet, all_of
from fuseplan.quantities import writing

_ABOUT = TableColumn("about", "About")
MARKS_COLUMN = "marks"
"""Heading of the column that says which cell of a row is proposed or from memory; only where there is one."""


def files(papers: PaperSet, templates: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """One file a table: named for the paper where that has one table, else with the table's name behind it."""
    for paper, table in together(papers):
        yield f"{paper.name}{'' if is_alone(paper) else f'.{table.name}'}.csv", csv_of(table).encode("utf-8")


def together(papers: PaperSet) -> Iterator[tuple[Paper, Table]]:
    """The tables of papers, those of one name in a paper as one, with what each was about in the first column."""
    for paper in papers.papers:
        for tables in grouped((table.name, table) for _, table in all_of((paper,), Table)).values():
            yield paper, _joined(tables)


def _joined(tables: list[Table]) -> Table:
    first = tables[0]
    if not any(table.about for table in tables):
        return replace(first, rows=tuple(row for table in tables for row in table.rows))
    return replace(first, columns=(_ABOUT, *first.columns),
                   rows=tuple((table.about, *row) for table in tables for row in table.rows))


def csv_of(table: Table) -> str:
    """One table as CSV."""
    marks = marks_column(table)
    heads = [*(column.key for column in table.columns), *([MARKS_COLUMN] if marks else [])]
    rows = [[*(_plain(column, cell) for column, cell in zip(table.columns, row, strict=True)),
             *marks[number:number + 1]] for number, row in enumerate(table.rows)]
    return csv_text([heads, *rows])


def is_alone(paper: Paper) -> bool:
    """Whether all tables of a paper have one name."""
    return len({block.name for block in paper.blocks if isinstance(block, Table)}) == 1


def _plain(column: TableColumn, cell: Cell) -> str | float:
    value = number_of(column, cell)
    if value is not None:
        return value
    bare = cell.value if isinstance(cell, Marked) else cell
    return writing.UNKNOWN if bare is None else bare


def number_of(column: TableColumn, cell: Cell) -> float | None:
    """The number of a cell as it is printed, rounded to its side; None where it holds none."""
    value = cell.value if isinstance(cell, Marked) else cell
    if value is None or isinstance(value, str):
        return None
    try:
        return float(writing.bare(value, column.unit, column.side).replace("−", "-"))
    except ValueError:
        return None


def marks_column(table: Table) -> list[str]:
    """What is marked, row by row, ``rating: proposed``; empty where nothing in the table is."""
    found = ["; ".join(f"{column.heading}: {MARKS.get(cell.mark, cell.mark).partition(':')[0]}"
                       for column, cell in zip(table.columns, row, strict=True) if isinstance(cell, Marked))
             for row in table.rows]
    return found if any(found) else []
