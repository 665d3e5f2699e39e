"""The tables of papers as one spreadsheet: a page a table, real numbers, texts that nothing runs."""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fuseplan.papers.harmless import width
from fuseplan.papers.paper import Cell, Marked, Table, TableColumn
from fuseplan.papers.paper_set import PaperSet, marks_of
from fuseplan.papers.writers.csv_tables import MARKS_COLUMN, is_alone, marks_column, number_of, together

if TYPE_CHECKING:
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

FILE = "papers.xlsx"
NO_DAY = datetime(2000, 1, 1)
"""Date of a file whose plan has none: a file's bytes never depend on the clock."""
_LONGEST_NAME = 31
"""Letters of a page's name that spreadsheets take."""
_NOT_IN_NAMES = str.maketrans(dict.fromkeys("[]:*?/\\'", "_"))
_WIDEST = 60
_LONGEST_HEADER = 230
"""Letters of a page header that spreadsheets take, less those of its codes."""


def files(papers: PaperSet, templates: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """One file; nothing where no paper has a table."""
    tables = list(together(papers))
    if not tables:
        return
    from xlsxwriter.workbook import Workbook

    out = io.BytesIO()
    book = Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False,
                          "strings_to_numbers": False})
    head = papers.head
    book.set_properties({"title": head.plan, "comments": f"{head.state}; limits {head.limits}",
                         "created": datetime.fromisoformat(head.day) if head.day else NO_DAY})
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
    bold = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
    formats: dict[tuple[int, str], Any] = {}
    marks = marks_column(table)
    for at, column in enumerate(table.columns):
        sheet.write_string(0, at, column.whole_heading, bold)
        widest = max((width(column.written(row[at])) for row in table.rows), default=0)
        sheet.set_column(at, at, min(max(widest, width(column.whole_heading)) + 3, _WIDEST))
    if marks:
        sheet.write_string(0, len(table.columns), MARKS_COLUMN.capitalize(), bold)
        sheet.set_column(len(table.columns), len(table.columns), 24)
    for number, row in enumerate(table.rows, 1):
        for at, (column, cell) in enumerate(zip(table.columns, row, strict=True)):
            _cell(book, sheet, (number, at), column, cell, formats)
        if marks:
            sheet.write_string(number, len(table.columns), marks[number - 1])
    sheet.freeze_panes(1, 0)
    sheet.repeat_rows(0)
    if table.rows:
        sheet.autofilter(0, 0, len(table.rows), len(table.columns) - (0 if marks else 1))


def _cell(book: Workbook, sheet: Worksheet, place: tuple[int, int], column: TableColumn, cell: Cell,
          formats: dict[tuple[int, str], Any]) -> None:
    value = number_of(column, cell)
    if value is None:
        sheet.write_string(*place, column.written(cell))
        return
    mark = cell.mark if isinstance(cell, Marked) else ""
    places = len(column.written(cell).removesuffix(mark).partition(".")[2])
    if (places, mark) not in formats:
        formats[places, mark] = book.add_format(
            {"num_format": ("0." + "0" * places if places else "0") + (f'"{mark}"' if mark else "")})
    sheet.write_number(*place, value, formats[places, mark])


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
