"""A walk at random over keys and clicks: nothing breaks, and what is saved is what is read again.

``pytest tests/tui/test_random_walk.py --long -m long`` walks 5,000 steps on each example, or
``--steps``.
"""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.workspace.session import Session

from .bursts import burst, click, key
from .conftest import Driver, opened

WIDTH, HEIGHT = 90, 30
KEYS = ["up", "down", "down", "enter", "enter", "escape", "a", "c", "d", "n", "g", "u", "U", "tab", "shift+tab", "f3",
        "f4", "f6", "f7", "f8", "f12", "f11", "x", "o", "slash", "delete", "shift+up", "shift+down", "A", "space", "v",
        "m", "ctrl+z", "ctrl+y", "f9", "home", "end", "backspace", "pagedown", "pageup", "r", "question_mark",
        "exclamation_mark", "f1", "f2", "f10", "ctrl+s", "left", "right", "ctrl+u", "w", "p", "P", "s", "y", "c", "k",
        "ctrl+r", "ctrl+n", "ctrl+b", "ctrl+g", "ctrl+a", "f5", "l", "i", "f", "ctrl+t", "t", "ctrl+down", "ctrl+up",
        "ctrl+end", "full_stop", *"0123456789"]


async def walk(driver: Driver, chance: random.Random, steps: int) -> None:
    # The question before leaving is asked like any other; only leaving itself would end the walk.
    driver.app.leave = lambda: None
    for _ in range(steps):
        if chance.random() < 0.15:
            await burst(driver, click(chance.randrange(WIDTH), chance.randrange(HEIGHT)))
        else:
            await burst(driver, key(chance.choice(KEYS)))
        assert driver.app.is_running
    await driver.settle()
    for _ in range(20):
        if driver.screen_name == "CircuitsScreen":
            break
        await driver.press("escape")


async def walk_and_save(plan: Path, seed: int, steps: int) -> None:
    first = read_plan(plan)
    async with opened(plan, (WIDTH, HEIGHT)) as driver:
        await walk(driver, random.Random(seed), steps)
        assert driver.screen_name == "CircuitsScreen"
        session = driver.session
        saved = session.document.path
        await driver.press("ctrl+s")
        assert not session.document.is_changed
        assert read_plan(saved) == session.plan
        assert Session.open(saved).document.text == session.document.text
        while session.undo():
            pass
        assert session.plan == first


@pytest.mark.parametrize("seed", [1, *(pytest.param(seed, marks=pytest.mark.long) for seed in (2, 3))])
async def test_nothing_breaks_and_what_is_saved_is_read_again(car: Path, seed: int) -> None:
    await walk_and_save(car, seed, 120)


@pytest.mark.long
@pytest.mark.parametrize("example", sorted(shipped_folder("examples").glob("*.toml")), ids=lambda file: file.stem)
async def test_many_steps_on_an_example(example: Path, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    await walk_and_save(Path(shutil.copy(example, tmp_path)), 11, request.config.getoption("--steps"))
