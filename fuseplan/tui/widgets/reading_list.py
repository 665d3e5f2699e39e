"""A list whose entries are texts to be read: one longer than its window is scrolled through before the next."""

from __future__ import annotations

from textual.widgets import OptionList


class ReadingList(OptionList):
    """Up and Down go to the next entry, but first show what is hidden of the one under the cursor and of those
    beside it that cannot be chosen; so every line comes into sight by keyboard."""

    def action_cursor_down(self) -> None:
        self._read_on(1, 1)

    def action_cursor_up(self) -> None:
        self._read_on(-1, 1)

    def action_page_down(self) -> None:
        if not self._read_on(1, self._window):
            super().action_page_down()  # type: ignore[no-untyped-call]  # so in the base

    def action_page_up(self) -> None:
        if not self._read_on(-1, self._window):
            super().action_page_up()  # type: ignore[no-untyped-call]  # so in the base

    @property
    def _window(self) -> int:
        """Lines that are seen at once."""
        return max(1, self.scrollable_content_region.height)

    def _read_on(self, by: int, most: int) -> bool:
        """Scroll by up to `most` lines to what is still hidden; where nothing is and a line is what was asked for, go
        to the next entry. False where neither was done. A list that has no room in a small window stays as it is."""
        if not self.scrollable_content_region:
            return True
        top, window = self.scroll_offset.y, self._window
        following = self._next(by)
        if by > 0:
            end = self.virtual_size.height if following is None else self._index_to_line[following]
            hidden = end - top - window
        else:
            hidden = top - (0 if following is None else self._index_to_line[following] + self._heights[following])
        if hidden > 0:
            self.scroll_relative(y=by * min(most, hidden), animate=False, immediate=True)
        elif following is not None and most == 1:
            self._to(following, by)
        else:
            return False
        return True

    def _to(self, at: int, by: int) -> None:
        """Put the cursor on an entry; of one that is longer than the window, the end one comes to first is shown."""
        self.highlighted = at
        start, height = self._index_to_line[at], self._heights[at]
        if height > self._window:
            self.scroll_to(y=start if by > 0 else start + height - self._window, animate=False, immediate=True)
        else:
            self.scroll_to_highlight()

    def _next(self, by: int) -> int | None:
        """Place of the next entry that can be chosen in one direction; None at the end."""
        here = self.highlighted
        places = range(len(self.options)) if here is None else \
            range(here + 1, len(self.options)) if by > 0 else range(here - 1, -1, -1)
        return next((at for at in places if not self.options[at].disabled), None)
