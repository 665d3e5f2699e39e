"""Sheets of an XLSX workbook: numbers as numbers, everything else as text that nothing runs."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any, NamedTuple

from fuseplan.papers.harmless import width

if TYPE_CHECKING:
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

NO_DAY = datetime(2000, 1, 1)
"""Date of a file whose plan has none: a file's bytes never depend on the clock."""
_WIDEST = 60


class SheetCell(NamedTuple):
    """One cell: how it is written, its number, None for a text, and the number's format, empty for the usual one."""

    text: str
    number: float | None = None
    format: str = ""


def new_book(out: io.BytesIO, **said: object) -> Workbook:
    """A workbook that is written into `out` when it is closed; `said` are its properties."""
    from xlsxwriter.workbook import Workbook

    book = Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False,
                          "strings_to_numbers": False})
    book.set_properties({"created": NO_DAY, **said})
    return book


def fill(book: Workbook, sheet: Worksheet, heads: Sequence[str], rows: Sequence[Sequence[SheetCell]],
         frozen: int = 0) -> None:
    """Write headings, which stay in sight and have a filter, and rows as long as they are; so many columns at the left
    stay in sight too."""
    bold = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
    formats: dict[str, Any] = {"": None}
    for at, head in enumerate(heads):
        sheet.write_string(0, at, head, bold)
        sheet.set_column(at, at, min(max(width(text) for text in (head, *(row[at].text for row in rows))) + 3, _WIDEST))
    for number, row in enumerate(rows, 1):
        for at, cell in enumerate(row):
            if cell.number is not None:
                if cell.format not in formats:
                    formats[cell.format] = book.add_format({"num_format": cell.format})
                sheet.write_number(number, at, cell.number, formats[cell.format])
            elif cell.text:
                sheet.write_string(number, at, cell.text)
    sheet.freeze_panes(1, frozen)
    if rows:
        sheet.autofilter(0, 0, len(rows), len(heads) - 1)
