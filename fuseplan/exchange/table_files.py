"""Tables read from CSV and XLSX files as plain text, with what had to be found out about them."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from fuseplan.errors import PlanError
from fuseplan.exchange.declared_types import declares_type
from fuseplan.papers.harmless import cell_text
from fuseplan.planfile.files import read_bytes, refused
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import clean
from fuseplan.quantities.listing import first_few
from fuseplan.records import dataclass

MOST_ROWS, MOST_COLUMNS, LONGEST_CELL = 5_000, 100, 2_000
"""No list of one car is larger; a larger one is something else."""
LARGEST_UNPACKED = 40_000_000
"""Bytes a spreadsheet may unpack to."""
WANTED = "a list as CSV or XLSX"
PASTED = "the pasted text"
_SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
_COMMA = re.compile(r"[+-]?\d+,\d+\s*\D{0,12}\Z")
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}\s*\D{0,12}\Z")
_POINT = re.compile(r"[+-]?\d+\.\d+\s*\D{0,12}\Z")


@dataclass(frozen=True)
class Table:
    """One table as it stands in its file.

    Attributes:
        file: path as given
        sheet: name of the sheet; empty for CSV
        heads: headings of the columns
        rows: cells as text, one tuple a row, as long as `heads`; rows without any text are left out
        numbers: row of the file each row stands in, counted from 1 as a spreadsheet does
        notes: what was found out about the file, in words
        decimal_comma: whether figures are written ``2,5``
    """

    file: str
    sheet: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...]
    notes: tuple[str, ...]
    decimal_comma: bool

    def place(self, row: int, column: int) -> str:
        """A cell in words: ``row 7, column 'Current'``."""
        return f"row {self.numbers[row]}, column '{clean(self.heads[column])}'"


def read_table(path: str | Path, sheet: str | None = None) -> Table:
    """The table in a file: CSV, or one sheet of an XLSX workbook, the first unless named.

    Raises:
        PlanError: No such file or sheet, neither CSV nor XLSX, too large, without headings, or a heading stands twice.
    """
    file = str(path)
    raw, _ = read_bytes(Path(path), WANTED)
    notes: list[str]
    if raw[:2] == b"PK":
        cells, notes, sheet = _workbook(raw, file, sheet)
    elif raw[:4] == b"\xd0\xcf\x11\xe0":
        raise refused(file, "this is an old spreadsheet (XLS) or one with a password; save it as XLSX or CSV")
    else:
        if sheet is not None:
            raise refused(file, "a CSV file has no sheets; leave the sheet out")
        cells, notes = _csv(raw, file)
        sheet = ""
    return _table(file, sheet, cells, notes)


def pasted_table(text: str) -> Table:
    """The table in a text that was copied from a spreadsheet or a list; PlanError as `read_table` raises it."""
    cells, notes = _csv(text.encode("utf-8"), PASTED)
    return _table(PASTED, "", cells, notes)


def _table(file: str, sheet: str, cells: list[list[str]], notes: list[str]) -> Table:
    filled = [(number, row) for number, row in enumerate(cells, 1) if any(cell.strip() for cell in row)]
    if not filled:
        raise refused(file, "there is nothing in it; accepted is a heading for each column and a row for each entry")
    heads = [cell.strip() for cell in filled[0][1]]
    while heads and not heads[-1]:
        heads.pop()
    twice = [head for head, count in Counter(map(str.casefold, heads)).items() if count > 1 and head]
    if twice:
        raise refused(file, f"two columns are headed '{clean(twice[0])}'; accepted is one heading for each column",
                      filled[0][0])
    rows, numbers = [], []
    for number, row in filled[1:]:
        if any(cell.strip() for cell in row[len(heads):]):
            raise refused(file, f"row {number} has more cells than there are headings; a text with a separator in it "
                                "must stand in quotes", number)
        rows.append(tuple(cell.strip() for cell in [*row, *[""] * len(heads)][:len(heads)]))
        numbers.append(number)
    notes += [f"column {at + 1} has no heading and is not read" for at, head in enumerate(heads)
              if not head and any(row[at] for row in rows)]
    commas = _examples(_COMMA, rows)
    points = _examples(_POINT, rows)
    decimal = [each for each in commas if not may_be_thousands(each)]
    if commas and points:
        notes.append(f"figures are written with a point ('{clean(points[0])}') and with a comma "
                     f"('{clean(commas[0])}'): those with a comma are not read")
    elif decimal:
        notes.append(f"figures have a decimal comma ('{clean(decimal[0])}')")
    elif commas:
        notes.append(f"'{clean(commas[0])}' may have a decimal comma or one of thousands: figures with a comma are not "
                     "read")
    return Table(file, sheet, tuple(heads), tuple(rows), tuple(numbers), tuple(notes), bool(decimal) and not points)


def may_be_thousands(figure: str) -> bool:
    """Whether the comma in a figure may part thousands, as in ``1,500 W``, rather than be a decimal one."""
    return _THOUSANDS.match(figure) is not None


def _examples(pattern: re.Pattern[str], rows: Iterable[tuple[str, ...]]) -> list[str]:
    return [cell for row in rows for cell in row if pattern.match(cell)]


def _csv(raw: bytes, file: str) -> tuple[list[list[str]], list[str]]:
    text, encoding = _decoded(raw, file)
    first = next((line for line in text.splitlines() if line.strip()), "")
    counts = {mark: first.count(mark) for mark in _SEPARATORS}
    separator = max(counts, key=lambda mark: counts[mark])
    notes = [f"text: {encoding}; columns separated by {_SEPARATORS[separator]}"]
    cells: list[list[str]] = []
    try:
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True):
            cells.append(_checked([_unguarded(cell) for cell in row], len(cells) + 1, file))
    except csv.Error as error:
        raise refused(file, f"row {len(cells) + 1} is no CSV: {clean(error)}; a text with quotes in it stands in "
                            "quotes, and its own quotes are doubled", len(cells) + 1) from None
    return cells, notes


def _unguarded(cell: str) -> str:
    """A cell without the apostrophe that stands before a text which a spreadsheet would run."""
    return cell[1:] if cell.startswith("'") and cell_text(cell[1:]) == cell else cell


def _decoded(raw: bytes, file: str) -> tuple[str, str]:
    for mark, encoding in ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if raw.startswith(mark):
            try:
                return raw.decode(encoding), encoding.removesuffix("-sig").upper()
            except UnicodeDecodeError:
                break
    else:
        if b"\0" in raw:
            raise refused(file, f"this is no text; accepted is {WANTED}")
        try:
            return raw.decode("utf-8"), "UTF-8"
        except UnicodeDecodeError:
            # The rest is what spreadsheets write where they do not write UTF-8.
            return raw.decode("cp1252", errors="replace"), "Windows-1252, as it is not UTF-8"
    raise refused(file, f"its text is damaged; accepted is {WANTED}")


def _checked(row: list[str], number: int, file: str) -> list[str]:
    if number > MOST_ROWS:
        raise refused(file, f"it has more than {MOST_ROWS} rows; accepted is the list of one car")
    if len(row) > MOST_COLUMNS:
        raise refused(file, f"row {number} has {len(row)} columns; accepted are {MOST_COLUMNS}", number)
    for cell in row:
        if len(cell) > LONGEST_CELL:
            raise refused(file, f"row {number} has a text of {len(cell)} characters; accepted are {LONGEST_CELL}",
                          number)
    return row


def _workbook(raw: bytes, file: str, wanted: str | None) -> tuple[list[list[str]], list[str], str]:
    _check_archive(raw, file)
    import warnings

    import openpyxl

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            values = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=True, keep_links=False)
            formulas = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, keep_links=False)
            names = [each.title for each in values.worksheets]
            if not names or (wanted is not None and wanted not in names):
                listed = ", ".join(f"'{clean(name)}'" for name in names) or "none"
                raise refused(file, f"there is no sheet '{clean(wanted)}'; sheets: {listed}")
            name = wanted if wanted is not None else names[0]
            cells, missing = _cells(values[name], formulas[name], file)
    except PlanError:
        raise
    except Exception as error:
        # The library raises whatever the damage happens to trip over.
        raise refused(file, f"this workbook cannot be read ({clean(error)[:120]}); accepted is {WANTED}") from None
    notes = [f"sheet '{clean(name)}'" + (f" of {len(names)}: name another with --sheet" if len(names) > 1 else "")]
    if missing:
        notes.append(f"formulas without a stored value, read as empty: {first_few(missing, 5)}; "
                     "open the file in a spreadsheet and save it")
    return cells, notes, name


def _check_archive(raw: bytes, file: str) -> None:
    """Refuse what is no workbook, unpacks to very much, or declares entities."""
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            if sum(each.file_size for each in archive.infolist()) > LARGEST_UNPACKED:
                raise refused(file, "this workbook unpacks to more than any list of one car; accepted is one sheet "
                                    "saved as XLSX or CSV")
            if "[Content_Types].xml" not in archive.namelist():
                raise refused(file, f"this archive is no workbook; accepted is {WANTED}")
            for each in archive.infolist():
                if each.filename.endswith((".xml", ".rels")) and declares_type(archive.read(each)):
                    raise refused(file, f"'{clean(each.filename)}' in this workbook declares a document type, which "
                                        f"no workbook needs; accepted is {WANTED}")
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, OSError, ValueError, MemoryError):
        raise refused(file, f"this archive is damaged or has a password; accepted is {WANTED}") from None


def _cells(values: Any, formulas: Any, file: str) -> tuple[list[list[str]], list[str]]:
    """Texts of all cells, and the names of cells whose formula has no stored value. What the sheet says of its own
    size is not believed."""
    values.reset_dimensions()
    formulas.reset_dimensions()
    cells: list[list[str]] = []
    missing: list[str] = []
    for number, (row, written) in enumerate(zip(values.iter_rows(), formulas.iter_rows(), strict=True), 1):
        cells.append(_checked([_text(cell.value) for cell in row], number, file))
        missing += [cell.coordinate for shown, cell in zip(row, written, strict=True)
                    if shown.value is None and cell.data_type == "f"]
    return cells, missing


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        # A cell that shows 0.1 may hold 0.1000000000000000055.
        return writing.typed(value)
    return str(value)
