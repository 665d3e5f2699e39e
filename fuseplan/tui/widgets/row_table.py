"""A table whose cursor is a whole row."""

from __future__ import annotations

from rich.text import Text
from textual import events
from textual.widgets import DataTable


class RowTable(DataTable[Text]):
    """Home and End go to the first and the last row; there are no cells to go along."""

    def on_resize(self) -> None:
        """A message below takes lines away: the row under the cursor stays in sight."""
        self.call_after_refresh(self._scroll_cursor_into_view)

    def on_hide(self, event: events.Hide) -> None:
        """Without rows the table gives way to a text, but keeps the keyboard: a filter that matches nothing is taken
        back, and the arrow keys go through the rows as before, whether or not the screen was painted in between."""
        event.prevent_default()

    def action_scroll_home(self) -> None:
        self.action_scroll_top()

    def action_scroll_end(self) -> None:
        self.action_scroll_bottom()

    def styled(self, words: str) -> str:
        """A style whose colours are named in the theme, as cells take it: ``bold $text-error``."""
        return " ".join(self.app.theme_variables.get(word[1:], "") if word.startswith("$") else word
                        for word in words.split())
