"""A walk at random over keys and clicks: nothing breaks, and what is saved is what is read again."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from fuseplan.store.read import read_plan

from .conftest import opened

KEYS = ["up", "down", "enter", "escape", "a", "d", "n", "g", "u", "U", "tab", "f3", "f4", "f6", "f7", "f8", "f12", "x",
        "o", "slash", "delete", "shift+up", "shift+down", "1", "A", "space", "v", "m", "ctrl+z", "ctrl+y", "f9", "home",
        "end", "backspace", "pagedown", "pageup", "r", "question_mark", "exclamation_mark", "f10", "ctrl+s", "left",
        "right", "ctrl+u", "0", "2", "3", "4", "7", "8", "9", "w"]


@pytest.mark.parametrize("seed", [1, 2, 3])
async def test_nothing_breaks_and_what_is_saved_is_read_again(car: Path, seed: int) -> None:
    chance = random.Random(seed)
    async with opened(car, (90, 30)) as driver:
        for _ in range(120):
            if chance.random() < 0.15:
                await driver.pilot.click(offset=(chance.randrange(90), chance.randrange(30)))
            else:
                await driver.pilot.press(chance.choice(KEYS))
            if not driver.app.is_running:
                pytest.fail("the walk has no key that leaves the program")
        await driver.settle()
        for _ in range(20):
            if driver.screen_name == "CircuitsScreen":
                break
            await driver.press("escape")
        await driver.press("ctrl+s")
        assert not driver.session.document.is_changed
        assert read_plan(car) == driver.session.plan
        while driver.session.undo():
            pass
        assert driver.session.document.plan.circuit.keys() == {"fuel_pump", "fan", "radio"}
