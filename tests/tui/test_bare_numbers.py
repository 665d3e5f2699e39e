"""A number without a unit is never given one: by no key, in no form. What could have been meant is asked."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events
from textual.widgets import Input, OptionList

from fuseplan.plan.references import Path as PlanPath
from fuseplan.planfile.read import read_plan
from fuseplan.tui.screens.form import FormScreen
from fuseplan.workspace.choices import complete
from fuseplan.workspace.form import Form
from fuseplan.workspace.offers import offers
from fuseplan.workspace.session import Session

from .conftest import Driver, opened

LOAD = ("circuit", "fuel_pump", "load", 0)
SIZE = ("circuit", "fuel_pump", "wire", 0, "size")
LENGTH = ("run", "dash", "length")
FIELDS: list[tuple[PlanPath, str, list[str]]] = [
    (SIZE, "14", ["14 mm2", "AWG 14", "SAE 14"]), (SIZE, "1.5", ["1.5 mm2"]), (SIZE, "14 gauge", ["AWG 14", "SAE 14"]),
    (SIZE, "2,5 mm²", ["2.5 mm²"]), (SIZE, "2.5mm", ["2.5 mm2"]), (SIZE, "4/0", ["AWG 4/0", "SAE 4/0"]),
    (LENGTH, "50", ["50 m", "50 ft", "50 mm", "50 cm", "50 in"]),
    (LENGTH, "150", ["150 ft", "150 mm", "150 cm", "150 in"]),
    ((*LOAD, "inrush_time"), "1", ["1 s", "1 ms", "1 min"]), ((*LOAD, "current"), "7", ["7 A", "7 mA"]),
    ((*LOAD, "at"), "13.5", ["13.5 V"]), (("zone", "cabin", "ambient"), "80", ["80 degC", "80 degF"]),
    (("battery", "capacity"), "60", ["60 Ah"]), (("circuit", "fuel_pump", "fuse", "rating"), "10", ["10 A", "10 mA"]),
]


def form(driver: Driver) -> FormScreen:
    screen = driver.app.screen
    assert isinstance(screen, FormScreen)
    return screen


async def at_field(driver: Driver, path: PlanPath) -> None:
    driver.app.open_form(path[:1] if path[0] == "battery" else path[:2])
    await driver.settle()
    form(driver).go_to_path(path)
    await driver.settle()
    assert form(driver).row.path == path
    await driver.press("end", "ctrl+u")


async def put(driver: Driver, text: str, way: str) -> None:
    if way == "paste":
        driver.app.screen.query_one(Input).post_message(events.Paste(text))
    else:
        await driver.type(text)
    await driver.settle()


def listed(driver: Driver) -> list[str]:
    return [str(option.prompt) for option in driver.app.screen.query_one(OptionList).options]


@pytest.mark.one_in(4)
@pytest.mark.parametrize(("path", "text", "offered"), FIELDS, ids=lambda each: str(each))
def test_no_field_gives_a_unit_and_each_offer_is_taken_as_it_is_worded(
        car: Path, path: PlanPath, text: str, offered: list[str]) -> None:
    """Of every field, by what all keys of a form come to: typing, leaving, asking, taking an answer."""
    for number, words in enumerate(offered):
        session = Session.open(car)
        form = Form(session, path[:1] if path[0] == "battery" else path[:2])
        before = session.value(path)
        for end in range(1, len(text) + 1):
            form.type_text(path, text[:end])
            assert session.value(path) == before
        form.leave(path)
        assert session.value(path) == before
        assert session.drafts.texts == {path: text}
        form.reveal(path)
        entry = next(row.entry for row in form.rows() if row.path == path)
        assert complete(session, entry, path, text) is None, "Enter would take it before it asks"
        found = offers(session, entry, path, text)
        assert [each.words for each in found] == offered
        form.take_offer(found[number])
        assert form.text(path) == words
        if path not in session.drafts.texts:
            assert session.value(path) == words
    assert session.value(path) == offered[-1]


@pytest.mark.one_in(2)
@pytest.mark.parametrize(("path", "text", "offered"), [FIELDS[0], FIELDS[6], FIELDS[-2]], ids=lambda each: str(each))
async def test_no_key_gives_a_unit_and_enter_asks_which(
        car: Path, path: PlanPath, text: str, offered: list[str]) -> None:
    async with opened(car) as driver:
        before = driver.session.value(path)
        for way, keys in (("type", ("down",)), ("type", ("tab",)), ("paste", ("down",)), ("type", ("escape",))):
            await at_field(driver, path)
            await put(driver, text, way)
            await driver.press(*keys)
            assert driver.session.value(path) == before
            assert driver.session.drafts.texts == {path: text}
            if keys != ("escape",):
                await driver.press("escape")
        await at_field(driver, path)
        await put(driver, text, "type")
        assert f"'{text}'" in driver.seen()
        assert f"Enter asks: {offered[0]}" in driver.seen()
        await driver.press("enter")
        assert driver.screen_name == "Choose"
        assert listed(driver) == offered
        await driver.press("enter", "enter", "1", "a", "m", "enter")
        assert driver.screen_name == "Choose", "nothing is chosen by typing on"
        assert "press ↓, then Enter" in driver.seen(), "and it says why"
        assert driver.session.value(path) == before
        await driver.press("escape")
        assert driver.session.value(path) == before
        for number, words in enumerate(offered):
            if number:
                form(driver).go_to_path(path)
                await driver.settle()
                await driver.press("end", "ctrl+u")
                await put(driver, text, "type")
            await driver.press("enter", *["down"] * (number + 1), "enter")
            assert form(driver).form.text(path) == words
            if path not in driver.session.drafts.texts:
                assert driver.session.value(path) == words
        assert driver.session.value(path) == offered[-1]


async def test_engine_speed_alone_is_taken_in_turns_a_minute(car: Path) -> None:
    path = ("condition", "wet_town", "engine")
    async with opened(car) as driver:
        driver.session.edit("new", lambda: driver.session.document.set(path[:2], {"state": "running"}))
        await at_field(driver, path)
        await put(driver, "850", "type")
        await driver.press("enter")
        assert driver.session.plan.condition["wet_town"].engine == 850


@pytest.mark.one_in(3, first=2)
@pytest.mark.parametrize(("key", "text"), [
    pytest.param(key, text, marks=() if number % 3 == place else pytest.mark.rest)
    for number, text in enumerate(["100 W at 12V", "100W @ 12 V", "12 V, 100 W", "100 W 12 V"])
    for place, key in enumerate(["current", "power", "at"])])
async def test_a_power_stated_at_a_voltage_goes_into_both_fields(car: Path, text: str, key: str) -> None:
    async with opened(car) as driver:
        await at_field(driver, (*LOAD, key))
        await put(driver, text, "paste")
        assert "Enter asks: power 100 W, at 12 V (instead of current 6.5 A)" in driver.seen()
        await driver.press("enter", "down", "enter")
        load = driver.session.plan.circuit["fuel_pump"].load[0]
        assert (load.current, load.power, load.at) == (None, 100, 12)
        assert not driver.session.drafts.texts
        await driver.press("ctrl+z")
        assert str(driver.session.plan.circuit["fuel_pump"].load[0].current) == "6.5 A", "one step to undo"
        await driver.press("escape", "ctrl+s")
        assert str(read_plan(car).circuit["fuel_pump"].load[0].current) == "6.5 A"


async def test_a_figure_of_another_kind_is_offered_to_its_field(car: Path) -> None:
    async with opened(car) as driver:
        await at_field(driver, (*LOAD, "current"))
        await put(driver, "88 W", "type")
        assert "'88 W' is a power; a current is wanted" in driver.read()
        await driver.press("enter", "down", "enter")
        load = driver.session.plan.circuit["fuel_pump"].load[0]
        assert (load.current, load.power) == (None, 88)


@pytest.mark.parametrize(("key", "text", "into"), [("current", "88 W", "power"), ("power", "7 A", "current")])
async def test_what_goes_into_another_field_stays_in_none(car: Path, key: str, text: str, into: str) -> None:
    async with opened(car) as driver:
        driver.session.edit("neither", lambda: driver.session.document.remove((*LOAD, "current")))
        await at_field(driver, (*LOAD, key))
        await put(driver, text, "type")
        await driver.press("enter", "down", "enter")
        load = driver.session.plan.circuit["fuel_pump"].load[0]
        assert str(getattr(load, into)) == text
        assert getattr(load, key) is None
        assert not driver.session.drafts.texts, "nothing is left to be put right"


async def test_both_ends_of_a_span_take_the_unit_of_one(car: Path) -> None:
    async with opened(car) as driver:
        await at_field(driver, (*LOAD, "range"))
        for text in ("5-7 A", "5 to 7 A"):
            await driver.press("end", "ctrl+u")
            await put(driver, text, "type")
            await driver.press("enter", "down", "enter")
            assert [str(each) for each in driver.session.plan.circuit["fuel_pump"].load[0].range] == ["5 A", "7 A"]
            form(driver).go_to_path((*LOAD, "range"))
            await driver.settle()


@pytest.mark.one_in(2, first=1)
@pytest.mark.parametrize("typed", ["0,5", "50 %", "50"])
async def test_a_share_typed_as_per_cent_or_with_a_comma_is_asked_about(car: Path, typed: str) -> None:
    async with opened(car) as driver:
        await at_field(driver, (*LOAD, "duty"))
        await put(driver, typed, "paste")
        await driver.press("enter", "down", "enter")
        assert driver.session.plan.circuit["fuel_pump"].load[0].duty == 0.5
