"""The summary on the screens: what the first page says, each line with the way to its place."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import OptionList

from fuseplan.checks import assess
from fuseplan.papers.summary import verdict
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.planfile.starter import starter_plan
from fuseplan.tui.app import FuseplanApp
from fuseplan.tui.screens.form import FormScreen
from fuseplan.tui.screens.summary import SummaryScreen
from fuseplan.workspace.session import Session
from fuseplan.workspace.summary import SummaryRow, summary_rows

from .bursts import burst, key, keys
from .conftest import Driver, opened

COUPE = shipped_folder("examples") / "coupe_turbo.toml"


def rows_of(path: Path = COUPE) -> list[SummaryRow]:
    return list(summary_rows(Session.open(path)))


def test_every_finding_above_advice_is_a_row_and_leads_to_a_place() -> None:
    found = assess(read_plan(COUPE)).findings
    rows = rows_of()
    shown = [row.finding for row in rows if row.finding is not None]
    above = [each for each in found if each.level != "advice" or each.measure]
    assert len(above) > 10
    assert all(each in shown for each in above)
    assert all(row.place is not None for row in rows if row.role != "heading")


def test_what_is_to_be_entered_first_is_asked_once(tmp_path: Path) -> None:
    (file := tmp_path / "car.toml").write_text(starter_plan("car", ["radio"]), encoding="utf-8")
    asked = [row.words for row in rows_of(file) if row.words.startswith("alternator: output")]
    assert len(asked) == 1


def test_followers_stand_under_their_cause() -> None:
    rows = rows_of()
    followers = [at for at, row in enumerate(rows) if row.follows]
    assert followers
    found = assess(read_plan(COUPE)).findings
    for at in followers:
        leader = next(row for row in reversed(rows[:at]) if not row.follows)
        assert rows[at].finding is not None
        assert found[rows[at].finding.cause] == leader.finding


@pytest.mark.parametrize("size", [(40, 12), (80, 24)])
async def test_the_verdict_is_first_and_lines_lead_to_their_place(car: Path, size: tuple[int, int]
                                                                  ) -> None:
    async with opened(car, size) as driver:
        await driver.press("s")
        screen = driver.app.screen
        assert isinstance(screen, SummaryScreen)
        words = verdict(driver.app.session.assessment)[1]
        assert words.split(":")[0] in driver.read()
        await driver.press("down", "enter")
        assert isinstance(driver.app.screen, FormScreen)
        await driver.press("escape")
        assert isinstance(driver.app.screen, SummaryScreen)
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"


@pytest.mark.parametrize("begun", ["", "[battery]\ncapacity = \"60 Ah\"\n"])
async def test_what_is_to_be_entered_first_is_one_key_away(tmp_path: Path, begun: str) -> None:
    """Whether the plan has the part yet or not."""
    plan = tmp_path / "new.toml"
    plan.write_text(f"fuseplan = 1\n{begun}", encoding="utf-8")
    async with opened(plan) as driver:
        await driver.press("s", "down", "down", "enter", *"540 A", "down")
        assert isinstance(driver.app.screen, FormScreen)
        battery = driver.session.plan.battery
        assert battery is not None
        assert battery.cold_crank == 540.0


async def test_from_every_numbered_screen_s_leads_to_it_and_1_back(car: Path) -> None:
    async with opened(car) as driver:
        for place in ("2", "3", "4", "6", "7", "8", "9", "L"):
            await burst(driver, *keys(place, "s"))
            assert driver.screen_name == "SummaryScreen", place
            await burst(driver, key("1"))
            assert driver.screen_name == "CircuitsScreen", place


async def test_the_program_opens_a_plan_with_it(car: Path) -> None:
    app = FuseplanApp(Session.open(car), summary=True)
    async with app.run_test(size=(80, 24)) as pilot:
        driver = Driver(app, pilot)
        await driver.settle()
        assert driver.screen_name == "SummaryScreen"
        assert app.screen.query_one(OptionList).highlighted == 0
        await driver.press("enter")
        assert driver.screen_name == "CircuitsScreen"
