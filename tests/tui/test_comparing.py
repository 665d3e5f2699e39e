"""The open plan compared with another file of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.errors import StoreError
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
        assert "circuit fuel_pump removed" in driver.read()
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"


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
