"""Every list of the screens stands keys it has no room for: Textual looks up a line that is not there."""

from __future__ import annotations

import pytest
from textual.app import App, ComposeResult
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from fuseplan.tui.low_lists import stay_where_no_line_is_seen
from fuseplan.tui.widgets.reading_list import ReadingList


class NoRoom(App[None]):
    def __init__(self, kind: type[OptionList]) -> None:
        super().__init__()
        self.kind = kind

    def compose(self) -> ComposeResult:
        shown = self.kind(*(Option(str(number)) for number in range(30)))
        shown.styles.height, shown.styles.border = 0, ("none", "black")
        yield shown


@pytest.mark.parametrize("kind", [OptionList, ReadingList])
@pytest.mark.parametrize("key", ["pageup", "pagedown", "up", "down", "home", "end"])
async def test_a_list_without_room_takes_every_key(kind: type[OptionList], key: str) -> None:
    stay_where_no_line_is_seen()
    app = NoRoom(kind)
    async with app.run_test() as pilot:
        shown = app.query_one(OptionList)
        shown.focus()
        await pilot.press(key, key)
        assert app.is_running
