"""The looms: the pins, what is unknown, and the changes made from there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.pilot import Pilot

from fuseplan.exchange.lists import PINS
from fuseplan.exchange.writing_lists import csv_list
from fuseplan.looms.to_do import countdown
from fuseplan.papers.paper import Table
from fuseplan.papers.paper_set import papers_of
from fuseplan.plan.nets import PinId
from fuseplan.planfile.library import shipped_folder
from fuseplan.tui.app import FuseplanApp
from fuseplan.tui.widgets.columns_table import ColumnsTable
from fuseplan.workspace.findings import field_of
from fuseplan.workspace.session import Session
from tests.looms.two_looms import plan_data, supplied, text_of
from tests.plans import plan_of

from .conftest import Driver, opened
from .test_looks import rest


def two_looms() -> Session:
    return Session.of_text(text_of(plan_data()))


def pin(driver: Driver, connector: str, number: str) -> Any:
    return driver.session.plan.connector[connector].pin[number]


async def test_one_screen_tells_what_is_unknown_and_what_to_probe_first() -> None:
    async with opened(two_looms()) as driver:
        await driver.press("L")
        assert len(driver.app.screen.query_one(ColumnsTable).keys) == 100
        assert "7 of 100 unknown" in driver.seen()
        assert "NOT READY FOR POWER" in driver.seen()
        await driver.press("n")
        for words in ("ecu pin 25", "Find out:", "ohms from ecu pin 25 to donor_bulkhead pin 18", "Expected:",
                      "blocks power on"):
            assert words in driver.read(), words
        await driver.press("n")
        assert driver.app.screen.at == ("donor_bulkhead", "18")
        await driver.press("enter")
        assert driver.app.screen.root == ("connector", "donor_bulkhead", "pin", "18")
        await driver.press("escape")
        assert driver.screen_name == "LoomsScreen"


MOVED = ("ecu 9", "car_bulkhead 14", "sensors 13")
"""A pin of each plug that is moved, as the filter finds it."""


@pytest.mark.long
async def test_a_swap_by_keys_alone_from_two_lists_to_papers(tmp_path: Path) -> None:
    """A chassis loom of 40 pins and a donor loom of 60 are imported, what is unknown is settled, three plugs moved."""
    data = supplied(plan_data())
    looms = data.pop("loom")
    listed = {loom: {"fuseplan": 1, "loom": looms, **{key: data[key] for key in ("feed", "earth")}, "connector": {
        name: part for name, part in data["connector"].items() if part["loom"] == loom}} for loom in ("car", "engine")}
    for loom, part in listed.items():
        (tmp_path / f"{loom}.csv").write_text(csv_list(plan_of(part), PINS), encoding="utf-8")
    del data["connector"]
    async with opened(Session.of_text(text_of(data)), (100, 30)) as driver:
        await driver.press("L")
        for loom, kind in (("car", "chassis"), ("engine", "donor")):
            await driver.press("f10")
            await driver.type("import")
            await driver.press("enter", "ctrl+u")
            await driver.type(str(tmp_path / f"{loom}.csv"))
            await driver.press("enter", "escape", "enter")
            assert "Which loom are its connectors of?" in driver.read()
            await driver.type(kind)
            await driver.press("enter")
        plan = driver.session.plan
        assert {part.loom for part in plan.connector.values()} == {"chassis", "donor"} == set(plan.loom)
        assert "7 of 100 unknown" in driver.seen()
        for left in range(7, 0, -1):
            assert f"{left} of 100 unknown" in driver.seen()
            await driver.press("n", "f", "up", "up", "enter")
            await driver.type("no use")
            await driver.press("enter")
        assert "0 of 100 unknown" in driver.seen()
        for plug in MOVED:
            await driver.press("slash")
            await driver.type(plug)
            await driver.press("enter", "home", "e")
            assert f"wires of {plug.split()[0]}" in driver.read(), driver.seen()
            await driver.press("down", "enter")
            await driver.type("40 cm")
            await driver.press("enter", "escape")
            await driver.type("plug moved")
            await driver.press("enter", "x")
        plan = driver.session.plan
        longer = [pin for part in plan.connector.values() for pin in part.pin.values() if pin.extension is not None]
        assert len(longer) > 40
        assert [change.why for change in plan.change] == ["no use"] * 7 + ["plug moved"] * len(longer)
        assert "longer by" not in driver.seen().lower()
        paper, = papers_of(driver.session.assessment, ["cut-list"])
        ends, = (block for block in paper.blocks if isinstance(block, Table) and block.name == "ends")
        assert len(ends.rows) == len(longer), "the papers follow"


async def test_a_list_of_pins_goes_into_a_loom_that_is_asked_for_once(tmp_path: Path) -> None:
    """Its connectors are put into that loom in the same step; one that the plan has is offered first."""
    for name in ("one", "two"):
        (tmp_path / f"{name}.csv").write_text(f"connector,pin,function\n{name},1,horn\n", encoding="utf-8")
    async with opened(Session.of_text("fuseplan = 1\n"), (80, 24)) as driver:
        await driver.press("L")
        for name, keys in (("one", ("down", "enter")), ("two", ("enter",))):
            await driver.press("f10")
            await driver.type("import")
            await driver.press("enter", "ctrl+u")
            await driver.type(str(tmp_path / f"{name}.csv"))
            await driver.press("enter", "escape", "enter", *keys)
        plan = driver.session.plan
        assert [part.loom for part in plan.connector.values()] == ["engine", "engine"]
        assert {name: loom.kind for name, loom in plan.loom.items()} == {"engine": "engine"}
        await driver.press("u", "u")
        assert (driver.session.plan.connector, driver.session.plan.loom) == ({}, {})


async def test_a_spare_pin_is_not_offered_to_be_made_longer() -> None:
    async with opened(two_looms(), (100, 30)) as driver:
        await driver.press("L")
        driver.app.screen.go_to(PinId("dash", "21"))
        await driver.press("e")
        assert "the whole plug" in driver.seen()
        assert "this wire" not in driver.seen()


async def test_a_wire_on_no_pin_is_in_the_table_and_leads_to_its_form() -> None:
    data = plan_data()
    data["loom"]["engine"]["wire"] = [{"size": "1 mm2", "colour": "GN", "number": "W7"}]
    async with opened(Session.of_text(text_of(data)), (100, 30)) as driver:
        await driver.press("L", "end")
        assert driver.app.screen.at is None
        assert "1 wires on no pin" not in driver.seen()
        for words in ("1 wire on no pin", "loom engine wire W7", "This wire ends on no pin"):
            assert words in driver.read(), words
        for key in ("f", "e", "g"):
            await driver.press(key)
            assert driver.screen_name == "LoomsScreen"
        await driver.press("enter")
        assert driver.screen_name == "FormScreen"
        await driver.press("escape", "slash")
        await driver.type("w7")
        await driver.press("enter")
        assert driver.app.screen.query_one(ColumnsTable).keys == ["loom\nengine\n0"]


async def test_it_works_in_the_smallest_window() -> None:
    async with opened(two_looms(), (40, 12)) as driver:
        await driver.press("L", "n")
        assert "ecu 25" in driver.seen()
        assert "Find out:" in driver.seen()
        assert all(len(row) <= 40 for row in driver.seen().splitlines())


async def test_it_is_on_the_list_of_screens() -> None:
    async with opened(two_looms()) as driver:
        await driver.press("0")
        assert "plugs and pins of the looms" in driver.seen()


async def test_orders_and_filter_keep_the_pin_under_the_cursor() -> None:
    async with opened(two_looms()) as driver:
        await driver.press("L", "n", "o")
        assert driver.app.screen.at == ("ecu", "25")
        assert "by function" in driver.seen()
        await driver.press("o", "slash")
        await driver.type("crankshaft shield")
        await driver.press("enter")
        assert driver.app.screen.query_one(ColumnsTable).keys == ["ecu\n11", "sensors\n5"]
        await driver.press("home", "g")
        assert driver.app.screen.at == ("sensors", "5")
        await driver.press("g", "x")
        assert driver.app.screen.at == ("ecu", "11")
        here = driver.app.screen.at
        await driver.press("slash")
        await driver.type("nothing of the kind")
        assert driver.app.screen_stack[-2].query_one(ColumnsTable).keys == []
        await driver.press("escape")
        assert driver.app.screen.at == here, "taken back, the cursor is where it was"


async def test_at_80_columns_connectors_are_told_apart_and_size_colour_and_use_of_a_wire_can_be_read() -> None:
    async with opened(shipped_folder("examples") / "coupe_turbo.toml", (80, 24)) as driver:
        await driver.press("L")
        shown = driver.seen()
        for words in ("coolant te…gauge", "Goes to: ", "0.75 mm² BUGN", "7 of Engine plug o…ssis loom", "tachometer "):
            assert words in shown


async def test_a_fate_is_decided_with_its_line_in_the_log_in_one_step() -> None:
    async with opened(two_looms()) as driver:
        await driver.press("L", "n", "f", "up", "up", "enter")
        await driver.type("no use for it")
        await driver.press("enter")
        assert pin(driver, "ecu", "25").fate == "cut_and_insulate"
        line, = driver.session.plan.change
        assert (line.why, line.wire.connector, line.wire.pin) == ("no use for it", "ecu", "25")
        assert "6 of 100 unknown" in driver.seen()
        await driver.press("u")
        assert pin(driver, "ecu", "25").fate == "unknown"
        assert driver.session.plan.change == ()


async def test_a_join_asks_for_the_other_wire_those_with_the_same_function_first() -> None:
    async with opened(two_looms()) as driver:
        await driver.press("L")
        driver.app.screen.go_to(driver.app.screen._rows["donor_bulkhead\n4"].at)
        await driver.press("f")
        await driver.type("join")
        await driver.press("enter")
        assert "donor_bulkhead pin 4: joined to the wire of" in driver.seen()
        await driver.press("enter")
        await driver.type("lamp kept")
        await driver.press("enter")
        joined = pin(driver, "donor_bulkhead", "4")
        assert (joined.fate, joined.join_to.connector, joined.join_to.pin) == ("join", "dash", "4")
        assert driver.session.plan.change[0].what.endswith("charge lamp: joined to dash pin 4")
        await driver.press("u")
        assert pin(driver, "donor_bulkhead", "4").join_to is None


async def test_a_pair_is_made_longer_together_after_a_look() -> None:
    async with opened(two_looms()) as driver:
        await driver.press("L")
        driver.app.screen.go_to(driver.app.screen._rows["ecu\n9"].at)
        await driver.press("e", "enter")
        await driver.type("40 cm")
        await driver.press("enter")
        assert "twisted up to the splice" in driver.read()
        await driver.press("escape", "enter")
        added = {number: pin(driver, "ecu", number).extension for number in ("8", "9", "10", "11")}
        assert added["8"] is None
        assert all(added[number] is not None for number in ("9", "10", "11"))
        assert len(driver.session.plan.change) == 3
        await driver.press("u")
        assert pin(driver, "ecu", "9").extension is None


async def test_a_distance_that_is_none_changes_nothing() -> None:
    async with opened(two_looms()) as driver:
        before = driver.session.document.text
        await driver.press("L", "e", "enter")
        await driver.type("far")
        await driver.press("enter")
        assert "✗" in driver.said
        assert driver.session.document.text == before


async def test_a_pasted_table_fills_the_connector_under_the_cursor_in_one_step() -> None:
    async with opened(two_looms()) as driver:
        await driver.press("L", "n")
        table = "pin\tfunction\tsignal\tcolour\n25\tboost valve\tcoil_driver\tYEGN\n27\tspare sensor\tsignal\tVT\n"
        driver.app.post_message(events.Paste(table))
        await driver.settle()
        assert "boost valve" in driver.seen()
        await driver.press("escape", "enter")
        assert pin(driver, "ecu", "25").function == "boost valve"
        assert pin(driver, "ecu", "27").colour == "VT"
        await driver.press("u")
        assert pin(driver, "ecu", "25").function is None
        assert "27" not in driver.session.plan.connector["ecu"].pin


async def test_one_pasted_line_is_no_table() -> None:
    async with opened(two_looms()) as driver:
        await driver.press("L")
        driver.app.post_message(events.Paste("7 charge lamp"))
        await driver.settle()
        assert "Paste a table" in driver.said


async def test_one_key_leads_once_to_each_thing_that_blocks_power() -> None:
    data = plan_data()
    data["connector"]["ecu"]["cavities"] = 30
    session = Session.of_text(text_of(data))
    open_ones = countdown(session.plan).blocking
    assert {"unknown", "feed", "earth"} <= {task.kind for task in open_ones}
    async with opened(session) as driver:
        await driver.press("L")
        assert f"{len(open_ones) - 8} more to settle" in driver.seen()
        for task in (*open_ones, open_ones[0]):
            await driver.press("n")
            if task.subject.pin:
                assert driver.app.screen.at == task.subject
                assert task.kind == "unknown" or task.words in driver.said
            else:
                assert driver.app.screen.root == ("connector", "ecu")
                await driver.press("escape")


async def test_a_part_whose_name_begins_with_circuit_is_no_circuit() -> None:
    session = two_looms()
    session.edit("other end", lambda: session.document.set(("connector", "dash", "pin", "1", "other_end"),
                                                           {"connector": "circuit breaker"}))
    async with opened(session) as driver:
        await driver.press("L")
        assert "circuit breaker" in driver.read()
        assert driver.app.screen.under_cursor is None
        await driver.press("w")
        assert driver.screen_name == "WorkingScreen"


async def test_merging_copying_log_and_a_plan_without_looms() -> None:
    async with opened(two_looms()) as driver:
        await driver.press("L", "m")
        assert "Engine runs" in driver.seen()
        await driver.press("escape", "y", "c")
        assert "What to find out" in driver.app.clipboard
        assert "Every changed wire is in the change log" in driver.said
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"
    async with opened(Session.of_text("fuseplan = 1\n")) as driver:
        await driver.press("L")
        assert "No pins yet" in driver.seen()
        await driver.press("n", "g", "e", "f", "o", "enter", "c", "d")
        await driver.press("a")
        assert "new connector" in driver.seen()


async def test_a_finding_leads_to_the_field_of_its_pin_and_on_to_the_next_pin() -> None:
    async with opened(two_looms()) as driver:
        found = next(each for each in driver.session.assessment.findings if each.subject == "ecu")
        root, field = field_of(driver.session, found)
        assert (root, field) == (("connector", "ecu", "pin", "25"), ("connector", "ecu", "pin", "25", "fate"))
        driver.app.open_field(root, field)
        await driver.settle()
        assert driver.app.screen.row.path == field
        await driver.press("ctrl+n")
        assert driver.app.screen.root == ("connector", "ecu", "pin", "26")
        await driver.press("f2")
        assert "printed beside the cavity" in driver.said


@pytest.mark.parametrize("size", [(40, 12), (80, 24), (120, 36)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_looks(snap_compare: Any, size: tuple[int, int]) -> None:
    async def arrive(pilot: Pilot[Any]) -> None:
        for key in ("L", "n"):
            await pilot.press(key)
            await pilot.pause()
        await rest(pilot)

    assert snap_compare(FuseplanApp(two_looms()), terminal_size=size, run_before=arrive)
