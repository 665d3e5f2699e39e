"""Dialogues: Escape takes nothing, Enter takes; what is ticked is told by a sign; errors are led to."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.cells import cell_len

from fuseplan.workspace.form import Form

from .bursts import burst, click, keys
from .conftest import Driver, opened
from .test_bursts import PLACES, go

WHEN = ("circuit", "fuel_pump", "load", 0, "when")
DIALOGUES = [place for place, way in PLACES.items() if place not in (
    "circuits", "form", "library", "feeds", "charging", "protection", "limits", "measure", "fuses", "proposal",
    "working", "help", "cautions", "guide", "alternator")]


async def ticks(driver: Driver) -> None:
    """Open the tick list of what a load is on for."""
    driver.app.open_field(WHEN[:2], WHEN)
    await burst(driver, *keys("f4"))
    assert driver.screen_name == "ChooseSome"


@pytest.mark.one_in(4)
@pytest.mark.parametrize("place", [*DIALOGUES, "ticks"])
async def test_escape_takes_nothing(car: Path, place: str) -> None:
    async with opened(car) as driver:
        if place == "ticks":
            await ticks(driver)
        else:
            await go(driver, PLACES[place])
        beneath = [type(screen) for screen in driver.app.screen_stack[:-1]]
        before = driver.session.document.text, dict(driver.session.drafts.texts), driver.session.listing.sort
        await burst(driver, *keys("down", "space", "down", "space", "x", "escape"))
        assert [type(screen) for screen in driver.app.screen_stack] == beneath
        assert (driver.session.document.text, dict(driver.session.drafts.texts), driver.session.listing.sort) == before


async def test_ticks_are_signs_and_taken_with_enter(car: Path) -> None:
    async with opened(car) as driver:
        await ticks(driver)
        lines = driver.seen().splitlines()
        assert sum("[x]" in line for line in lines) == 1
        assert sum("[ ]" in line for line in lines) > 3
        first = next(at for at, line in enumerate(lines) if "[ ]" in line)
        await burst(driver, *keys("home", "space"))
        assert "[x]" in driver.seen().splitlines()[first]
        await burst(driver, *keys("enter"))
        assert len(driver.session.plan.circuit["fuel_pump"].load[0].when) == 2


async def test_ticks_by_mouse(car: Path) -> None:
    async with opened(car) as driver:
        await ticks(driver)
        lines = driver.seen().splitlines()
        at = next(at for at, line in enumerate(lines) if "[x]" in line)
        other = next(at for at, line in enumerate(lines) if "[ ]" in line)
        await burst(driver, click(20, at), click(20, other))
        await burst(driver, *keys("end"))
        last = next(at for at, line in enumerate(driver.seen().splitlines()) if "Accept what is ticked" in line)
        await burst(driver, click(20, last))
        assert driver.screen_name == "FormScreen"
        when = driver.session.plan.circuit["fuel_pump"].load[0].when
        assert len(when) == 1
        assert when != ("engine",)


def with_errors(driver: Driver) -> list[tuple[object, ...]]:
    """Type what no plan takes into fields of three parts."""
    paths = [("circuit", "fan", "fuse", "rating"), ("alternator", "rated"), ("circuit", "radio", "load", 0, "power")]
    for path in paths:
        Form(driver.session, path[:2]).type_text(path, "fast")
    driver.app.refresh_plan()
    return paths


@pytest.mark.one_in(3)
@pytest.mark.parametrize(("place", "way"), [
    ("circuits", "key"), ("charging", "click"), ("working", "key"), ("form", "click"),
    *(pytest.param(place, way, marks=pytest.mark.rest) for place, way in (
        ("circuits", "click"), ("charging", "key"), ("working", "click"), ("form", "key")))])
async def test_the_number_of_entries_with_errors_leads_to_each_of_them(car: Path, place: str, way: str) -> None:
    async with opened(car, (100, 30)) as driver:
        await go(driver, PLACES[place])
        paths = with_errors(driver)
        await driver.settle()
        # The clicks are made one after the other, if faster than by hand.
        driver.app.CLICK_CHAIN_TIME_THRESHOLD = 0.0
        for path in [*paths, paths[0]]:
            await driver.settle()
            if way == "key":
                await burst(driver, *keys("ctrl+o"))
            else:
                head = driver.seen().splitlines()[0]
                await burst(driver, click(cell_len(head[:head.index("3 entries with errors")]), 0))
            assert driver.screen_name == "FormScreen"
            assert driver.app.screen.row.path == path


async def test_leaving_with_an_entry_with_an_error_offers_to_go_there(car: Path) -> None:
    async with opened(car) as driver:
        paths = with_errors(driver)
        await burst(driver, *keys("q", "enter"))
        assert driver.app.screen.row.path == paths[0]


async def test_a_list_that_nothing_typed_matches_says_so_and_how_to_clear_it(car: Path) -> None:
    async with opened(car) as driver:
        await burst(driver, *keys("v", *"zqzq"))
        assert "Nothing here matches “zqzq”: Ctrl+U clears it" in driver.seen()
        await burst(driver, *keys("enter", "down", "enter"))
        assert driver.screen_name == "Choose", "there is nothing to choose"
        await burst(driver, *keys("ctrl+u"))
        assert "Nothing here matches" not in driver.seen()
        await burst(driver, *keys("escape", "a", *"zqzq"))
        assert "Nothing in the library is called “zqzq”" in driver.seen()
        assert "Ctrl+U clears" in driver.seen()
