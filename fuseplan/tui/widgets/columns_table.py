"""A table of any views from a list of columns; what does not fit is cut, columns of high rank are left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TypeVar

from rich.cells import cell_len
from rich.text import Text

from fuseplan.papers.columns import Column
from fuseplan.papers.layout import GAP, fitted
from fuseplan.tui.widgets.row_table import RowTable
from fuseplan.tui.words import LEVEL_STYLES, VERDICT_STYLES, shortened

View = TypeVar("View")
NARROWEST, NARROWEST_FIRST = 9, 18
"""A column of text is not cut below this; the first one says what a row is about."""
NO_LEAST: Mapping[str, int] = MappingProxyType({})


class ColumnsTable(RowTable):
    """Rows of cells with a cursor on a whole row; `keys` name the rows, so that the cursor stays on its row."""

    DEFAULT_CSS = """
    ColumnsTable { height: 1fr; background: $background; overflow-x: hidden; padding: 0 1; }
    ColumnsTable:nocolor > .datatable--cursor { background: $foreground; color: $background; }
    """

    def __init__(self) -> None:
        super().__init__(cursor_type="row", cell_padding=0)
        self._shown: object = None
        self.keys: list[str] = []

    @property
    def key(self) -> str | None:
        """Key of the row under the cursor."""
        return self.keys[self.cursor_row] if 0 <= self.cursor_row < len(self.keys) else None

    def show(self, views: Sequence[View], columns: Sequence[Column[View]], keys: Sequence[str],
             least: Mapping[str, int] = NO_LEAST) -> None:
        """Show views in columns; does nothing when all cells are as they were. `least` says below which width the texts
        of a column are not cut: before that one of higher rank is left out."""
        room = self.app.size.width - 3
        cells = [[column.cell(view) for column in columns] for view in views]
        roles = [[column.role(view) if column.role else "" for column in columns] for view in views]
        now = (cells, roles, list(keys), room, self.app.theme, [column.heading for column in columns])
        if now == self._shown:
            return
        self._shown = now
        here, row = self.key, self.cursor_row
        widths = fitted_columns(columns, cells, room, least)
        self.clear(columns=True)
        self.keys = list(keys)
        for at, wide in widths.items():
            column = columns[at]
            head = column.heading if cell_len(column.heading) <= wide else column.short
            self.add_column(_cell(head, column.align, wide, ""), width=wide + GAP)
        for line, marks, key in zip(cells, roles, keys, strict=True):
            # The words of a verdict are told apart by their beginning, all else by both ends.
            self.add_row(*(_cell(line[at] if marks[at] else shortened(line[at], widths[at]), columns[at].align,
                                 widths[at], self._style(marks[at])) for at in widths), key=key)
        row = self.keys.index(here) if here in self.keys else min(row, len(self.keys) - 1)
        self.move_cursor(row=max(0, row), animate=False)

    def go_to(self, key: str) -> bool:
        """Put the cursor on a row; False when it is not there."""
        if key in self.keys:
            self.move_cursor(row=self.keys.index(key), animate=False)
        return key in self.keys

    def _style(self, role: str) -> str:
        return self.styled({**VERDICT_STYLES, **LEVEL_STYLES}.get(role, ""))


def fitted_columns(columns: Sequence[Column[View]], cells: list[list[str]], room: int,
                   least: Mapping[str, int] = NO_LEAST) -> dict[int, int]:
    """Width of each column that is shown, by its place."""
    widest = [max([cell_len(column.short), *(cell_len(line[at]) for line in cells)])
              for at, column in enumerate(columns)]
    narrowest = [wide if column.align == "right"
                 else min(wide, least.get(column.key, NARROWEST if at else NARROWEST_FIRST))
                 for at, (column, wide) in enumerate(zip(columns, widest, strict=True))]
    widths = dict(zip(*fitted(widest, narrowest, [column.rank for column in columns], room - GAP, GAP), strict=True))
    # A column cut off at the edge would be read wrongly.
    while len(widths) > 1 and sum(widths.values()) + GAP * len(widths) > room:
        widths.popitem()
    left = room - sum(widths.values()) - GAP * len(widths)
    for at, wide in widths.items():
        whole = cell_len(columns[at].heading) - wide
        if 0 < whole <= left:
            widths[at] += whole
            left -= whole
    return widths


def _cell(text: str, align: str, wide: int, style: str) -> Text:
    cell = Text(text, style=style, no_wrap=True, overflow="ellipsis", end="")
    cell.truncate(wide, overflow="ellipsis")
    if align == "right":
        cell.align("right", wide)
    return cell
