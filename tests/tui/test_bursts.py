"""Input that arrives together does what the same input does one after the other, on every screen."""

from __future__ import annotations

import pytest

from fuseplan.session.session import Session

from .bursts import burst, click, key
from .conftest import CAR, Driver, opened


def state(driver: Driver) -> tuple[object, ...]:
    """What a person would see of how things stand: screens, plan, texts not taken, what is said, the screen."""
    session = driver.session
    return ([type(screen).__name__ for screen in driver.app.screen_stack], session.document.text,
            dict(session.drafts.texts), driver.seen())


HELD = {
    "circuits": (), "form": ("down", "enter"), "a choice": ("down", "enter", "f4"), "part menu": ("enter", "f6"),
    "car": ("v",), "new circuit": ("A",), "rename": ("r",), "library": ("a",), "sort": ("o",), "screens": ("0",),
    "filter": ("slash",), "feeds": ("2",), "add a feed": ("2", "a"), "charging": ("3",), "protection": ("4",),
    "limits": ("7",), "measure": ("8",), "fuses": ("9",), "proposal": ("P",), "working": ("w",),
    "another part": ("w", "f4"), "actions": ("f10",), "help": ("f1",), "cautions": ("f2",), "finding": ("n",),
    "leaving": ("d", "q"), "save as": ("f5",), "palette": ("ctrl+p",),
}
"""How one comes to each screen and dialogue."""


@pytest.mark.parametrize("held", ["enter", "escape"])
@pytest.mark.parametrize("place", HELD)
async def test_a_key_held_down_does_what_it_does_pressed_slowly(place: str, held: str) -> None:
    found = []
    for together in (False, True):
        async with opened(Session.of_text(CAR.read_text(encoding="utf-8")), (80, 24)) as driver:
            for each in HELD[place]:
                await driver.press(each)
            if together:
                await burst(driver, *(key(held) for _ in range(5)))
            else:
                for _ in range(5):
                    await driver.press(held)
            assert driver.app.is_running
            found.append(state(driver))
    assert found[0] == found[1]


async def test_click() -> None:
    async with opened(Session.of_text(CAR.read_text(encoding="utf-8"))) as driver:
        await driver.press("a")
        print(driver.seen())
        await burst(driver, click(5, 8), click(5, 8))
        print(driver.seen())
