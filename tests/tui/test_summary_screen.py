"""The summary on the screens: what the first page says, each line with the way to its place."""

from __future__ import annotations

import re
from itertools import takewhile
from pathlib import Path

import pytest
from textual.widgets import OptionList

from fuseplan.checks import assess
from fuseplan.papers.findings import finding_level
from fuseplan.papers.summary import KINDS, first_page, told_once, verdict
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.planfile.starter import starter_plan
from fuseplan.tui.app import FuseplanApp
from fuseplan.tui.screens.form import FormScreen
from fuseplan.tui.screens.summary import SummaryScreen
from fuseplan.workspace.session import Session
from fuseplan.workspace.summary import LIST_ALL, SummaryRow, summary_rows
from tests.checks.check_plans import failing
from tests.papers.first_page_read import parted

from .bursts import burst, key, keys
from .conftest import Driver, opened

COUPE = shipped_folder("examples") / "coupe_turbo.toml"


def rows_of(path: Path = COUPE, *, whole: bool = False) -> list[SummaryRow]:
    return list(summary_rows(Session.open(path), whole=whole))


def test_every_finding_above_advice_is_a_row_of_the_whole_and_leads_to_a_place() -> None:
    found = assess(read_plan(COUPE)).findings
    rows = rows_of(whole=True)
    shown = [row.finding for row in rows if row.finding is not None]
    above = [each for each in found if each.level != "advice" or each.measure]
    assert len(above) > 10
    assert all(each in shown for each in above)
    assert all(row.place is not None for row in rows if row.role != "heading")


def test_what_is_to_be_entered_first_is_asked_once(tmp_path: Path) -> None:
    (file := tmp_path / "car.toml").write_text(starter_plan("car", ["radio"]), encoding="utf-8")
    asked = [row.words for row in rows_of(file) if row.words.startswith("alternator: output")]
    assert len(asked) == 1


def stands_for(row: SummaryRow) -> int:
    """How many findings a row says it is about."""
    if row.place == LIST_ALL:
        return int(row.words.split()[1])
    own, others = parted(row.words)
    return sum(int(found[1]) if (found := re.search(r"\((\d+) times\)|and (\d+) more$", each)) and found[1]
               else int(found[2]) if found else 1 for each in (own, *filter(None, others.split("; "))))


@pytest.mark.parametrize("rating", [None, "60 A"], ids=["as it is", "every fuse too large"])
def test_what_comes_first_says_how_much_is_left_out(tmp_path: Path, rating: str | None) -> None:
    """The rows of each kind stand for as many faults as there are, and the worst of them is what the first page of the
    command line begins with."""
    text = COUPE.read_text(encoding="utf-8")
    (path := tmp_path / "car.toml").write_text(
        text if rating is None else re.sub(r'rating = "\d+ A"', f'rating = "{rating}"', text), encoding="utf-8")
    assessment, rows = assess(read_plan(path)), rows_of(path)
    assert len(rows) < len(rows_of(path, whole=True))
    assert not any(row.follows for row in rows)
    assert any("the same fault" in row.words for row in rows) == (rating is not None)
    at: list[SummaryRow] = []
    for heading, kind in KINDS:
        start = next((number for number, row in enumerate(rows) if row.words.startswith(heading)), len(rows))
        of_kind = list(takewhile(lambda row: row.role != "heading", rows[start + 1:]))
        found = told_once(assessment, [each for each in assessment.findings
                                       if each.cause is None and finding_level(each) == kind])
        assert sum(map(stands_for, of_kind)) == sum(times for _, times in found)
        at += of_kind
    assert at[0].words.partition(" → ")[0].partition(" (+")[0] in " ".join(first_page(assessment).split())


async def test_the_whole_list_is_one_key_away_and_the_cursor_stays() -> None:
    async with opened(COUPE) as driver:
        await driver.press("s")
        listed = driver.app.screen.query_one(OptionList)
        few = listed.option_count
        more = next(at for at, row in enumerate(rows_of()) if row.place == LIST_ALL)
        for _ in range(more):
            if driver.app.screen.row.place == LIST_ALL:
                break
            await driver.press("down")
        before = rows_of()[more - 1]
        await driver.press("enter")
        assert listed.option_count > few
        assert driver.app.screen.row.finding == before.finding
        await driver.press("x")
        assert listed.option_count == few
        assert driver.app.screen.row.finding == before.finding


def test_followers_stand_under_their_cause() -> None:
    rows = rows_of(whole=True)
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


def test_the_verdict_leads_to_the_worst_of_what_it_speaks_of(tmp_path: Path, car: Path) -> None:
    """To the first fault or question below it; to the circuits where it speaks of them as a whole."""
    (tmp_path / "empty.toml").write_text("fuseplan = 1\n", encoding="utf-8")
    (tmp_path / "asks.toml").write_text(starter_plan("car", ["horn"]), encoding="utf-8")
    (tmp_path / "not_known.toml").write_text(failing("alternator-too-small"), encoding="utf-8")
    seen: set[str] = set()
    written = [tmp_path / f"{each}.toml" for each in ("empty", "asks", "not_known")]
    for path in (car, *written, *shipped_folder("examples").glob("*.toml")):
        verdict_row, *below = rows_of(path)
        seen.add(verdict_row.role)
        if verdict_row.role in ("ok", "advice"):
            assert verdict_row.place == "go_circuits", path
        else:
            spoken_of = ("unknown",) if verdict_row.words.startswith("NOT READY") else \
                ("danger", "warning", "measure", "unknown")
            worst = next(row for row in below if row.role in spoken_of)
            assert verdict_row.place == worst.place, path
            assert worst.role == verdict_row.role or worst.role == "unknown", path
    assert seen == {"danger", "warning", "ok", "advice"}


def test_what_is_not_known_is_counted_as_on_the_page_of_the_command() -> None:
    """What waits for an answer that is not said stands there alone."""
    counted = [row.words for row in rows_of() if row.words.startswith("Not known (")]
    page = first_page(assess(read_plan(COUPE)))
    assert counted == re.findall(r"^Not known \(\d+\)", page, re.MULTILINE) != []


async def test_the_verdict_is_about_the_whole_plan_wherever_it_leads(tmp_path: Path) -> None:
    (plan := tmp_path / "car.toml").write_text(failing("fuse-exceeds-wire"), encoding="utf-8")
    async with opened(plan) as driver:
        await driver.press("s")
        screen = driver.app.screen
        assert isinstance(screen.row.place, tuple)
        assert screen.under_cursor is None
        await driver.press("down")
        assert screen.under_cursor is not None


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
        assert app.screen.row.finding is None
        await driver.press("enter")
        assert driver.screen_name == "FormScreen"
