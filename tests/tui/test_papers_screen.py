"""Papers chosen, looked at and written."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.widgets import OptionList

from fuseplan.papers.paper_set import sheets
from fuseplan.tui.screens import papers as papers_screen
from fuseplan.tui.widgets.progress_line import ProgressLine
from fuseplan.workspace import papers

from .bursts import arrive, key
from .conftest import Driver, opened


async def formats(driver: Driver, *wanted: str) -> None:
    """Have only these formats ticked."""
    driver.app.screen._formats = list(wanted)  # type: ignore[attr-defined]  # the screen's own
    driver.app.screen.refresh_plan()  # type: ignore[attr-defined]
    await driver.settle()


async def test_all_papers_are_ticked_and_the_one_under_the_cursor_is_shown(car: Path) -> None:
    async with opened(car, (120, 36)) as driver:
        await driver.press("6")
        seen = driver.seen()
        assert seen.count("[x]") == len(sheets()) >= 3
        assert "6 papers" in seen
        assert "Summary ·" in seen, "the preview beside the list"
        await driver.press("down")
        first, second = list(sheets().values())[:2]
        assert f"{second.title} ·" in driver.seen()
        assert f"{first.title} ·" not in driver.seen()


async def test_a_paper_can_be_left_out_and_all_ticked_again(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("6", "space")
        assert f"{len(sheets()) - 1} of {len(sheets())} as" in driver.seen()
        assert driver.seen().count("[ ]") == 1
        await driver.press("a")
        assert "[ ]" not in driver.seen()
        await driver.press("a")
        assert "[x]" not in driver.seen()
        await driver.press("e")
        assert "Nothing to write" in driver.said


@pytest.mark.parametrize("size", [(40, 12), (80, 24)])
async def test_a_paper_is_read_on_the_whole_screen(car: Path, size: tuple[int, int]) -> None:
    async with opened(car, size) as driver:
        await driver.press("6", "enter")
        assert driver.screen_name == "Page"
        assert "Summary" in driver.read()
        await driver.press("escape")
        assert driver.screen_name == "PapersScreen"


async def test_formats_are_chosen_from_a_list(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("6", "f")
        assert "one spreadsheet, a page a table" in driver.seen()
        await driver.press("escape")
        assert driver.screen_name == "PapersScreen"


async def test_papers_are_written_into_the_folder_and_nothing_else_is_touched(car: Path, tmp_path: Path) -> None:
    (tmp_path / "car-papers").mkdir()
    (tmp_path / "car-papers" / "mine.txt").write_text("mine")
    async with opened(car) as driver:
        await driver.press("6")
        await formats(driver, "csv", "html", "txt")
        await driver.press("e")
        assert "car-papers" in driver.seen()
        await driver.press("enter")
        folder = tmp_path / "car-papers"
        assert f"written to {folder}" in driver.said
        assert {f"{name}.txt" for name in sheets()} | {"papers.html", "mine.txt"} <= {
            each.name for each in folder.iterdir()}
        assert (folder / "mine.txt").read_text() == "mine"


async def test_the_first_free_label_is_asked_for_and_used(car: Path, tmp_path: Path) -> None:
    async with opened(car, (120, 30)) as driver:
        await driver.press("6")
        await formats(driver, "txt")
        await driver.press("n", "ctrl+u", "x", "enter")
        assert "whole number from 1" in driver.seen()
        await driver.press("ctrl+u", "7", "enter")
        assert "labels from 7" in driver.seen()
        await driver.press("e", "enter")
        assert "first free label 7" in (tmp_path / "car-papers" / "labels.txt").read_text(encoding="utf-8")
        await driver.press("n", "ctrl+u", "9", "9", "9", "enter", "e", "enter")
        assert "first free label 999; accepted is 1 to" in driver.said


async def test_a_file_changed_by_hand_is_not_replaced(car: Path, tmp_path: Path) -> None:
    async with opened(car) as driver:
        await driver.press("6")
        await formats(driver, "txt")
        await driver.press("e", "enter")
        changed = tmp_path / "car-papers" / "summary.txt"
        changed.write_text("my own words")
        await driver.press("e", "enter")
        assert "✗" in driver.said
        assert "changed since it was written" in driver.said
        assert changed.read_text() == "my own words"


async def test_papers_of_an_earlier_run_are_not_taken_for_new_ones(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("6")
        await formats(driver, "txt")
        await driver.press("e", "enter")
        assert "out of date" not in driver.said
        await driver.press("space", "e", "enter")
        assert "perhaps out of date: 1 more" in driver.said


async def test_writing_can_be_stopped(car: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files written before are whole and noted, and the next run may replace them."""
    def endless(*args: object) -> Iterator[tuple[str, bytes]]:
        for number in range(1_000_000):
            yield f"{number}.txt", b"x"

    monkeypatch.setattr(papers, "files", endless)
    async with opened(car) as driver:
        await driver.press("6")
        await formats(driver, "txt")
        await driver.press("e")
        arrive(driver, key("enter"))
        await driver.until((tmp_path / "car-papers" / "3.txt").exists, "some papers are written")
        line = driver.app.screen.query_one(ProgressLine)
        assert line.is_busy
        await driver.press("escape")
        assert not line.is_busy
        assert "Writing stopped" in driver.said
        assert driver.screen_name == "PapersScreen"
        noted = tmp_path / "car-papers" / "written-by-fuseplan.sha256"
        await driver.until(noted.exists, "what was written is noted")
    assert "  3.txt" in noted.read_text()


async def test_a_preview_follows_the_plan(car: Path) -> None:
    async with opened(car, (120, 36)) as driver:
        await driver.press("6")
        driver.session.edit("renamed", lambda: driver.session.document.set(("vehicle", "name"), "Another car"))
        driver.app.refresh_plan()
        await driver.settle()
        assert "Summary · Another car" in driver.seen()


async def test_every_paper_can_be_reached_in_a_small_window(car: Path) -> None:
    async with opened(car, (40, 12)) as driver:
        await driver.press("6")
        listed = driver.app.screen.query_one(OptionList)
        for sheet in sheets().values():
            assert sheet.title in driver.seen()
            await driver.press("down")
        assert listed.region.height >= 4


async def test_a_written_paper_is_opened_on_request_alone_and_never_from_a_browser(
        car: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened_files: list[str] = []
    monkeypatch.setattr(papers_screen, "view", lambda path: opened_files.append(path.name))
    async with opened(car) as driver:
        await driver.press("6", "o")
        assert "Write this paper first" in driver.said
        await formats(driver, "html", "txt")
        await driver.press("e", "enter")
        assert opened_files == []
        await driver.press("o")
        assert opened_files == []
        assert "papers.html" in driver.said, "no screen to open it on: it is named"
        monkeypatch.setattr(type(driver.app), "is_headless", False)
        monkeypatch.setattr(type(driver.app), "is_web", True)
        await driver.press("o")
        assert opened_files == []
        monkeypatch.setattr(type(driver.app), "is_web", False)
        await driver.press("o")
        assert opened_files == ["papers.html"]


async def test_the_folder_written_into_last_is_offered_again(car: Path, tmp_path: Path) -> None:
    async with opened(car) as driver:
        await driver.press("6")
        await formats(driver, "txt")
        await driver.press("a", "space", "e", "ctrl+u")
        await driver.type(str(tmp_path / "out"))
        await driver.press("enter")
        assert "1 file written" in driver.said
        await driver.press("escape", "6")
        await formats(driver, "txt")
        await driver.press("a", "space", "e", "enter")
        assert (tmp_path / "out" / "summary.txt").exists()
        assert [each.name for each in tmp_path.iterdir() if each.is_dir() and each.name.endswith("papers")] == []
