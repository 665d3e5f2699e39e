"""The working of figures, from wherever one is."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import OptionList

from fuseplan.tui.screens.working import WorkingScreen
from fuseplan.workspace.session import Session

from .conftest import Driver, opened


def working(driver: Driver) -> WorkingScreen:
    assert isinstance(driver.app.screen, WorkingScreen)
    return driver.app.screen


async def test_figures_of_the_circuit_under_the_cursor_with_their_working(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("w")
        screen = working(driver)
        assert screen.subject == ("circuit", "fuel_pump")
        assert screen.figure is not None
        assert screen.figure.address == "circuits.fuel_pump.load_current_a.5s"
        seen = driver.seen()
        assert "Working circuit Fuel pump" in seen
        assert "circuits.fuel_pump.load_current_a.5s = " in seen
        assert "I₁ = 6.5 A" in seen
        await driver.press("down")
        assert working(driver).figure.address == "circuits.fuel_pump.load_current_a.5min"
        assert "circuits.fuel_pump.load_current_a.5min = " in driver.seen()
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"


async def test_typing_narrows_and_enter_gives_the_working_the_whole_screen(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("w")
        await driver.type("range_a.high")
        assert working(driver).figure.address == "circuits.fuel_pump.fuse.range_a.high"
        before = driver.seen()
        assert "Sources" not in before
        await driver.press("enter")
        assert not driver.app.screen.query_one(OptionList).display
        for _ in range(4):
            await driver.press("pagedown")
        assert "Sources" in driver.seen()
        await driver.press("pageup", "up", "down", "escape")
        assert driver.app.screen.query_one(OptionList).display
        assert working(driver).figure.address == "circuits.fuel_pump.fuse.range_a.high"
        await driver.press("ctrl+u")
        await driver.type("zzz")
        assert "No figure holds all of these words" in driver.seen()


async def test_the_figure_behind_a_finding_comes_first(car: Path) -> None:
    async with opened(car) as driver:
        found = next(each for each in driver.session.assessment.findings if each.check == "fuse-exceeds-wire")
        while driver.app.finding != found:
            await driver.press("n")
            if driver.screen_name == "FindingPage":
                await driver.press("escape")
        await driver.press("w")
        figure = working(driver).figure
        assert figure.value == found.limit
        assert figure.address.startswith(f"circuits.{found.subject}.")


async def test_from_the_page_of_a_finding_on_the_alternator(car: Path) -> None:
    async with opened(car) as driver:
        driver.session.edit("less", lambda: driver.session.document.set(("alternator", "low_speed"), "40 A"))
        found = next(each for each in driver.session.assessment.findings
                     if each.check == "discharge-while-running" and not each.measure)
        driver.app.show_finding(found)
        await driver.settle()
        await driver.press("w")
        assert working(driver).subject == ("alternator", "alternator")


async def test_from_a_form_and_to_another_part(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("enter", "f9")
        assert working(driver).subject == ("circuit", "fuel_pump")
        await driver.press("f4")
        await driver.type("condition crank")
        await driver.press("enter")
        assert working(driver).subject == ("condition", "crank")
        assert "conditions.crank." in driver.seen()
        await driver.press("escape")
        assert driver.screen_name == "FormScreen"


async def test_the_working_follows_an_undo(car: Path) -> None:
    async with opened(car) as driver:
        path = ("circuit", "fuel_pump", "load", 0, "current")
        driver.session.edit("more", lambda: driver.session.document.set(path, "9 A"))
        await driver.press("w")
        assert "I₁ = 9 A" in driver.seen()
        await driver.press("ctrl+z")
        assert "I₁ = 6.5 A" in driver.seen()


async def test_what_is_not_known_says_why(car: Path) -> None:
    car.write_text(car.read_text().replace('current = "6.5 A"\n', ""))
    async with opened(car) as driver:
        await driver.press("w")
        assert "unknown" in driver.seen()


async def test_an_empty_plan_has_a_working_too() -> None:
    async with opened(Session.of_text("fuseplan = 1\n")) as driver:
        await driver.press("w")
        assert working(driver).subject == ("plan", "plan")


async def test_hostile_names_are_only_shown(car: Path) -> None:
    hostile = "[red]x[/red] \\u001b[31m\\u0001heading\\u0002y\\u0003"
    car.write_text(car.read_text().replace('name = "In-line pump"', f'name = "{hostile}"'))
    async with opened(car, (150, 40)) as driver:
        await driver.press("w")
        seen = driver.seen()
        assert "[red]x[/red] \\x1b[31m\\x01heading\\x02y\\x03" in seen
