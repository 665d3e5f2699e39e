"""A sheet of labels as it lies in the printer, in millimetres."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields

from fuseplan.errors import PaperError
from fuseplan.quantities import writing

_CUT_MM = 0.05
"""How far a sheet's own description may miss its edge: makers print tenths."""


@dataclass(frozen=True)
class LabelStock:
    """Sheet, label, rows, columns, margins and gaps; all in mm.

    Raises
    ------
    PaperError
        A figure that no sheet can have, or labels that do not fit the sheet.
    """

    sheet_width_mm: float = 210.0
    sheet_height_mm: float = 297.0
    label_width_mm: float = 38.0
    label_height_mm: float = 21.0
    columns: int = 5
    rows: int = 13
    left_margin_mm: float = 6.0
    top_margin_mm: float = 10.0
    column_gap_mm: float = 2.0
    row_gap_mm: float = 0.0

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
