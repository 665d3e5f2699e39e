"""Proposals: for a circuit, for the whole plan, for a field; taken one by one or all."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from fuseplan.papers.proposed_changes import joined_by_reason, joined_words
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.starter import starter_plan
from fuseplan.quantities import writing
from fuseplan.tui.screens.proposal import ProposalScreen
from fuseplan.tui.screens.proposal_lines import texts
from fuseplan.tui.widgets.progress_line import ProgressLine
from fuseplan.workspace import proposals
from fuseplan.workspace.session import Session

from .bursts import arrive, key
from .conftest import WAIT_S, Driver, opened

COUPE = shipped_folder("examples") / "coupe_turbo.toml"


def screen(driver: Driver) -> ProposalScreen:
    assert isinstance(driver.app.screen, ProposalScreen)
    return driver.app.screen


async def test_all_changes_of_the_plan_in_one_step(car: Path) -> None:
    async with opened(car) as driver:
        before = driver.session.document.text
        expected = proposals.propose_for(driver.session.assessment, None)
        assert len(expected.changes) > 1
        await driver.press("P")
        assert f"Changes: {len(expected.changes)} to apply" in driver.seen()
        assert "⚠ A proposal is arithmetic" in driver.seen()
        await driver.press("a")
        assert driver.session.plan == expected.plan
        assert "✓ applied" in driver.seen()
        await driver.press("a")
        assert "no change left" in driver.said
        await driver.press("u")
        assert driver.session.document.text == before
        assert f"Changes: {len(expected.changes)} to apply" in driver.seen()


async def test_one_change_at_a_time(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("P")
        change = screen(driver).item
        await driver.press("enter")
        assert proposals.is_taken(driver.session, change)
        assert "Taken: 1 change" in driver.said
        await driver.press("enter")
        assert "already" in driver.said
        left = proposals.open_changes(driver.session, screen(driver).proposal)
        assert len(left) == len(screen(driver).proposal.changes) - 1
        await driver.press("u")
        assert not proposals.is_taken(driver.session, change)


async def test_proposal_for_the_circuit_under_the_cursor(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("down", "p")
        assert screen(driver).circuit == "fan"
        assert "Proposal for Radiator fan" in driver.seen()
        assert all(each.path[:2] == ("circuit", "fan") for each in screen(driver).proposal.changes)
        assert screen(driver).under_cursor == ("circuit", "fan")
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"


async def test_what_is_left_leads_to_the_field_that_cures_it(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("P")
        left = screen(driver).proposal.left
        assert left
        for _ in range(40):
            if screen(driver).item == left[0]:
                break
            await driver.press("down")
        await driver.press("enter")
        assert driver.screen_name == "FormScreen"


async def test_a_proposal_for_another_plan_is_not_taken(car: Path) -> None:
    async with opened(car) as driver:
        driver.session.edit("other", lambda: driver.session.document.set(("circuit", "fan", "note"), "x"))
        await driver.press("P", "u")
        assert "has changed since" in driver.seen()
        text = driver.session.document.text
        await driver.press("a")
        assert driver.session.document.text == text
        await driver.press("r")
        assert "has changed since" not in driver.seen()
        await driver.press("a")
        assert driver.session.document.text != text


async def test_proposing_can_be_stopped(car: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def endless(assessment: object, circuit: object, progress: object) -> object:
        number, end = 0, time.monotonic() + WAIT_S
        while time.monotonic() < end:
            number += 1
            progress(number, number)  # type: ignore[operator]  # the screen's own
            time.sleep(0.005)
        raise AssertionError("nobody stopped it")

    monkeypatch.setattr(proposals, "propose_for", endless)
    async with opened(car) as driver:
        arrive(driver, key("P"))
        await driver.until(lambda: isinstance(driver.app.screen, ProposalScreen)
                           and "Proposing, round" in driver.seen(), "how far it is can be seen")
        await driver.press("escape")
        assert not screen(driver).query_one(ProgressLine).is_busy
        assert "Stopped" in driver.said
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"


async def test_the_field_takes_what_is_proposed(car: Path) -> None:
    async with opened(car) as driver:
        expected = proposals.propose_for(driver.session.assessment, "fan")
        change = expected.changes[0]
        driver.app.open_field(("circuit", "fan"), change.path)
        await driver.settle()
        await driver.press("ctrl+t")
        assert driver.screen_name == "Choose"
        assert change.check in driver.seen()
        await driver.press("enter")
        assert str(driver.session.value(change.path)) == change.new
        assert driver.app.screen.row.value == change.new
        await driver.press("ctrl+z")
        assert driver.session.value(change.path) != change.new


async def test_a_field_elsewhere_offers_what_the_part_needs(car: Path) -> None:
    async with opened(car) as driver:
        expected = proposals.propose_for(driver.session.assessment, "fan")
        await driver.press("down", "enter", "ctrl+t")
        assert "Nothing is proposed for the field under the cursor" in driver.seen()
        await driver.press("enter")
        assert all(str(driver.session.value(each.path)) == each.new for each in expected.changes)
        await driver.press("ctrl+t")
        assert "othing" in driver.said


async def test_where_no_circuit_is_under_the_cursor_the_plan_is_proposed_for() -> None:
    async with opened(Session.of_text("fuseplan = 1\n")) as driver:
        await driver.press("p")
        assert screen(driver).circuit is None
        await driver.press("escape")
        await driver.press("P")
        assert "No size, rating or relay needs to change" in driver.seen()
        await driver.press("enter", "a", "w")


async def test_a_circuit_of_which_something_is_not_known_is_not_said_to_need_nothing(car: Path) -> None:
    async with opened(car) as driver:
        document = driver.session.document
        driver.session.edit("new", lambda: document.set(("circuit", "camera"), {
            "name": "Camera", "feed": "main_bus", "fuse": {"kind": "blade", "rating": "5 A"}}))
        await driver.press("f5", "end", "enter", "ctrl+t")
        assert "Nothing can be proposed" in driver.said
        await driver.press("escape", "p")
        seen = driver.seen()
        assert "✓" not in seen
        assert "the proposal may change (1)" in seen


async def test_the_foot_counts_what_stands_against_the_plan_now(car: Path) -> None:
    async with opened(car) as driver:
        def above() -> tuple[int, int]:
            return driver.session.assessment.count("danger"), driver.session.assessment.count("warning")

        def counted() -> str:
            danger, warning = above()
            return f"Now: {writing.counted(danger, 'danger') if danger else 'no dangers'}, " \
                   f"{writing.counted(warning, 'warning') if warning else 'no warnings'}."

        await driver.press("P")
        before = above()
        assert counted() in driver.read()
        await driver.press("a")
        assert sum(above()) < sum(before)
        assert counted() in driver.read()


async def test_changes_of_one_reason_stand_together_as_on_the_command_line(tmp_path: Path) -> None:
    (file := tmp_path / "car.toml").write_text(starter_plan(
        "car", ["radio", "fan_single", "fuel_pump_in_line", "horn", "heater_blower"]), encoding="utf-8")
    async with opened(file) as driver:
        await driver.press("escape", "P")
        found = screen(driver).proposal
        _, joined = joined_by_reason(found)
        [(reason, same)] = joined.items()
        assert joined_words(reason, same) in driver.seen()
        assert driver.seen().count(same[0].check) == 0
        assert screen(driver).item == same[0]
        await driver.press("down", "enter")
        assert proposals.is_taken(driver.session, same[1])
        assert not proposals.is_taken(driver.session, same[0])


def test_a_reason_that_several_wires_of_a_part_share_stands_once() -> None:
    session = Session.open(COUPE)
    found = proposals.propose_for(session.assessment, "fuel_pump", look_for_savings=False)
    lines = [str(content) for item, content in texts(session, found) if item in found.changes]
    whys = [each.why for each in joined_by_reason(found)[0]]
    assert len(set(whys)) < len(whys)
    for why in set(whys):
        assert sum(why in each for each in lines) == 1
    assert sum(each.endswith(": as above") for each in lines) == len(whys) - len(set(whys))
