"""A list in a window too low to show a line of it has no page to move by: its lines are not laid out."""

from __future__ import annotations

from typing import Any

from textual.widgets import OptionList

_move_page = OptionList._move_page


def move_page(listed: OptionList, direction: Any) -> None:
    """Move the highlight by a page up (-1) or down (1); nowhere where no line is in sight."""
    if listed.scrollable_content_region:
        _move_page(listed, direction)


def stay_where_no_line_is_seen() -> None:
    """Have every list of the screens, that of commands too, moved through by `move_page`."""
    OptionList._move_page = move_page  # type: ignore[assignment]  # Textual looks up a line that is not there
