"""A sheet of labels as it lies in the printer, in millimetres."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import fields
from functools import lru_cache
from importlib.resources import files as package_files

from fuseplan.errors import PaperError
from fuseplan.papers.harmless import shown
from fuseplan.quantities import writing
from fuseplan.records import dataclass

FILE = "labels.toml"

_CUT_MM = 0.05
"""How far a sheet's own description may miss its edge: makers print tenths."""


@dataclass(frozen=True)
class LabelStock:
    """Sheet, label, rows, columns, margins and gaps; all in mm.

    Raises:
        PaperError: A figure that no sheet can have, or labels that do not fit the sheet.
    """

    sheet_width_mm: float
    sheet_height_mm: float
    label_width_mm: float
    label_height_mm: float
    columns: int
    rows: int
    left_margin_mm: float
    top_margin_mm: float
    column_gap_mm: float
    row_gap_mm: float

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            words = field.name.removesuffix("_mm").replace("_", " ")
            if field.name in ("columns", "rows"):
                if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= 200:
                    raise PaperError(f"label sheet: {words} {value!r}; accepted is a whole number from 1 to 200")
            elif isinstance(value, bool) or not isinstance(value, (int, float)):
                raise PaperError(f"label sheet: {words} {value!r}; accepted is a number of millimetres")
            elif not (0.0 if "margin" in words or "gap" in words else 3.0) <= value <= 1200.0:
                least = "0" if "margin" in words or "gap" in words else "3"
                raise PaperError(f"label sheet: {words} {writing.typed(value)} mm; accepted is {least} to 1200 mm")
        for side, words, margin, count, label, gap in (
                ("width", "columns", self.left_margin_mm, self.columns, self.label_width_mm, self.column_gap_mm),
                ("height", "rows", self.top_margin_mm, self.rows, self.label_height_mm, self.row_gap_mm)):
            needed, had = margin + count * label + (count - 1) * gap, getattr(self, f"sheet_{side}_mm")
            if needed > had + _CUT_MM:
                raise PaperError(
                    f"label sheet: {count} {words} of labels take {writing.typed(needed)} mm of a sheet "
                    f"{writing.typed(had)} mm in {side} (margin {writing.typed(margin)} + {count} × "
                    f"{writing.typed(label)} + {count - 1} × gap {writing.typed(gap)}); accepted is what fits the "
                    "sheet")

    @property
    def per_sheet(self) -> int:
        """Labels on a whole sheet."""
        return self.columns * self.rows

    def corners(self) -> Iterator[tuple[float, float]]:
        """Left and upper edge of every label in mm, row by row."""
        for row in range(self.rows):
            for column in range(self.columns):
                yield (self.left_margin_mm + column * (self.label_width_mm + self.column_gap_mm),
                       self.top_margin_mm + row * (self.label_height_mm + self.row_gap_mm))


def stock_of(text: str, file: str) -> LabelStock:
    """The sheet of labels that a TOML file describes; `file` names it in messages.

    Raises:
        PaperError: No TOML, a key missing or unknown, or figures that no sheet can have.
    """
    known = [field.name for field in fields(LabelStock)]
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise PaperError(f"{shown(file)}: is no TOML: {shown(error)}; accepted is a file like that of "
                         "fuseplan papers --copy-templates FOLDER") from None
    for wrong, words in ((sorted(data.keys() - set(known)), "unknown key"),
                         ([name for name in known if name not in data], "missing:")):
        if wrong:
            raise PaperError(f"{shown(file)}: {words} '{shown(wrong[0])}'; accepted are {', '.join(known)}")
    try:
        return LabelStock(**data)
    except PaperError as error:
        raise PaperError(f"{shown(file)}: {error}") from None


@lru_cache(maxsize=1)
def usual_stock() -> LabelStock:
    """The sheet of labels that is taken where none is described."""
    return stock_of((package_files("fuseplan.papers") / "templates" / FILE).read_text(encoding="utf-8"), FILE)
