"""Input that arrives together does what the same input does one after the other, on every screen."""

from __future__ import annotations

import asyncio
import contextlib
import os
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest import mock

import pytest
from textual import events
from textual._time import get_time

from fuseplan.tui.widgets.circuits_table import CircuitsTable
from fuseplan.tui.widgets.field_list import FieldList
from fuseplan.workspace.session import Session

from .bursts import Input, burst, click, key, keys
from .conftest import CAR, Driver, opened

PLACES: dict[str, tuple[str, ...]] = {
    "circuits": (), "form": ("down", "enter"), "a choice": ("down", "enter", "down", "f4"),
    "part menu": ("enter", "f6"), "car": ("v",), "new circuit": ("A",), "rename": ("r",), "library": ("a",),
    "sort": ("o",), "screens": ("0",), "filter": ("slash",), "feeds": ("2",), "add a feed": ("2", "a"),
    "charging": ("3",), "protection": ("4",), "papers": ("6",), "limits": ("7",), "measure": ("8",), "fuses": ("9",),
    "proposal": ("P",),
    "working": ("w",), "another part": ("w", "f4"), "actions": ("f10",), "help": ("f1",),
    "cautions": ("exclamation_mark",), "guide": ("i",), "alternator": ("v", "down", "down", "enter"),
    "new condition": ("v", *"newcond", "enter"), "finding": ("n",), "leaving": ("c", "q"), "save as": ("f12",),
    "commands": ("ctrl+p",),
}
"""How one comes to every screen and dialogue."""


def small_car() -> Session:
    return Session.of_text(CAR.read_text(encoding="utf-8"))


async def go(driver: Driver, keys: Sequence[str]) -> None:
    for each in keys:
        await burst(driver, key(each))


def state(driver: Driver) -> tuple[object, ...]:
    """How things stand: screens, plan, texts the plan did not take, what has the keyboard."""
    session = driver.session
    return ([type(screen).__name__ for screen in driver.app.screen_stack], session.document.text,
            dict(session.drafts.texts), type(driver.app.focused).__name__)


def wait_for_long_work(driver: Driver) -> None:
    """Have input wait also for what is worked out in the background: what comes meanwhile may meet a list that is still
    empty, and that is no matter of how fast it comes."""
    app, is_busy = driver.app, driver.app._is_busy
    app._is_busy = lambda laid_out: is_busy(laid_out) or any(not each.is_finished for each in app.workers)


async def outcome(place: str, inputs: Sequence[Input], together: bool, met: list[int] | None = None
                  ) -> tuple[object, ...]:
    """How things stand after some input at a place, in a folder of its own: what was saved or kept before would be
    asked about. `met` is told the lines of a form that were clicked."""
    on_click = FieldList.on_click

    def clicked(fields: FieldList, event: events.Click) -> None:
        if met is not None:
            met.append(event.y + fields.scroll_offset.y)
        on_click(fields, event)

    with (TemporaryDirectory() as folder, contextlib.chdir(folder),
          mock.patch.dict(os.environ, XDG_STATE_HOME=str(Path(folder, "state"))),
          mock.patch.object(FieldList, "on_click", clicked)):
        return await _outcome(place, inputs, together)


async def _outcome(place: str, inputs: Sequence[Input], together: bool) -> tuple[object, ...]:
    async with opened(small_car()) as driver:
        driver.app.leave = lambda: None  # type: ignore[method-assign]  # only leaving would end it
        wait_for_long_work(driver)
        await go(driver, PLACES[place])
        # Two clicks are a double click by the time between them, on a slow computer too: it is the same in both ways.
        now_s = get_time()
        for some in [inputs] if together else [[each] for each in inputs]:
            await burst(driver, *some, at_s=now_s)
        assert driver.app.is_running
        return state(driver)


async def test_a_completion_is_taken_however_fast_it_is_asked_for() -> None:
    async with opened(small_car()) as driver:
        at = ("circuit", "fan", "earth")
        driver.app.open_field(at[:2], at)
        await driver.rest()
        await burst(driver, *keys("ctrl+u", "e", "right"))
        assert driver.session.drafts.texts.get(at, "engine") == "engine"
        await burst(driver, *keys("backspace"))
        assert driver.session.drafts.texts[at] == "engin"


@pytest.mark.one_in(2)
@pytest.mark.parametrize("place", ["form", "library", "leaving"])
async def test_a_key_held_down_does_what_it_does_pressed_slowly(place: str) -> None:
    inputs = keys("enter") * 6
    assert await outcome(place, inputs, together=True) == await outcome(place, inputs, together=False)


async def test_what_is_typed_ahead_goes_where_it_goes_typed_slowly() -> None:
    typed = ["down", "enter", "ctrl+u", *"Big fan", "down", "f4", "down", "enter", "escape", "d", "r", *"Third",
            "enter", "2", "down", "enter", "escape", "escape", "A", *"Lamp", "enter", "down", "down", *"main", "tab"]
    inputs = keys(*typed)
    together = await outcome("circuits", inputs, together=True)
    assert together == await outcome("circuits", inputs, together=False)
    assert "Third" in str(together[1])


async def test_in_every_kind_of_dialogue_a_key_may_be_held_down() -> None:
    async with opened(small_car()) as driver:
        driver.app.leave = lambda: None  # type: ignore[method-assign]  # only leaving would end it
        for place in ("car", "new circuit", "rename", "library", "sort", "screens", "a choice", "actions", "finding"):
            await go(driver, PLACES[place])
            await burst(driver, *keys("enter") * 3, *keys("escape") * 3)
            assert driver.app.is_running, place
            assert driver.seen().strip(), place
            await burst(driver, *keys("escape") * (len(driver.app.screen_stack) + 2))
            assert driver.screen_name == "CircuitsScreen", place


@pytest.mark.one_in(2)
@pytest.mark.parametrize("place", ["library", "sort"])
async def test_a_double_click_is_one_choice(place: str) -> None:
    """Its second press is not a press on whatever the first one led to."""
    once, twice = [await outcome(place, [click(20, 11)] * count, together=True) for count in (1, 2)]
    assert once == twice


async def test_input_waits_for_what_is_being_dealt_with(car: Path) -> None:
    """Not only for what waits to be dealt with: as a screen is closed, which takes a while, what is said after it comes
    before the next key."""
    async with opened(car) as driver:
        table, rows = driver.app.screen.query_one(CircuitsTable), []

        async def slow() -> None:
            await asyncio.sleep(0.2)

        driver.app.call_next(slow)
        driver.app.call_later(lambda: rows.append(table.cursor_row))
        await asyncio.sleep(0.1)
        await driver.app.come_to_rest()
        assert rows == [0]
        await burst(driver, key("down"))
        assert table.cursor_row == 1


async def test_input_waits_for_no_frame(car: Path) -> None:
    """What has changed its place is laid out at once when input needs it, not when the screen is next due."""
    async with opened(car) as driver:
        screen = driver.app.screen
        screen._update_timer.stop()
        screen.refresh(layout=True)
        assert screen._layout_required
        await driver.app.come_to_rest()
        assert not screen._layout_required
