"""A text behind a sign takes the columns the sign leaves, line by line, on any width."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.content import Content
from textual.css.styles import RulesMap
from textual.style import Style
from textual.visual import RenderOptions

from fuseplan.tui.actions import ACTIONS
from fuseplan.tui.screens.summary import _words
from fuseplan.tui.widgets.box import Box
from fuseplan.tui.widgets.hanging import Hanging
from fuseplan.workspace.summary import SummaryRow

from .conftest import opened

TEXT = "Radiator fans: fuse exceeds wire, 30 A, limit 25 A"


def shown(hanging: Hanging, width: int) -> list[str]:
    """Its lines on so many columns."""
    rules: RulesMap = {}
    options = RenderOptions(lambda *_: Style.null(), rules)
    lines = [strip.text for strip in hanging.render_strips(width, None, Style.null(), options)]
    assert len(lines) == hanging.get_height(rules, width)
    return lines


@pytest.mark.parametrize("width", [12, 20, 40, 80])
@pytest.mark.parametrize("sign", ["  ✗ ", "    also ◐ ", "  "])
def test_further_lines_begin_where_the_first_text_does(sign: str, width: int) -> None:
    lines = shown(Hanging(Content(sign), Content(TEXT)), width)
    assert lines[0].startswith(sign)
    assert all(line.startswith(" " * len(sign)) for line in lines[1:])
    assert all(len(line.rstrip()) <= max(width, len(sign) + 1) for line in lines)
    assert "".join(line[len(sign):].rstrip() for line in lines).replace(" ", "") == TEXT.replace(" ", "")


def test_what_follows_from_an_entry_stands_further_in_than_its_text_and_both_are_read_whole() -> None:
    entry, under = (_words(SummaryRow("danger", "✗", TEXT, "go_circuits", follows=follows)) for follows in
                    (False, True))
    assert isinstance(entry, Hanging)
    assert isinstance(under, Hanging)
    assert (len(under.sign.plain) - len(under.sign.plain.lstrip())) >= len(entry.sign.plain)
    assert str(entry) == f"  ✗ {TEXT}"


@pytest.mark.parametrize(("key", "heading"), [("f1", "Keys and signs"), ("f10", "All actions")])
async def test_words_of_a_key_go_on_under_words_not_under_keys(car: Path, key: str, heading: str) -> None:
    async with opened(car, (60, 40)) as driver:
        await driver.press(key)
        box = driver.app.screen.query_one(Box).content_region
        rows = [row[box.x:box.right] for row in driver.seen().splitlines()[box.y:box.bottom]]
        assert heading in driver.seen()
        at = next(number for number, row in enumerate(rows) if row.split()[:1] == ["Enter"])
        begins = [row[:11].strip() for row in rows[at:at + 10]]
        assert "" in begins
        assert set(begins) <= {"", *(action.key for action in ACTIONS)}
