"""Every item of the list of what is open leads to its place, by Enter and by a click."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import OptionList

from fuseplan.bench.ready import OpenItem, ready
from fuseplan.tui.screens.bench import BenchScreen
from fuseplan.tui.screens.form import FormScreen
from fuseplan.tui.screens.ready import ReadyScreen

from .conftest import Driver, opened

EXAMPLES = Path(__file__).parents[2] / "examples"
LOST = """
[[reading]]
point = "circuit.nothing_there.current"
value = "3 A"
"""


def shown(driver: Driver) -> ReadyScreen:
    screen = driver.app.screen
    assert isinstance(screen, ReadyScreen)
    return screen


async def leads(driver: Driver, item: OpenItem) -> None:
    """Where an item led, back on the list afterwards."""
    screen = driver.app.screen
    if item.key:
        assert driver.session.plan.signed == ()
        await driver.press("down", "enter")
        assert isinstance(driver.app.screen, ReadyScreen)
        assert [each.item for each in driver.session.plan.signed] == [item.key]
        await driver.press("ctrl+z")
    elif item.row is not None:
        assert isinstance(screen, BenchScreen)
        row = screen.row
        assert row is not None
        assert row.key == item.row
        await driver.press("f6")
    else:
        assert isinstance(screen, FormScreen), item
        assert screen.root[0] == item.subject[0] or item.subject[0] == "plan"
        await driver.press("escape")


async def every_kind_leads(plan: Path, text: str, *, rows: bool) -> None:
    plan.write_text(text + LOST, encoding="utf-8")
    async with opened(plan) as driver:
        await driver.press("5", "f6")
        items = [each for each in ready(driver.session.assessment) if rows or each.row is None]
        kinds = list(dict.fromkeys((item.kind, item.subject[0], bool(item.row)) for item in items))
        assert ("unknown", "reading", False) in kinds
        assert len(kinds) > 1
        for kind in kinds:
            item = next(each for each in items if (each.kind, each.subject[0], bool(each.row)) == kind)
            listed = shown(driver).query_one(OptionList)
            listed.highlighted = shown(driver)._items.index(item)
            await driver.press("enter")
            await leads(driver, item)


async def test_what_is_no_row_of_the_sheet_leads_to_its_form(car: Path) -> None:
    await every_kind_leads(car, car.read_text(encoding="utf-8"), rows=False)


@pytest.mark.long
@pytest.mark.parametrize("example", ["track_car", "coupe_turbo", "van_24v"])
async def test_every_item_leads_to_its_place(example: str, tmp_path: Path) -> None:
    text = (EXAMPLES / f"{example}.toml").read_text(encoding="utf-8")
    await every_kind_leads(tmp_path / "car.toml", text, rows=True)


async def test_a_click_on_an_item_leads_to_its_place(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5", "f6")
        listed = shown(driver).query_one(OptionList)
        item = shown(driver)._items[1]
        assert item is not None
        await driver.click("OptionList", 8, 1 - int(listed.scroll_offset.y))
        await leads(driver, item)


@pytest.mark.one_in(2, first=1)
@pytest.mark.parametrize("times", [1, 2, 20])
async def test_enter_pressed_twice_or_held_signs_for_nothing(car: Path, times: int) -> None:
    async with opened(car) as driver:
        await driver.press("5", "f6", "end")
        item = shown(driver).item
        assert item is not None
        assert item.key
        await driver.press(*["enter"] * times)
        assert driver.session.plan.signed == ()
        await driver.press("down", *["enter"] * times)
        assert [each.item for each in driver.session.plan.signed] == [item.key]
