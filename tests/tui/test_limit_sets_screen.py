"""The plan by all sets of limits side by side."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.side_by_side import SideBySide, side_by_side
from fuseplan.tui.screens import limit_sets
from fuseplan.tui.widgets.columns_table import ColumnsTable
from fuseplan.workspace.session import Session

from .bursts import arrive, keys
from .conftest import opened


async def test_verdict_of_each_limit_set_and_the_reasons(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("7")
        found = side_by_side(driver.session.plan)
        seen = driver.seen()
        assert f"{found.disagreements} of 3 circuits with different verdicts" in seen
        for each in ("road", "aircraft", "small_craft"):
            assert each in seen
        assert "▸ road" in seen
        await driver.press("down")
        assert driver.app.screen.row.id == "fan"
        assert "Radiator fan" in driver.seen()
        await driver.press("enter")
        assert driver.app.screen.root == ("circuit", "fan")


async def test_only_what_is_judged_differently(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("7", "f")
        found = side_by_side(driver.session.plan)
        table = driver.app.screen.query_one(ColumnsTable)
        assert table.keys == [row.id for row in found.rows if row.disagree]
        await driver.press("f")
        assert table.row_count == 3


async def test_wide_cells_hold_windows_and_wires(car: Path) -> None:
    async with opened(car, (200, 40)) as driver:
        await driver.press("7")
        rows = driver.seen().splitlines()
        pump = next(row for row in rows if row.strip().startswith("Fuel pump"))
        assert pump.count("wire ") >= 3


async def test_choose_limit_set_copy_and_close(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("7", "y")
        assert "Disagreements:" in driver.app.clipboard
        await driver.press("c")
        assert driver.app.screen.row.path == ("vehicle", "limits")
        await driver.press("escape", "escape")
        assert driver.screen_name == "CircuitsScreen"


async def test_a_plan_without_circuits() -> None:
    async with opened(Session.of_text("fuseplan = 1\n")) as driver:
        await driver.press("7")
        assert "no circuits yet" in driver.seen()
        await driver.press("enter", "f", "w")


async def test_what_is_still_being_worked_out_is_not_copied(car: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    free = threading.Event()

    def slow(*arguments: Any) -> SideBySide:
        free.wait(30.0)
        return side_by_side(*arguments)

    monkeypatch.setattr(limit_sets, "side_by_side", slow)
    async with opened(car) as driver:
        arrive(driver, *keys("7", "y"))
        await driver.until(lambda: "Not copied" in driver.said, "what is not known yet is not copied")
        assert driver.app.clipboard == ""
        free.set()
        await driver.settle()
        await driver.press("y")
        assert "Disagreements:" in driver.app.clipboard
