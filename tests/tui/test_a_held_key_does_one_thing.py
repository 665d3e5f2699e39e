"""A key held down deletes or copies one thing, not one after the other; the second time it asks."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.tui.actions import ACTIONS, SINGLY

from .conftest import opened

DELETES = {"delete", "remove_reading"}


def test_every_action_that_deletes_is_marked() -> None:
    found = [action for action in ACTIONS if action.name in DELETES or "delete" in action.words.casefold()]
    assert len(found) > 3
    assert all(action.name in SINGLY for action in found)


@pytest.mark.parametrize("key", ["d", "delete", "c"])
async def test_held_down_a_key_changes_one_circuit_and_asks(car: Path, key: str) -> None:
    async with opened(car) as driver:
        await driver.press("c", "up", "c", "up")
        before = len(driver.session.plan.circuit)
        await driver.press(*[key] * 8)
        assert driver.screen_name == "Choose"
        by = 1 if key == "c" else -1
        assert len(driver.session.plan.circuit) == before + by
        await driver.press("escape")
        assert len(driver.session.plan.circuit) == before + by
        # Another key between them: the press is meant.
        await driver.press("up", key)
        assert len(driver.session.plan.circuit) == before + 2 * by
        await driver.press(key, "enter")
        assert driver.screen_name == "Choose", "Enter alone answers nothing"
        await driver.press("down", "enter")
        assert len(driver.session.plan.circuit) == before + 3 * by


async def test_ticks_of_papers_stay_for_the_next_visit(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("6", "a", "space", "escape", "6")
        assert "1 of " in driver.seen()


async def test_where_nothing_is_left_nothing_is_asked(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await driver.type("open")
        await driver.press("enter", "up", *["ctrl+b"] * 3)
        assert driver.session.plan.reading == ()
        assert driver.screen_name == "BenchScreen"
        assert driver.said == "Nothing has been read here yet"
        await driver.press("escape", "d", "up", "d", "up", *["d"] * 3)
        assert list(driver.session.plan.circuit) == []
        assert driver.screen_name == "CircuitsScreen"
