"""Other files beside the open plan: one to compare it with, a list to take into it."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.errors import StoreError
from fuseplan.exchange.harness import Harness, HarnessConnector
from fuseplan.exchange.kbl_out import kbl_bytes
from fuseplan.workspace.reports import comparison
from fuseplan.workspace.session import Session

from .conftest import opened


@pytest.mark.parametrize("size", [(40, 12), (100, 30)])
async def test_what_changed_since_a_file_is_shown(car: Path, size: tuple[int, int]) -> None:
    async with opened(car, size) as driver:
        await driver.press("d")
        driver.app.action_compare_plan()
        await driver.settle()
        await driver.press("ctrl+u")
        await driver.type(str(car.parent / "nothing.toml"))
        await driver.press("enter")
        assert "nothing.toml" in driver.said
        driver.app.action_compare_plan()
        await driver.settle()
        await driver.press("enter")
        assert driver.screen_name == "Page"
        seen = driver.read()
        for _ in range(4):
            await driver.press("pagedown")
            seen += driver.read()
        assert "Fuel pump" in seen, "below a path of any length"
        assert size[1] < 30 or "(circuit fuel_pump) removed" in seen
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"


@pytest.mark.one_in(2)
@pytest.mark.parametrize("size", [(40, 12), (100, 30)])
async def test_a_list_is_shown_taken_and_taken_back(car: Path, size: tuple[int, int]) -> None:
    wrong, right = car.parent / "wrong.csv", car.parent / "right.csv"
    wrong.write_text("Circuit,Current\nSpare,5\n", encoding="utf-8")
    right.write_text("Circuit,Load,Amps\nSpare pump,Pump,5\n", encoding="utf-8")
    async with opened(car, size) as driver:
        before = driver.session.document.text
        for file, taken in ((car.parent / "none.csv", False), (wrong, False), (right, True)):
            driver.app.action_import_list()
            await driver.settle()
            await driver.type(str(file))
            await driver.press("enter", "escape", *(("home", "enter") if taken else ()))
            assert ("spare_pump" in driver.session.plan.circuit) is taken
            assert driver.screen_name == "CircuitsScreen"
        await driver.press("u")
        assert driver.session.document.text == before


async def test_a_harness_is_taken_as_the_loom_it_is_said_to_be(car: Path) -> None:
    file = car.parent / "donor.kbl"
    file.write_bytes(kbl_bytes(Harness("Donor", connectors=(HarnessConnector("X1", cavities=("1", "2")),))))
    async with opened(car) as driver:
        driver.app.action_import_list()
        await driver.settle()
        await driver.type(str(file))
        await driver.press("enter", "home", "enter", "escape", "home", "enter")
        assert driver.session.plan.loom["donor"].kind == "chassis"
        assert set(driver.session.plan.connector["x1"].pin) == {"1", "2"}
        await driver.press("u")
        assert not driver.session.plan.connector


def test_a_page_reads_plans_of_its_folder_alone(car: Path, tmp_path: Path) -> None:
    folder = tmp_path / "own"
    folder.mkdir()
    own = folder / "car.toml"
    own.write_text(car.read_text(encoding="utf-8"), encoding="utf-8")
    (folder / "out.toml").symlink_to(car)
    session = Session.open(own)
    session.confine()
    for name in (car, folder / "out.toml", folder / "car.txt", folder / ".car.toml"):
        with pytest.raises(StoreError, match="accepted from a page"):
            comparison(session, str(name), 80)
    assert "say the same" in comparison(session, str(own), 80)
