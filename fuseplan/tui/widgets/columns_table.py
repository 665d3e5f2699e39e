"""A table of any views from a list of columns; what does not fit is cut, columns of high rank are left out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from rich.cells import cell_len
from rich.text import Text

from fuseplan.papers.columns import Column
from fuseplan.tui.widgets.row_table import RowTable
from fuseplan.tui.words import LEVEL_STYLES, VERDICT_STYLES

View = TypeVar("View")
GAP = 2
NARROWEST, NARROWEST_FIRST = 9, 18
"""A column of text is not cut below this; the first one says what a row is about."""


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

    def show(self, views: Sequence[View], columns: Sequence[Column[View]], keys: Sequence[str]) -> None:
        """Show views in columns; does nothing when all cells are as they were."""
        room = self.app.size.width - 3
        cells = [[column.cell(view) for column in columns] for view in views]
        roles = [[column.role(view) if column.role else "" for column in columns] for view in views]
        now = (cells, roles, list(keys), room, self.app.theme, [column.heading for column in columns])
        if now == self._shown:
            return
        self._shown = now
        here, row = self.key, self.cursor_row
        kept, widths = fitted(columns, cells, room)
        self.clear(columns=True)
        self.keys = list(keys)
        for at in kept:
            column, wide = columns[at], widths[at]
            head = column.heading if cell_len(column.heading) <= wide else column.short
            self.add_column(_cell(head, column.align, wide, ""), width=wide + GAP)
        for line, marks, key in zip(cells, roles, keys, strict=True):
            self.add_row(*(_cell(line[at], columns[at].align, widths[at], self._style(marks[at])) for at in kept),
                         key=key)
        row = self.keys.index(here) if here in self.keys else min(row, len(self.keys) - 1)
        self.move_cursor(row=max(0, row), animate=False)

    def go_to(self, key: str) -> bool:
        """Put the cursor on a row; False when it is not there."""
        if key in self.keys:
            self.move_cursor(row=self.keys.index(key), animate=False)
        return key in self.keys

    def _style(self, role: str) -> str:
        words = {**VERDICT_STYLES, **LEVEL_STYLES}.get(role, "")
        return " ".join(self.app.theme_variables.get(word[1:], "") if word.startswith("$") else word
                        for word in words.split())


def fitted(columns: Sequence[Column[View]], cells: list[list[str]], room: int) -> tuple[list[int], dict[int, int]]:
    """Which columns are shown, by their places, and how wide each is."""
    kept = list(range(len(columns)))
    widths = {at: max([cell_len(columns[at].short), *(cell_len(line[at]) for line in cells)]) for at in kept}

    def over() -> int:
        return sum(widths[at] + GAP for at in kept) - room

    def least(at: int) -> int:
        return NARROWEST if at else NARROWEST_FIRST

    def spare() -> int:
        return sum(max(0, widths[at] - least(at)) for at in kept if columns[at].align == "left")

    while over() > spare() and any(columns[at].rank for at in kept):
        kept.remove(max(kept, key=lambda at: columns[at].rank))
    while over() > 0:
        foldable = [at for at in kept if columns[at].align == "left" and widths[at] > least(at)]
        if not foldable:
            break
        widths[max(foldable, key=lambda at: widths[at])] -= 1
    # A column cut off at the edge would be read wrongly.
    while over() > 0 and len(kept) > 1:
        kept.pop()
    for at in kept:
        whole = cell_len(columns[at].heading) - widths[at]
        if 0 < whole <= -over():
            widths[at] += whole
    return kept, widths


def _cell(text: str, align: str, wide: int, style: str) -> Text:
    cell = Text(text, style=style, no_wrap=True, overflow="ellipsis", end="")
    cell.truncate(wide, overflow="ellipsis")
    if align == "right":
        cell.align("right", wide)
    return cell
