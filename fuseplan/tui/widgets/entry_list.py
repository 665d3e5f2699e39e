"""The list of entries that every screen and dialogue uses."""

from __future__ import annotations

from textual.widgets import OptionList


class EntryList(OptionList):
    """A list that has no room in a small window is not paged through: none of its lines is laid out."""

    def action_page_down(self) -> None:
        if self.scrollable_content_region:
            super().action_page_down()  # type: ignore[no-untyped-call]  # so in the base

    def action_page_up(self) -> None:
        if self.scrollable_content_region:
            super().action_page_up()  # type: ignore[no-untyped-call]  # so in the base
