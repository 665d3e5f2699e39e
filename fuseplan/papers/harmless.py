"""Text from a file made harmless for where it is shown: a terminal, a spreadsheet."""

from __future__ import annotations

import csv
import io
import math
import unicodedata
from collections.abc import Iterable
from functools import lru_cache

from fuseplan.quantities import writing
from fuseplan.quantities.printable import shown as shown

_FORMULA_STARTS = ("=", "+", "-", "@", "\u2212")
"""Signs, in their plain form, that make a spreadsheet take a cell for a formula."""
_FIRST_COMBINING = "\u0300"
"""Every character before it takes one column."""


def harmless_lines(text: str) -> str:
    """Text of several lines with everything but its line ends as `shown` gives it."""
    return text if text.isprintable() else "\n".join(map(shown, text.split("\n")))


def width(text: str) -> int:
    """Columns a text takes in a terminal: two for East Asian wide characters, none for combining marks."""
    return len(text) if text.isascii() or max(text) < _FIRST_COMBINING else sum(map(_columns_of, text))


@lru_cache(maxsize=1024)
def _columns_of(character: str) -> int:
    return 0 if unicodedata.combining(character) else 2 if unicodedata.east_asian_width(character) in "WF" else 1


def cell_text(value: object) -> str:
    """One CSV cell that no spreadsheet runs as a formula.

    A text that starts with ``=``, ``+``, ``-``, ``@`` or one of their other forms (full width, small, raised), also
    behind blanks, or with a tab or line end is written with an apostrophe before it, which spreadsheets take as "this
    is text"; so is one with apostrophes of its own before such a start, so that reading takes away no other. Numbers
    stay numbers. None and NaN are empty.
    """
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return writing.typed(value)
    if not isinstance(value, str):
        return str(value)
    bare = value.lstrip("'")
    return f"'{value}" if _may_run(bare) and not _is_number(bare) else value


def csv_text(rows: Iterable[Iterable[object]]) -> str:
    """Rows, the headings first, as CSV (RFC 4180): comma, CR LF, no cell that a spreadsheet would run, no control
    characters."""
    out = io.StringIO()
    csv.writer(out).writerows(
        [cell_text(shown(cell) if isinstance(cell, str) else cell) for cell in row] for row in rows)
    return out.getvalue()


def _may_run(text: str) -> bool:
    """Whether a spreadsheet may take a text for a formula; some fold other forms of a sign into the plain one."""
    if text[:1] in ("\t", "\r", "\n"):
        return True
    first = next((each for each in text if not each.isspace() and each.isprintable()), "")
    return unicodedata.normalize("NFKC", first).startswith(_FORMULA_STARTS)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return text.isascii() and text == text.strip()
