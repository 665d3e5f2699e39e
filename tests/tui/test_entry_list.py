"""Every list of the screens stands keys it has no room for."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from textual.app import App, ComposeResult
from textual.widgets.option_list import Option

import fuseplan.tui
from fuseplan.tui.widgets.entry_list import EntryList
from fuseplan.tui.widgets.reading_list import ReadingList

SOURCES = sorted(Path(fuseplan.tui.__file__).parent.rglob("*.py"))


class NoRoom(App[None]):
    def __init__(self, kind: type[EntryList]) -> None:
        super().__init__()
        self.kind = kind

    def compose(self) -> ComposeResult:
        shown = self.kind(*(Option(str(number)) for number in range(30)))
        shown.styles.height, shown.styles.border = 0, ("none", "black")
        yield shown


@pytest.mark.parametrize("kind", [EntryList, ReadingList])
@pytest.mark.parametrize("key", ["pageup", "pagedown", "up", "down", "home", "end"])
async def test_a_list_without_room_takes_every_key(kind: type[EntryList], key: str) -> None:
    app = NoRoom(kind)
    async with app.run_test() as pilot:
        shown = app.query_one(EntryList)
        shown.focus()
        await pilot.press(key, key)
        assert app.is_running


def test_no_screen_has_a_list_of_another_kind() -> None:
    found = [(path.name, node.lineno) for path in SOURCES if path.name != "entry_list.py"
             for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
             if (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "OptionList")
             or (isinstance(node, ast.ClassDef) and any(isinstance(base, ast.Name) and base.id == "OptionList"
                                                        for base in node.bases))]
    assert found == []
