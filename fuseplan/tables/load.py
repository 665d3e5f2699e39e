"""Reads the packaged tables and names where each figure comes from.

A table is a CSV file under ``data/`` with comment lines at its head::

    # title: what the table says
    # source: document and edition
    # place: table or page in it
    # how: read | second-hand | memory | derived | by row
    # covers: what it holds for
    # between_rows: nothing | linear | log-log | next row up | next row down
    # note: anything a reader must know (optional, may repeat)
    # text: columns that stay text although they look like numbers (optional)

``by row`` is for compilations: the table then has columns ``how`` and ``document``, which name the origin of each row.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from functools import cache, cached_property
from pathlib import Path
from typing import Generic, TypeVar

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.errors import TableError
from fuseplan.records import dataclass

Cell = float | str | None
T_co = TypeVar("T_co", covariant=True)
Found = TypeVar("Found")

DATA = Path(__file__).parent / "data"
HEAD_KEYS = ("title", "source", "place", "how", "covers", "between_rows")
HOWS = ("read", "second-hand", "memory", "derived", "by row")
BETWEEN_ROWS = ("nothing", "linear", "log-log", "next row up", "next row down")

_ENDINGS = {
    "read": "",
    "second-hand": "; second-hand",
    "memory": "; from memory: check the datasheet",
    "derived": "; derived",
    "by row": "; see each row",
}


@dataclass(frozen=True)
class Source:
    """Where a figure was printed: what it is, document and edition, place, and how it was obtained."""

    title: str
    document: str
    place: str
    how: str

    def line(self) -> str:
        """One line for the screen, ending in a warning unless the figure was read in the document."""
        place = "" if self.place == "none" else f", {self.place}"
        return f"{self.document}{place}{_ENDINGS[self.how]}"


@dataclass(frozen=True)
class Cited(Generic[T_co]):
    """A value together with its source."""

    value: T_co
    source: Source


@dataclass(frozen=True)
class Table:
    """One printed table. ``columns`` maps a heading to its cells: float, text, or None where blank."""

    name: str
    title: str
    source: str
    place: str
    how: str
    covers: str
    between_rows: str
    notes: tuple[str, ...]
    columns: dict[str, tuple[Cell, ...]]

    @cached_property
    def citation(self) -> Source:
        """The source of the table as a whole."""
        return Source(self.title, self.source, self.place, self.how)

    def column(self, heading: str) -> tuple[Cell, ...]:
        """Cells of one column. Raises TableError for a heading that is not there."""
        try:
            return self.columns[heading]
        except KeyError:
            known = ", ".join(self.columns)
            raise TableError(f"table {self.name} has no column '{heading}'; it has {known}") from None

    def array(self, heading: str) -> Floats:
        """One column as floats of shape (rows,), nan where blank. Read-only."""
        if heading not in self._arrays:
            self._arrays[heading] = self._array(heading)
        return self._arrays[heading]

    @cached_property
    def _arrays(self) -> dict[str, Floats]:
        return {}

    def _array(self, heading: str) -> Floats:
        cells = self.column(heading)
        if any(isinstance(cell, str) for cell in cells):
            raise TableError(f"column '{heading}' of table {self.name} holds text, not only numbers")
        values = np.array([np.nan if cell is None else cell for cell in cells], dtype=float)
        values.flags.writeable = False
        return values

    def texts(self, heading: str) -> tuple[str, ...]:
        """One column as text, '' where blank."""
        return tuple("" if cell is None else str(cell) for cell in self.column(heading))

    def rows(self) -> list[dict[str, Cell]]:
        """The table row by row."""
        return [dict(zip(self.columns, cells, strict=True)) for cells in zip(*self.columns.values(), strict=True)]

    def row(self, heading: str, key: Cell) -> dict[str, Cell] | None:
        """The first row whose cell under ``heading`` equals ``key``, or None."""
        cells = self.column(heading)
        if key not in cells:
            return None
        index = cells.index(key)
        return {name: column[index] for name, column in self.columns.items()}

    def cited(self, heading: str, key: Cell, wanted: str) -> Cited[float] | None:
        """The number under ``wanted`` in the row of ``key``, with its source; None when blank or absent."""
        row = self.row(heading, key)
        value = None if row is None else row[wanted]
        if row is None or not isinstance(value, float):
            return None
        return Cited(value, row_source(self, row) if "document" in row else self.citation)

    def known(self, heading: str, key: Cell, wanted: str) -> Cited[float]:
        """The same of a row that is printed. Raises TableError where it is not, naming those that are."""
        found = self.cited(heading, key, wanted)
        if found is None:
            raise TableError(f"table {self.name} has no {wanted} of '{key}'; accepted are "
                             f"{', '.join(self.texts(heading))}")
        return found


def _head(name: str, lines: Iterable[str]) -> dict[str, list[str]]:
    head: dict[str, list[str]] = {}
    for line in lines:
        key, colon, text = line.lstrip("#").partition(":")
        if not colon or not text.strip():
            raise TableError(f"table {name}: the head line '{line.strip()}' is not of the form '# key: text'")
        head.setdefault(key.strip(), []).append(text.strip())
    missing = [key for key in HEAD_KEYS if key not in head]
    if missing:
        raise TableError(f"table {name} lacks {', '.join(missing)} at its head; needed are {', '.join(HEAD_KEYS)}")
    unknown = sorted(set(head) - {*HEAD_KEYS, "note", "text"})
    if unknown:
        raise TableError(f"table {name} has unknown head lines {', '.join(unknown)}")
    for key, accepted in (("how", HOWS), ("between_rows", BETWEEN_ROWS)):
        if head[key][0] not in accepted:
            raise TableError(f"table {name}: {key} is '{head[key][0]}', accepted are {', '.join(accepted)}")
    return head


def _cell(text: str, *, keep_text: bool) -> Cell:
    stripped = text.strip()
    if not stripped:
        return None
    if keep_text:
        return stripped
    try:
        return float(stripped)
    except ValueError:
        return stripped


def parse(name: str, text: str) -> Table:
    """Make a Table of a file's text. Raises TableError when the head is incomplete or a row is ragged."""
    lines = text.splitlines()
    head = _head(name, [line for line in lines if line.startswith("#")])
    body = [line for line in lines if line.strip() and not line.startswith("#")]
    if len(body) < 2:
        raise TableError(f"table {name} has no rows")
    headings, *records = csv.reader(body)
    for record in records:
        if len(record) > len(headings):
            raise TableError(f"table {name}: the row {','.join(record)} has more cells than {len(headings)}")
    as_text = {heading.strip() for item in head.get("text", []) for heading in item.split(",")}
    if not as_text <= set(headings):
        raise TableError(f"table {name}: text columns {', '.join(sorted(as_text - set(headings)))} are not there")
    columns: dict[str, tuple[Cell, ...]] = {}
    for index, heading in enumerate(headings):
        cells = (record[index] if index < len(record) else "" for record in records)
        columns[heading] = tuple(_cell(cell, keep_text=heading in as_text) for cell in cells)
    if head["how"][0] == "by row" and not {"how", "document"} <= set(columns):
        raise TableError(f"table {name} says 'by row' and so needs the columns how and document")
    single = {key: " ".join(head[key]) for key in HEAD_KEYS}
    return Table(name=name, notes=tuple(head.get("note", ())), columns=columns, **single)


@cache
def table(name: str) -> Table:
    """The packaged table of that name, read on first use. Raises TableError when there is none."""
    try:
        text = (DATA / f"{name}.csv").read_text(encoding="utf-8")
    except FileNotFoundError:
        raise TableError(f"there is no table '{name}'; the tables on file are {', '.join(names())}") from None
    return parse(name, text)


def names() -> tuple[str, ...]:
    """Names of all packaged tables, in alphabetical order."""
    return tuple(sorted(file.stem for file in DATA.glob("*.csv")))


def of_name(found: Mapping[str, Found], name: str, what: str) -> Found:
    """What stands under a name. Raises TableError naming the accepted ones."""
    if name not in found:
        raise TableError(f"no {what} '{name}'; accepted are {', '.join(found)}")
    return found[name]


def row_source(source_table: Table, row: dict[str, Cell]) -> Source:
    """Source of one row of a compilation, from its columns ``document`` and ``how``."""
    return Source(source_table.title, str(row["document"] or source_table.source), "none", str(row["how"]))
