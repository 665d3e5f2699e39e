"""Feeds and earths: fuse boxes with their ways, headroom in each condition."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fuseplan.plan.fuse_boxes import places
from fuseplan.plan.words import STATES
from fuseplan.planfile.library import shipped_folder
from fuseplan.tui.screens.form import FormScreen
from fuseplan.tui.widgets.supply_tables import states_content
from fuseplan.workspace.boxes import boxes
from fuseplan.workspace.session import Session
from fuseplan.workspace.supply import headroom

from .conftest import opened

BOX = """
[fuse_box.old]
name = "Old box"
feed = "ignition_bus"
spare = 2
position.F1 = { largest = "8 A", kind = "glass" }
position.F7 = { largest = "10 A", kind = "mini" }
position.F8 = { largest = "30 A", kind = "mini" }
"""


def with_box(car: Path) -> Path:
    car.write_text(car.read_text() + BOX)
    return car


def test_ways_clashes_and_fuses_without_a_place(car: Path) -> None:
    session = Session.open(with_box(car))
    box, = boxes(session)
    assert (box.ways, box.free, box.wanted) == (3, 2, 2)
    seats = {seat.position: seat for seat in box.seats}
    assert seats["F1"].holds == ""
    assert seats["F1"].takes == "up to 8 A glass"
    pump = seats["F7"]
    assert pump.holds.startswith("Fuel pump, 15")
    assert pump.wrong == "it takes at most 10 A, not 15 A"
    assert pump.others == ("F8",)
    loose = [seat for seat in box.seats if not seat.position]
    assert all(seat.owner is not None and seat.field[-2:] == ("fuse", "position") for seat in loose)


def test_every_way_of_the_examples_is_shown_once() -> None:
    for file in shipped_folder("examples").glob("*.toml"):
        session = Session.open(file)
        for box in boxes(session):
            shown = {seat.position for seat in box.seats if seat.position}
            assert shown == {place.position for place in places(session.plan.fuse_box[box.id])}
            assert box.free == sum(seat.owner is None for seat in box.seats)


async def test_boxes_on_the_screen_and_into_the_form(car: Path) -> None:
    async with opened(with_box(car), (100, 45)) as driver:
        await driver.press("2")
        seen = driver.seen()
        for part in ("Fuse boxes", "Old box", "2 of 3 ways free, 2 wanted", "✗ it takes at most 10 A, not 15 A",
                     "fits: F8", "free"):
            assert part in seen, part
        await driver.press("end")
        while "F7" not in (line := str(driver.app.screen._item)):
            assert line
            await driver.press("up")
        await driver.press("enter")
        screen = driver.app.screen
        assert isinstance(screen, FormScreen)
        assert screen.row.path == ("circuit", "fuel_pump", "fuse", "position")


async def test_headroom_of_the_feed_under_the_cursor(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("2", "down")
        assert "Live in" in driver.seen()
        await driver.press("t")
        seen = driver.seen()
        assert "Headroom of" in seen
        assert "Live in" not in seen
        item = driver.app.screen._item
        rows = headroom(driver.session, item.kind, item.id)
        assert rows
        for row in rows[:5]:
            assert row.name[:10] in seen
        await driver.press("t")
        assert "Live in" in driver.seen()


async def test_both_tables_where_there_is_room(car: Path) -> None:
    async with opened(car, (160, 45)) as driver:
        await driver.press("2", "down")
        seen = driver.seen()
        assert "Headroom of" in seen
        assert "Live in" in seen


async def test_add_and_delete(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("2", "a")
        assert "new feed" in driver.seen()
        await driver.press("enter")
        await driver.type("Lamp bus, front")
        await driver.press("enter")
        assert driver.app.screen.root == ("feed", "lamp_bus_front")
        await driver.type("Lamps")
        assert "Missing: from" in driver.seen()
        assert "two roots" not in driver.seen()
        await driver.press("down")
        await driver.type("main_bus")
        assert driver.session.plan.feed["lamp_bus_front"].upstream == "main_bus"
        await driver.press("escape")
        earths = len(driver.session.plan.earth)
        driver.session.edit("new", lambda: driver.session.document.set(
            ("earth", "spare"), {"to": "battery_negative"}))
        driver.app.refresh_plan()
        await driver.press("end", "delete")
        assert len(driver.session.plan.earth) == earths
        assert "Deleted" in driver.said
        await driver.press("home", "delete")
        assert "battery_post" in driver.session.plan.feed, "refused: others hang on it"


async def test_a_short_list_is_narrowed_by_typing(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("2", "a")
        await driver.type("earth")
        await driver.press("enter")
        assert "New earth" in driver.seen()


@pytest.mark.parametrize("room", [40, 60, 78, 100])
def test_a_state_is_written_whole_or_as_three_letters(room: int) -> None:
    head = str(states_content([("Pump", ["live"] * len(STATES))], room)).splitlines()[0].removeprefix("Live in")
    whole = [state.replace("_", " ") for state in STATES]
    for state in (whole, ["off", "acc", "ign", "crk", "run", "r-o"]):
        head = re.sub("|".join(sorted(state, key=len, reverse=True)), "", head)
    assert head.strip() == ""
