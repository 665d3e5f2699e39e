"""The numbered screens behind the circuits: feeds and earths, charging, protection, limits, what to measure."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.checks.assessment import Assessment
from fuseplan.planfile import recovery
from fuseplan.tui.screens.report import ProtectionScreen
from fuseplan.workspace.session import Session

from .conftest import opened


async def test_feeds_and_earths(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("2")
        seen = driver.seen()
        for part in ("Feeds", "└ Permanent bus", "Live in", "run on"):
            assert part in seen
        await driver.press("down", "enter")
        assert driver.screen_name == "FormScreen"
        assert driver.app.screen.root == ("feed", "main_bus")
        await driver.press("escape", "1")
        assert driver.screen_name == "CircuitsScreen"


async def test_no_screen_writes_out_a_whole_assessment(car: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It takes longer than a key may, in a large plan some tenths of a second."""
    written: list[Assessment] = []
    monkeypatch.setattr(Assessment, "__repr__", lambda self: str(written.append(self)))
    async with opened(car) as driver:
        for keys in (("2",), ("3",), ("4",), ("7",), ("8",), ("w",), ("P",), ("enter", "f5"), ("a",)):
            await driver.press(*keys)
            assert driver.screen_name != "CircuitsScreen"
            await driver.press("escape", "escape", "1")
    assert not written


async def test_state_table_marks_what_must_run_and_what_must_stop(car: Path) -> None:
    text = car.read_text().replace('must_stop = ["off"]', 'must_run = ["off"]\nmust_stop = ["crank"]')
    async with opened(Session.of_text(text)) as driver:
        await driver.press("2")
        pump = next(each for each in driver.seen().splitlines() if each.strip().startswith("Fuel pump"))
        assert "✗ dead" in pump
        assert "✗ live" in pump


@pytest.mark.one_in(3, first=2)
@pytest.mark.parametrize(("key", "parts"), [
    ("3", ("Charging", "Idle, hot day", "│", "╳")),
    ("4", ("Protection", "Fuel pump", "time in s")),
    ("7", ("Limits side by side", "aircraft")),
    ("8", ("Measure first",)),
])
async def test_reports(car: Path, key: str, parts: tuple[str, ...]) -> None:
    async with opened(car, (100, 40)) as driver:
        await driver.press(key)
        for part in parts:
            assert part in driver.seen()
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"


async def test_from_report_to_report_and_from_circuit_to_circuit(car: Path) -> None:
    async with opened(car, (100, 40)) as driver:
        await driver.press("3", "4", "right")
        assert isinstance(driver.app.screen, ProtectionScreen)
        assert driver.app.screen.circuit == "fan"
        await driver.press("left", "left")
        assert driver.app.screen.circuit == "radio"
        await driver.press("1")
        assert driver.screen_name == "CircuitsScreen"
        await driver.press("0", "down", "down", "enter")
        assert driver.screen_name == "SupplyScreen"


async def test_a_report_follows_an_undo(car: Path) -> None:
    async with opened(car, (160, 50)) as driver:
        driver.session.edit("more", lambda: driver.session.document.set(("alternator", "rated"), "200 A"))
        await driver.press("3")
        assert "200 A" in driver.seen()
        await driver.press("u")
        assert "200 A" not in driver.seen()


async def test_a_report_is_copied_as_plain_text(car: Path) -> None:
    async with opened(car, (100, 40)) as driver:
        await driver.press("3", "y")
        assert "Idle, hot day" in driver.app.clipboard
        assert "\x01" not in driver.app.clipboard


async def test_without_circuits_there_is_nothing_to_draw() -> None:
    async with opened(Session.of_text("fuseplan = 1\n")) as driver:
        await driver.press("4")
        assert "nothing to draw" in driver.said
        for key in ("2", "3", "7", "8"):
            await driver.press(key, "escape")
        assert driver.screen_name == "CircuitsScreen"


def cut_off(plan: Path, text: str) -> None:
    """Leave behind what a session that is cut off leaves."""
    keeper = recovery.Keeper(plan)
    keeper.keep(keeper.work(text, ()))
    keeper.close()


async def test_what_was_not_saved_last_time_is_offered(car: Path) -> None:
    cut_off(car, car.read_text().replace("Radiator fan", "Kept fan"))
    async with opened(car) as driver:
        assert driver.screen_name == "Choose"
        await driver.press("enter")
        assert driver.session.plan.circuit["fan"].name == "Kept fan"
        assert "Kept fan" not in car.read_text(), "nothing is written before one saves"
        await driver.press("u")
        assert driver.session.plan.circuit["fan"].name == "Radiator fan"


async def test_thrown_away_it_is_not_offered_again(car: Path) -> None:
    cut_off(car, car.read_text().replace("Radiator fan", "Kept fan"))
    async with opened(car) as driver:
        await driver.press("end", "enter")
    assert recovery.left_behind(car) == []


async def test_a_change_by_another_program_is_noticed(car: Path) -> None:
    async with opened(car) as driver:
        car.write_text(car.read_text().replace("Radiator fan", "Fan by another"))
        driver.app.look_at_file()
        await driver.settle()
        assert driver.session.plan.circuit["fan"].name == "Fan by another", "nothing to lose: read again at once"
        await driver.press("c")
        car.write_text(car.read_text().replace("Fan by another", "Third name"))
        driver.app.look_at_file()
        assert "changed by another program" in driver.said
        assert "fuel_pump_2" in driver.session.plan.circuit


async def test_the_first_steps_come_once(car: Path) -> None:
    from fuseplan.planfile.seen import was_seen
    from fuseplan.tui.app import GUIDE, FuseplanApp
    from fuseplan.workspace.session import Session

    app = FuseplanApp(Session.open(car), guide=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert type(app.screen).__name__ == "Page"
        assert not was_seen(GUIDE)
        await pilot.press("escape")
        await pilot.pause()
        assert type(app.screen).__name__ == "CircuitsScreen"
        assert was_seen(GUIDE)
        await pilot.press("i")
        await pilot.pause()
        assert type(app.screen).__name__ == "Page"
