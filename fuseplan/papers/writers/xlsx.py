"""The tables of papers as one spreadsheet: a page a table, real numbers, texts that nothing runs."""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fuseplan.papers.paper import Cell, Marked, Table, TableColumn
from fuseplan.papers.paper_set import PaperSet, marks_of
from fuseplan.papers.spreadsheet import NO_DAY, SheetCell, fill, new_book
from fuseplan.papers.writers.csv_tables import MARKS_COLUMN, is_alone, marks_column, number_of, together

if TYPE_CHECKING:
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

FILE = "papers.xlsx"
_LONGEST_NAME = 31
"""Letters of a page's name that spreadsheets take."""
_NOT_IN_NAMES = str.maketrans(dict.fromkeys("[]:*?/\\'", "_"))
_LONGEST_HEADER = 230
"""Letters of a page header that spreadsheets take, less those of its codes."""


def files(papers: PaperSet, templates: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """One file; nothing where no paper has a table."""
    tables = list(together(papers))
    if not tables:
        return
    out, head = io.BytesIO(), papers.head
    book = new_book(out, title=head.plan, comments=f"{head.state}; limits {head.limits}",
                    created=datetime.fromisoformat(head.day) if head.day else NO_DAY)
    _about(book, papers)
    taken: set[str] = {"about"}
    for paper, table in tables:
        sheet = book.add_worksheet(_page_name(paper.name if is_alone(paper) else f"{paper.name} {table.name}", taken))
        _page(book, sheet, table)
        _print_setup(sheet, papers, paper.title)
    book.close()
    yield FILE, out.getvalue()


def _about(book: Workbook, papers: PaperSet) -> None:
    """The first page: plan, revision, limits, dangers, marks, who decides."""
    head, sheet = papers.head, book.add_worksheet("About")
    bold, folded = book.add_format({"bold": True, "valign": "top"}), book.add_format({"text_wrap": True})
    lines = [("Plan", head.plan), ("Revision", head.revision or "not named"), ("Date", head.day or "not in the plan"),
             ("Limits", head.limits), *([("Caution", head.banner)] if head.banner else []), ("Notice", head.notice)]
    marks = dict.fromkeys(mark for paper in papers.papers for mark in marks_of(paper))
    lines += [("Mark", mark) for mark in marks]
    for row, (words, text) in enumerate(lines):
        sheet.write_string(row, 0, words, bold)
        sheet.write_string(row, 1, text, folded)
    sheet.set_column(0, 0, 12)
    sheet.set_column(1, 1, 90)
    _print_setup(sheet, papers, "About")


def _page(book: Workbook, sheet: Worksheet, table: Table) -> None:
    marks = marks_column(table)
    heads = [*(column.whole_heading for column in table.columns), *([MARKS_COLUMN.capitalize()] if marks else [])]
    fill(book, sheet, heads, [
        [*(_cell(column, cell) for column, cell in zip(table.columns, row, strict=True)),
         *map(SheetCell, marks[number:number + 1])] for number, row in enumerate(table.rows)])
    sheet.repeat_rows(0)


def _cell(column: TableColumn, cell: Cell) -> SheetCell:
    text, value = column.written(cell), number_of(column, cell)
    mark = cell.mark if isinstance(cell, Marked) else ""
    places = len(text.removesuffix(mark).partition(".")[2])
    return SheetCell(text, value, ("0." + "0" * places if places else "0") + (f'"{mark}"' if mark else ""))


def _page_name(words: str, taken: set[str]) -> str:
    """A name for a page: short enough, of permitted signs, not taken, capitals alike."""
    plain = words.translate(_NOT_IN_NAMES).replace("-", " ").replace("_", " ").strip().capitalize() or "Table"
    name, number = plain[:_LONGEST_NAME], 1
    while name.casefold() in taken:
        number += 1
        name = f"{plain[:_LONGEST_NAME - len(str(number)) - 1]} {number}"
    taken.add(name.casefold())
    return name


def _print_setup(sheet: Worksheet, papers: PaperSet, title: str) -> None:
    """Landscape A4 as wide as the page; head and foot as on every paper."""
    head = papers.head
    danger = f"{head.dangers} DANGER: DO NOT POWER UP · " if head.dangers else ""
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.set_header("&L" + _coded(f"{danger}{title} · {head.state} · {head.plan}"))
    sheet.set_footer("&L" + _coded("No approval: local law and the maker's procedure come first · limits: "
                                   f"{head.limits}") + "&R&P / &N")


def _coded(text: str) -> str:
    """Text for a page header, where an ampersand begins a code; what is too long for one is cut at the end."""
    while len(text.replace("&", "&&")) > _LONGEST_HEADER:
        text = text[:-1]
    return text.replace("&", "&&")
