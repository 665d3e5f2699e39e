"""Beside the car: the sheet, the reading typed, its verdict at once; what is open."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import OptionList

from fuseplan.bench.ready import ready
from fuseplan.tui.screens import bench as screens_bench
from fuseplan.tui.screens.bench import BenchScreen
from fuseplan.tui.screens.diagnosis import DiagnosisScreen
from fuseplan.tui.screens.ready import ReadyScreen
from fuseplan.tui.widgets.entry_line import TypedLine

from .bursts import burst, keys
from .conftest import Driver, opened


def at(driver: Driver) -> BenchScreen:
    screen = driver.app.screen
    assert isinstance(screen, BenchScreen)
    return screen


async def to(driver: Driver, address: str) -> None:
    """Put the cursor on the first row of a point."""
    screen = at(driver)
    key = next(row.key for each in screen._sheet for row in each.rows if row.point.address == address)
    screen.go_to(key)
    screen.refresh_plan()
    await driver.settle()


async def test_number_and_enter_store_a_reading_and_go_on(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        assert at(driver).row is not None
        first = at(driver).row
        await driver.type("open")
        await driver.press("enter")
        assert first is not None
        assert driver.session.plan.reading[0].point == first.point.address
        assert driver.session.plan.reading[0].date
        row = at(driver).row
        assert row is not None
        assert row.key != first.key
        assert "ok" in driver.said
        await driver.press("ctrl+z")
        assert driver.session.plan.reading == ()
        assert driver.screen_name == "BenchScreen"


@pytest.mark.parametrize("key", ["ctrl+n", "f8", "f7"])
async def test_whatever_goes_to_another_row_takes_the_next_reading(car: Path, key: str) -> None:
    """Also with the keyboard on the text of the row, to scroll it."""
    async with opened(car) as driver:
        await driver.press("5", "tab", "tab")
        assert type(driver.app.focused).__name__ == "Words"
        await burst(driver, *keys("down", key, *"1.5"))
        assert driver.app.screen.query_one(TypedLine).value == "1.5"


async def test_a_fault_is_said_in_words_and_signs(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await driver.type("0.4")
        await driver.press("enter")
        assert "FAULT" in driver.said
        assert "✗1.1" in driver.seen().replace("✗ 1.1", "✗1.1")


async def test_what_is_odd_is_asked_about_and_stored_only_when_meant(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await to(driver, "circuit.fuel_pump.fuse_mv")
        await driver.type("21 V")
        await driver.press("enter")
        assert "21 mV" in driver.read()
        await driver.press("escape")
        assert driver.session.plan.reading == ()
        assert at(driver).query_one(TypedLine).value == "21 V"
        await driver.press("enter", "down", "down", "enter")
        assert [each.value for each in driver.session.plan.reading] == ["21 V"]


async def test_what_is_no_reading_says_what_is_accepted(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await driver.type("six")
        await driver.press("enter")
        assert "accepted is" in driver.said
        assert driver.session.plan.reading == ()


async def test_a_reading_is_taken_over_only_when_it_is_accepted(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await to(driver, "circuit.fuel_pump.current")
        before = driver.session.plan.circuit["fuel_pump"].load[0]
        await driver.type("6.3")
        await driver.press("enter")
        assert driver.session.plan.circuit["fuel_pump"].load[0] == before
        await driver.press("up", "f9")
        assert "measured" in driver.read()
        await driver.press("escape")
        assert driver.session.plan.circuit["fuel_pump"].load[0] == before
        await driver.press("f9")
        # Outside the band of what the plan says, nothing is chosen to begin with.
        await driver.press(*(["down", "down"] if "Look first" in driver.read() else []), "enter")
        after = driver.session.plan.circuit["fuel_pump"].load[0]
        assert after.evidence == "measured"
        assert "6.3 A at circuit.fuel_pump.current" in str(after.source)
        assert driver.session.plan.reading[0].accepted
        await driver.press("ctrl+z")
        assert driver.session.plan.circuit["fuel_pump"].load[0] == before


async def test_next_unread_goes_through_the_sections_and_passes_what_is_read(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        seen = []
        for _ in range(4):
            await driver.press("ctrl+n")
            row = at(driver).row
            assert row is not None
            assert row.required
            assert row.reading is None
            seen.append(row.number)
        assert len(set(seen)) == 4
        await driver.press("f8", "f8")
        assert at(driver).section.section.key == "static"
        await driver.press("f7")
        assert at(driver).section.section.key == "first_power"


async def test_what_is_open_leads_to_its_place(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5", "f6")
        screen = driver.app.screen
        assert isinstance(screen, ReadyScreen)
        assert "never that the car is safe" in driver.read()
        items = ready(driver.session.assessment)
        listed = screen.query_one(OptionList)
        unsigned = next(place for place, item in enumerate(screen._items) if item is not None and item.key)
        listed.highlighted = unsigned
        await driver.press("enter", "down", "enter")
        assert len(ready(driver.session.assessment)) == len(items) - 1
        assert len(driver.session.plan.signed) == 1
        place, item = next((place, item) for place, item in enumerate(screen._items)
                           if item is not None and item.row is not None)
        listed.highlighted = place
        await driver.press("enter")
        row = at(driver).row
        assert row is not None
        assert row.key == item.row


@pytest.mark.one_in(3, first=1)
@pytest.mark.parametrize("size", [(40, 12), (60, 16), (80, 24), (140, 40)])
async def test_a_reading_can_be_typed_in_every_window(car: Path, size: tuple[int, int]) -> None:
    async with opened(car, size=size) as driver:
        await driver.press("5", "f8")
        await driver.type("12.6")
        typed = at(driver).query_one(TypedLine)
        assert typed.region.height == 1
        assert typed.region.bottom <= size[1] - 1
        assert "12.6" in driver.seen()
        await driver.press("enter")
        assert [each.value for each in driver.session.plan.reading] == ["12.6 V"]
        assert typed.region.height == 1


async def test_a_click_on_a_row_chooses_it(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await driver.click("OptionList", 5, 4)
        row = at(driver).row
        assert row is not None
        assert row is at(driver).section.asked_rows[2]
        await driver.type("open")
        await driver.press("enter")
        assert driver.session.plan.reading[0].point == row.point.address


async def test_a_diagnosis_leads_back_to_the_row_to_read_next(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await to(driver, "circuit.fuel_pump.current")
        await driver.press("ctrl+t")
        assert driver.screen_name == "DiagnosisScreen"
        assert "Nothing was read yet" in driver.seen()
        asked = _asked(driver)
        await driver.press("escape")
        row = at(driver).row
        assert row is not None
        assert row.key == asked


async def test_a_reading_without_a_row_is_typed_with_its_address(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await to(driver, "circuit.fuel_pump.load_v")
        await driver.type("10.4")
        await driver.press("enter")
        await to(driver, "circuit.fuel_pump.load_v")
        await driver.press("ctrl+t")
        assert "extra resistance" in driver.seen()
        address, condition = _asked(driver)
        await driver.press("escape")
        typed = at(driver).query_one(TypedLine)
        assert typed.value == f"{address}="
        await driver.type("12.2")
        await driver.press("enter")
        reading = driver.session.plan.reading[-1]
        assert (reading.point, reading.condition) == (address, condition)


def _asked(driver: Driver) -> tuple[str, str]:
    screen = driver.app.screen
    assert isinstance(screen, DiagnosisScreen)
    assert screen.next_row is not None
    return screen.next_row


async def test_a_row_of_no_circuit_has_no_diagnosis(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await driver.press("ctrl+t")
        assert driver.screen_name == "BenchScreen"
        assert "one circuit" in driver.said


@pytest.mark.usefixtures("faults")
async def test_without_a_sheet_every_key_is_harmless(car: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*args: object, **kwargs: object) -> None:
        raise ZeroDivisionError("for the test")

    async with opened(car) as driver:
        monkeypatch.setattr(screens_bench, "sheet_of", fails)
        await driver.press("5")
        screen = at(driver)
        assert screen.fault
        for name in [each for each in dir(screen) if each.startswith("action_") and each in vars(BenchScreen)]:
            if name not in ("action_row", "action_close", "action_ready"):
                getattr(screen, name)()
        await driver.settle()
        assert driver.screen_name == "BenchScreen"
        assert driver.app.is_running


@pytest.mark.parametrize("more", [1, 3])
async def test_an_enter_too_many_leaves_no_row_unread(car: Path, more: int) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await driver.type("open")
        await driver.press("enter")
        row = at(driver).row
        assert row is not None
        assert row.reading is None
        await driver.press(*["enter"] * more)
        now = at(driver).row
        assert now is not None
        assert now.key == row.key
        assert "↓ goes on" in driver.said
        await driver.press("up", "enter")
        after = at(driver).row
        assert after is not None
        assert after.key == row.key


async def test_what_was_refused_is_replaced_by_the_next_letter(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("5")
        await driver.type("5 V")
        await driver.press("enter")
        assert "accepted is" in driver.said
        assert "5 V" in driver.seen()
        await driver.type("7")
        assert at(driver).query_one(TypedLine).value == "7"


@pytest.mark.parametrize("row_number", [0, 2])
async def test_undo_leads_back_to_the_row_and_says_its_name(car: Path, row_number: int) -> None:
    async with opened(car) as driver:
        await driver.press("5", *["down"] * row_number)
        row = at(driver).row
        assert row is not None
        await driver.type("0.4")
        await driver.press("enter")
        after = at(driver).row
        assert after is not None
        assert after.key != row.key
        for key in ("ctrl+z", "ctrl+y", "f8"):
            await driver.press(key)
            if key != "f8":
                assert f"{row.point.title}: " in driver.said
                assert row.point.address not in driver.said
                assert (at(driver).row or after).key == row.key
        await driver.press("ctrl+z")
        assert (at(driver).row or after).key == row.key
