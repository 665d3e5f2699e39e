"""In a small window: how the plan stands, the row under the cursor and the way out are in sight on every screen and in
every dialogue, and every line can be brought into sight by keyboard."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator, Sequence
from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import DataTable, Input, OptionList

from fuseplan.papers.columns import COLUMNS
from fuseplan.papers.layout import GAP
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.form import FormScreen
from fuseplan.tui.widgets.box import Box
from fuseplan.tui.widgets.circuits_table import fitted_columns
from fuseplan.tui.widgets.columns_table import fitted_columns as in_columns
from fuseplan.tui.widgets.field_list import FieldList
from fuseplan.tui.widgets.findings_list import FindingsList
from fuseplan.tui.widgets.head import head_content, head_line
from fuseplan.tui.widgets.reading_list import ReadingList
from fuseplan.workspace.overview import overview

from .bursts import burst, keys
from .conftest import Driver, opened
from .test_bursts import PLACES, go, small_car
from .test_dialogues import ticks, with_errors

SIZES = [(40, 12), (60, 16), (80, 24)]
SOME = ["circuits", "a choice", "library", "proposal", "help", "commands"]
"""Places of every kind; the long tests go to all of them."""
HOW_MANY = [SOME, pytest.param([*PLACES, "ticks"], marks=pytest.mark.long)]


async def places(driver: Driver, which: Sequence[str]) -> AsyncIterator[str]:
    """Go to screens and dialogues in turn."""
    driver.app.leave = lambda: None  # type: ignore[method-assign]  # only leaving would end it
    for place in which:
        await (ticks(driver) if place == "ticks" else go(driver, PLACES[place]))
        # What is looked at must have been painted.
        await driver.settle()
        yield place
        await burst(driver, *keys("escape") * (len(driver.app.screen_stack) + 3))
        assert driver.screen_name == "CircuitsScreen", place


def cursor_lines(driver: Driver) -> tuple[int, int]:
    """First line of the row under the cursor and the line behind its last, on the screen; of what has the keyboard
    where that has no rows."""
    focused = driver.app.focused
    assert focused is not None
    screen = driver.app.screen
    if isinstance(screen, FormScreen):
        listed, row = screen.query_one(FieldList), screen.query_one(FieldList).cursor
        start = listed.line_of(row)
        return on_screen(listed, start, start + 1)
    if isinstance(focused, OptionList) and focused.highlighted is not None:
        start = focused._index_to_line[focused.highlighted]
        return on_screen(focused, start, start + focused._heights[focused.highlighted])
    if isinstance(focused, DataTable) and focused.row_count:
        return on_screen(focused, focused.cursor_row + 1, focused.cursor_row + 2)
    return focused.region.y, focused.region.bottom


def on_screen(part: Widget, start: int, end: int) -> tuple[int, int]:
    top = part.content_region.y - part.scroll_offset.y
    return top + start, top + end


def whole_screen(driver: Driver) -> list[str]:
    return driver.seen().splitlines()


def check_place(driver: Driver, place: str) -> None:
    screen, lines = driver.app.screen, whole_screen(driver)
    assert screen.max_scroll_y == 0, f"{place}: the whole screen scrolls, its head with it"
    head = " ".join(lines[:2])
    assert "danger" in head, f"{place}: {head}"
    assert "saved" in head, f"{place}: {head}"
    if screen.query(Box):
        assert "Esc" in lines[screen.query_one(Box).region.bottom - 1], f"{place} does not say how to leave it"
    elif isinstance(screen, PlanScreen):
        assert "F10" in lines[-1], place
    focused = driver.app.focused
    assert focused is not None, place
    window = screen.find_widget(focused).visible_region
    assert window.height > 0, f"{place}: what has the keyboard is out of sight"
    start, end = cursor_lines(driver)
    # Of a row longer than its window, some of it is seen.
    assert start < window.bottom, f"{place}: the row under the cursor is below the window"
    assert end > window.y, f"{place}: the row under the cursor is above the window"
    assert window.bottom <= len(lines), place


@pytest.mark.parametrize(("size", "which"), [
    (SIZES[0], SOME), *(pytest.param(size, [*PLACES, "ticks"], marks=pytest.mark.long) for size in SIZES)])
async def test_head_cursor_and_way_out_are_in_sight_everywhere(size: tuple[int, int], which: list[str]) -> None:
    seen = 0
    async with opened(small_car(), size) as driver:
        async for place in places(driver, which):
            check_place(driver, place)
            await burst(driver, *keys("down") * 5)
            check_place(driver, f"{place}, further down")
            seen += 1
    assert seen == len(which)


@pytest.mark.parametrize("which", HOW_MANY)
async def test_what_is_wrong_and_unsaved_is_in_sight_everywhere(car: Path, which: list[str]) -> None:
    async with opened(car, (40, 12)) as driver:
        await burst(driver, *keys("c"))
        with_errors(driver)
        async for place in places(driver, which):
            head = whole_screen(driver)[0]
            assert "✎ 3" in head, place
            assert "● unsaved" in head, place
            assert "danger" in head, place


@pytest.mark.parametrize("which", [["circuits", "car"], HOW_MANY[1]])
async def test_dialogues_and_what_lies_below_follow_the_size_of_the_window(which: list[str]) -> None:
    async with opened(small_car()) as driver:
        async for place in places(driver, which):
            await driver.resize(40, 12)
            check_place(driver, f"{place}, made smaller")
            await driver.resize(80, 24)
            check_place(driver, f"{place}, made larger again")


def test_the_head_says_what_matters_at_any_width() -> None:
    plain = replace(overview(small_car()), title="A car with a rather long name", danger=12, warning=34)
    states = (plain, replace(plain, unsaved=True), replace(plain, unsaved=True, waiting="3 entries with errors"),
              replace(plain, unknown=5), replace(plain, unknown=18, unsaved=True, waiting="3 entries with errors"),
              replace(plain, unknown=18, balance_a=None))
    for width, now in product(range(40, 130), states):
        for head in (head_content(now, "4 protection", width - 2), head_line(now, "4 protection", width - 2)):
            lines = head.plain.split("\n")
            assert all(len(line) <= width - 2 for line in lines), lines
            for words in ("12 danger", "● unsaved" if now.unsaved else "saved", "✎ 3" if now.waiting else ""):
                assert words in head.plain, lines
            assert (re.search(r"\? ?[0-9]", head.plain) is not None) is (now.unknown > 0), lines


async def lines_seen_going(driver: Driver, part: ReadingList, way: str) -> set[int]:
    """Lines of a list that come into sight by one key pressed again and again."""
    seen: set[int] = set()
    before = None
    for _ in range(3 * part.virtual_size.height + 3):
        now = (part.scroll_offset.y, part.highlighted)
        if now == before:
            return seen
        before = now
        seen |= set(range(part.scroll_offset.y, part.scroll_offset.y + part.scrollable_content_region.height))
        await burst(driver, *keys(way))
    raise AssertionError(f"{way} goes round in circles")


@pytest.mark.parametrize(("size", "which"), [
    (SIZES[0], ["circuits", "finding", "fuses", "measure", "proposal"]),
    *(pytest.param(size, [*PLACES, "ticks"], marks=pytest.mark.long) for size in SIZES)])
async def test_every_line_that_is_to_be_read_comes_into_sight_by_keyboard(size: tuple[int, int],
                                                                          which: list[str]) -> None:
    read = 0
    async with opened(small_car(), size) as driver:
        async for place in places(driver, which):
            for part in driver.app.screen.query(ReadingList):
                if place == "form" and isinstance(part, FindingsList):
                    continue  # the form shows its findings one at a time in a narrow window
                part.focus()
                await driver.rest()
                await lines_seen_going(driver, part, "up")
                for way in ("down", "up"):
                    seen = await lines_seen_going(driver, part, way)
                    assert set(range(part.virtual_size.height)) <= seen, f"{place}, {way}"
                read += part.virtual_size.height
            for text in driver.app.screen.query(VerticalScroll):
                assert text.focusable or text.max_scroll_y == 0 or place in PAGED, place
    assert read > 20


PAGED = ("working", "library", "another part")
"""Where the page keys scroll a text beside the list that has the keyboard."""


def test_no_column_is_cut_off_and_the_verdict_is_in_sight_at_any_width() -> None:
    session = small_car()
    views = [session.assessment.circuit(name) for name in session.plan.circuit]
    cells = [[column.cell(view) for column in COLUMNS] for view in views]
    for room in range(37, 200):
        shown = fitted_columns(room, None, False)
        assert shown[0][0].key == "name"
        assert shown[-1][0].key == "verdict"
        assert sum(columns for _, columns in shown) <= room
        widths = in_columns(COLUMNS, cells, room)
        assert sum(wide + GAP for wide in widths.values()) <= room


async def test_what_is_typed_is_in_sight_in_every_dialogue_that_asks_for_a_text() -> None:
    which = ["car", "new circuit", "rename", "library", "filter", "save as"]
    async with opened(small_car(), (40, 12)) as driver:
        asked = 0
        async for place in places(driver, which):
            for each in driver.app.screen.query(Input):
                if each.display and each.has_focus:
                    assert driver.app.screen.find_widget(each).visible_region.height == 1, place
                    asked += 1
        assert asked == len(which)


@pytest.mark.parametrize(("height", "which"), [
    (4, ["commands", "papers", "finding", "a choice"]),
    *(pytest.param(height, [*PLACES], marks=pytest.mark.long) for height in (1, 2, 3, 4, 5, 6))])
async def test_every_way_through_a_list_is_gone_in_a_window_too_low_to_show_it(height: int, which: list[str]) -> None:
    async with opened(small_car(), (80, height)) as driver:
        async for place in places(driver, which):
            await burst(driver, *keys("down", "down", "end", "pagedown", "pageup", "home", "pageup", "pagedown"))
            assert driver.app.is_running, place
