"""A table whose cursor is a whole row."""

from __future__ import annotations

from rich.text import Text
from textual.widgets import DataTable


class RowTable(DataTable[Text]):
    """Home and End go to the first and the last row; there are no cells to go along."""

    def action_scroll_home(self) -> None:
        self.action_scroll_top()

    def action_scroll_end(self) -> None:
        self.action_scroll_bottom()
