"""Bursts of keys, clicks and pasted text at random, on every screen and dialogue, in windows of any size.

The program lives, its screens lie on one another as they should, the plan is whole, and undo leads back to where it
began.
Errors that are caught and said fail these tests like all others.

``pytest tests/tui/test_burst_walk.py --long -m long --bursts 500 --seed 7`` walks over each example.
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.starter import starter_plan
from fuseplan.tui.actions import ACTIONS
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.circuits import CircuitsScreen
from fuseplan.tui.screens.leaving import OnceLeft

from .bursts import Input, arrive, burst, click, key, keys, paste
from .conftest import Driver, opened
from .test_bursts import PLACES, go, outcome

SIZES = [(40, 12), (80, 24), (200, 50), (120, 8), (24, 40), (13, 5), (6, 3), (1, 1)]
KEYS = sorted({each for action in ACTIONS for each in action.keys} | {
    "up", "down", "left", "right", "home", "end", "pageup", "pagedown", "tab", "shift+tab", "enter", "space", "escape",
    "backspace", "delete", "ctrl+home", "ctrl+end", "ctrl+u", "ctrl+w", "ctrl+k", "ctrl+p", "ctrl+a", "full_stop",
    *"0123456789abfmno"})
OFTEN = ["enter", "enter", "enter", "down", "down", "up", "escape", "tab", "delete", "backspace", "space"]
TEXTS = ["10 A", "2.5 mm2", "1.2 m", "fast", "two\nlines\nof text", "0 mohm", "-3 A", "1e400 V", "[bold]x[/]",
         "\x1b[31m", "é漢字🚗", "a" * 300, "", "main_bus", "0", "12 V", "nan", "0.0 m", "always, hot"]


def some_input(chance: random.Random, size: tuple[int, int]) -> list[Input]:
    """One key, perhaps held down, a click, a double click, or a text that is pasted."""
    kind = chance.random()
    if kind < 0.2:
        at = click(chance.randrange(size[0]), chance.randrange(size[1]))
        return [at] * chance.choice((1, 1, 2))
    if kind < 0.27:
        return [paste(chance.choice(TEXTS))]
    if kind < 0.6:
        return [key(chance.choice(OFTEN))] * chance.choice((1, 1, 2, 3))
    return [key(chance.choice(KEYS))]


def some_burst(chance: random.Random, size: tuple[int, int], most: int = 20) -> list[Input]:
    """2 and more pieces of input, at most as many as given."""
    found: list[Input] = []
    for _ in range(chance.randint(2, most)):
        found += some_input(chance, size)
    return found[:most]


def check(driver: Driver) -> None:
    """What always holds."""
    app = driver.app
    assert app.is_running
    below, *screens = app.screen_stack
    assert not isinstance(below, OnceLeft)
    assert isinstance(screens[0], CircuitsScreen)
    assert all(screen.is_mounted for screen in screens)
    assert not [screen for screen in screens if isinstance(screen, OnceLeft) and screen.is_left]
    assert len([screen for screen in screens if isinstance(screen, CircuitsScreen)]) == 1
    modal = [not isinstance(screen, PlanScreen) for screen in screens]
    assert modal == sorted(modal), f"a screen lies over a dialogue: {screens}"
    document = driver.session.document
    assert PlanDocument.from_text(document.text).plan == document.plan
    assert driver.session.assessment.plan == document.plan


async def walk(driver: Driver, chance: random.Random, bursts: int, places: Sequence[str] = tuple(PLACES),
               most: int = 20) -> None:
    """Go to every place in turn and let bursts arrive there, and wherever they lead."""
    app = driver.app
    app.leave = lambda: None  # type: ignore[method-assign]  # only leaving would end the walk
    # Whatever name is typed, nothing is written outside the plan's folder.
    driver.session.confine()
    ahead: list[str] = []
    size = (app.size.width, app.size.height)
    for _ in range(bursts):
        if not ahead:
            ahead = list(places)
            chance.shuffle(ahead)
        await go(driver, PLACES[ahead.pop()])
        inputs = some_burst(chance, size, most)
        half = chance.randrange(len(inputs))
        arrive(driver, *inputs[:half])
        if chance.random() < 0.4:
            size = chance.choice(SIZES)
            await driver.resize(*size)
        await burst(driver, *inputs[half:])
        check(driver)
        if chance.random() < 0.9:
            await home(driver)
    await driver.resize(80, 24)
    await home(driver)


async def home(driver: Driver) -> None:
    """Escape leads back to the circuits from anywhere; in a window too small to show anything it does nothing."""
    if driver.app.size.width < 20 or driver.app.size.height < 8:
        await driver.resize(80, 24)
    for _ in range(4):
        await burst(driver, *keys("escape") * (len(driver.app.screen_stack) + 1))
        if driver.screen_name == "CircuitsScreen":
            return
    raise AssertionError(f"Escape does not lead back from {driver.app.screen_stack}")


async def walk_and_undo(plan: Path, seed: int, bursts: int, size: tuple[int, int] = (80, 24),
                        places: Sequence[str] = tuple(PLACES), most: int = 20) -> None:
    async with opened(plan, size) as driver:
        first = driver.session.document.text
        await walk(driver, random.Random(seed), bursts, places, most)
        while driver.session.undo():
            pass
        assert driver.session.document.text == first
        check(driver)


@pytest.mark.parametrize(("part", "size"), [(0, (40, 12)), (1, (80, 24)), (2, (200, 50))])
@pytest.mark.share
async def test_bursts_at_random_harm_nothing_on_any_screen(car: Path, part: int, size: tuple[int, int],
                                                           in_full: bool) -> None:
    places = list(PLACES)[part::3 if in_full else 6]
    await walk_and_undo(car, part, len(places), size, places, most=8 if in_full else 4)


async def test_bursts_at_random_harm_no_plan_that_was_only_just_begun(tmp_path: Path) -> None:
    plan = tmp_path / "new.toml"
    plan.write_text(starter_plan("New car", ()), encoding="utf-8")
    await walk_and_undo(plan, 4, 5, most=8)


async def compare(chance: random.Random) -> bool:
    """Some input at some place, all at once and piece by piece: it leads to the same. Not compared, and False, where a
    click met another line of a form: a message, or what is said of a text that the next letter makes right, moves its
    rows if there is time to show it."""
    place, inputs, met, met_slowly = chance.choice(list(PLACES)), some_burst(chance, (80, 24)), list[int](), list[int]()
    together = await outcome(place, inputs, together=True, met=met)
    slowly = await outcome(place, inputs, together=False, met=met_slowly)
    if met != met_slowly:
        return False
    assert together == slowly, place
    return True


@pytest.mark.parametrize("seed", [1, pytest.param(2, marks=pytest.mark.long)])
async def test_a_burst_at_random_does_what_its_input_does_piece_by_piece(seed: int) -> None:
    assert await compare(random.Random(seed))


@pytest.mark.long
async def test_many_bursts_do_what_their_input_does_piece_by_piece(request: pytest.FixtureRequest) -> None:
    seed, bursts = request.config.getoption("--seed"), request.config.getoption("--bursts")
    compared = [await compare(random.Random(f"{seed} {number}")) for number in range(bursts)]
    assert compared.count(False) <= 1 + bursts // 10


@pytest.mark.long
@pytest.mark.parametrize("example", ["small car", "new car", "nothing",
                                     *sorted(file.stem for file in shipped_folder("examples").glob("*.toml"))])
async def test_many_bursts(example: str, car: Path, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    plan = tmp_path / "plan.toml"
    if example == "small car":
        shutil.copy(car, plan)
    elif example == "new car":
        plan.write_text(starter_plan("New car", ()), encoding="utf-8")
    elif example == "nothing":
        plan.write_text("fuseplan = 1\n", encoding="utf-8")
    else:
        shutil.copy(shipped_folder("examples") / f"{example}.toml", plan)
    seed, bursts = request.config.getoption("--seed"), request.config.getoption("--bursts")
    await walk_and_undo(plan, seed, bursts, random.Random(seed).choice(SIZES[:3]))
