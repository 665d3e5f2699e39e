"""Looks of the screens, kept as pictures. After a change that is meant: ``pytest tests/tui/test_looks.py
--snapshot-update``, then look at every picture that changed before it is kept."""

from __future__ import annotations

from typing import Any

import pytest
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input, Static
from textual_hires_canvas import Canvas

from fuseplan.tui.app import FuseplanApp
from fuseplan.tui.widgets.drawn import Curves
from fuseplan.workspace.session import Session

from .conftest import CAR

SIZES = [(80, 24), (120, 36), (200, 60)]


SCREENS = {
    "circuits": ("down",),
    "form": ("down", "enter", "down", "down", "x"),
    "library": ("a",),
    "feeds": ("2",),
    "headroom": ("2", "down", "t"),
    "charging": ("3",),
    "protection": ("4",),
    "papers": ("6", "down", "down"),
    "limits": ("7", "down"),
    "bench": ("5", "f8", "down"),
    "ready": ("5", "f6"),
    "measure": ("8",),
    "fuses": ("9", "down"),
    "proposal": ("P",),
    "working": ("down", "w"),
    "dialogue": ("v",),
    "keys": ("f1",),
    "cautions": ("exclamation_mark",),
    "first_steps": ("i",),
}
"""How one comes to each screen."""


def is_drawn(curves: Curves) -> bool:
    canvas = curves.query_one("#plot", Canvas)
    return any("\u2801" <= cell <= "\u28ff" for row in canvas._buffer for cell in row)


def in_sight(screen: Screen[Any]) -> list[Curves]:
    """Those that are drawn: others are once they are scrolled to."""
    return [each for each in screen.query(Curves) if screen.region.intersection(each.region).height > 3]


async def rest(pilot: Pilot[Any]) -> None:
    """Wait until the screen stands still, its colours too, with every curve drawn: curves are drawn once they have
    room, later than the rest where the machine is busy."""
    seen: list[str] = []
    for _ in range(400):
        await pilot.pause(0.03)
        await pilot.app.workers.wait_for_complete()
        screen = pilot.app.screen
        seen.append("\n".join("".join(f"{part.text}{part.style}" for part in strip)
                              for strip in screen._compositor.render_strips()))
        if len(seen) >= 6 and len(set(seen[-6:])) == 1 and all(map(is_drawn, in_sight(screen))):
            return
    raise AssertionError("the screen does not come to rest")


def looks(snap_compare: Any, size: tuple[int, int], *keys: str) -> bool:
    """The picture of what these keys lead to, taken when nothing blinks and nothing is still being worked out."""

    async def arrive(pilot: Pilot[Any]) -> None:
        for key in keys:
            await pilot.press(key)
            await pilot.pause()
            await pilot.app.workers.wait_for_complete()
        for each in pilot.app.screen.query(Input):
            each.cursor_blink = False
        await rest(pilot)

    app = FuseplanApp(Session.of_text(CAR.read_text(encoding="utf-8")))
    return bool(snap_compare(app, terminal_size=size, run_before=arrive))


@pytest.mark.parametrize("size", [SIZES[0], *(pytest.param(size, marks=pytest.mark.rest) for size in SIZES[1:])],
                         ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("screen", SCREENS)
def test_screen(snap_compare: Any, screen: str, size: tuple[int, int]) -> None:
    assert looks(snap_compare, size, *SCREENS[screen])


def test_light_theme(snap_compare: Any) -> None:
    assert looks(snap_compare, SIZES[0], "l")


@pytest.mark.parametrize("screen", ["charging", "protection"])
async def test_every_curve_is_drawn_without_colour(monkeypatch: pytest.MonkeyPatch, screen: str) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = FuseplanApp(Session.of_text(CAR.read_text(encoding="utf-8")))
    async with app.run_test(size=SIZES[0]) as pilot:
        await pilot.press(*SCREENS[screen])
        await rest(pilot)
        assert app.no_color
        assert app.screen.query(Curves)


@pytest.mark.parametrize("screen", ["charging", "protection"])
async def test_until_its_curves_are_there_a_picture_says_that_they_are_drawn(monkeypatch: pytest.MonkeyPatch,
                                                                            screen: str) -> None:
    def notes() -> list[bool]:
        titles = [each.parent.query_one("#title", Static) for each in in_sight(app.screen) if each.parent is not None]
        return ["Drawing the curves" in str(title.content) for title in titles]

    app = FuseplanApp(Session.of_text(CAR.read_text(encoding="utf-8")))
    async with app.run_test(size=SIZES[1]) as pilot:
        with monkeypatch.context() as busy:
            busy.setattr(Curves, "_draw", lambda self: None)
            await pilot.press(*SCREENS[screen])
            while not notes():
                await pilot.pause(0.03)
            await pilot.pause(0.3)
            assert all(notes())
        await rest(pilot)
        assert not any(notes())


def test_without_colour(snap_compare: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    assert looks(snap_compare, SIZES[0], "down")
