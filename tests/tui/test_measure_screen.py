"""What to measure first, and the samples."""

from __future__ import annotations

import re
import threading
from pathlib import Path

import pytest
from textual.containers import VerticalScroll

from fuseplan.advice.evidence import Reading, measure_first
from fuseplan.checks.assessment import Assessment
from fuseplan.engine import sampling
from fuseplan.plan.part_names import title_of
from fuseplan.tui.screens import measure
from fuseplan.tui.widgets.progress_line import ProgressLine

from .bursts import arrive, key, keys
from .conftest import opened


@pytest.fixture
def doubtful(car: Path) -> Path:
    """The car with a pump that is only guessed at, so that a reading would settle a verdict."""
    car.write_text(car.read_text().replace('evidence = "measured"', 'evidence = "guess"')
                   .replace('current = "6.5 A"', 'current = "9 A"'))
    return car


async def test_the_list_goes_to_the_field_a_reading_is_typed_into(doubtful: Path) -> None:
    async with opened(doubtful) as driver:
        await driver.press("8")
        readings = measure_first(driver.session.assessment)
        assert readings
        seen = driver.seen()
        assert f"1. {readings[0].name} of '{title_of(driver.session.plan, 'circuit', readings[0].circuit)}'" in seen
        assert "⚠ Measuring on a live car" in seen
        await driver.press("enter")
        assert driver.screen_name == "FormScreen"
        assert driver.app.screen.row.path == ("circuit", readings[0].circuit, "load", readings[0].load, "current")
        await driver.press("escape", "w")
        assert driver.app.screen.subject == ("circuit", readings[0].circuit)


async def test_samples_with_progress_then_escape_puts_them_away(doubtful: Path,
                                                                monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(measure, "SAMPLES", 1500)
    async with opened(doubtful) as driver:
        await driver.press("8", "r")
        assert "1500 samples of the currents" in driver.seen()
        assert not driver.app.screen.query_one(ProgressLine).is_busy
        await driver.press("y")
        assert "1500 samples" in driver.app.clipboard
        await driver.press("escape")
        assert not driver.app.screen.query_one("#samples", VerticalScroll).display
        await driver.press("escape")
        assert driver.screen_name == "CircuitsScreen"


async def test_sampling_can_be_stopped(doubtful: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(measure, "SAMPLES", 100_000_000)
    monkeypatch.setattr(sampling, "MOST_AT_ONCE", 100)
    async with opened(doubtful) as driver:
        await driver.press("8")
        line = driver.app.screen.query_one(ProgressLine)

        def is_sampling() -> bool:
            return line.is_busy and bool(re.search("Sampling [1-9]", line.visual.plain))  # type: ignore[attr-defined]

        arrive(driver, key("r"))
        await driver.until(is_sampling, "some samples are drawn, more are to come")
        await driver.until(lambda: "Esc stops it" in driver.seen(), "how it is stopped is painted")
        await driver.press("escape")
        assert not line.is_busy
        assert driver.screen_name == "MeasureScreen"
        stopped = re.fullmatch("Sampling stopped; (.) starts it again", driver.said)
        assert stopped
        arrive(driver, key(stopped[1]))
        await driver.until(is_sampling, "the key it names does it")
        await driver.press("escape")


async def test_samples_of_another_plan_are_put_away(doubtful: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(measure, "SAMPLES", 500)
    async with opened(doubtful) as driver:
        path = ("circuit", "fuel_pump", "load", 0, "evidence")
        driver.session.edit("measured", lambda: driver.session.document.set(path, "measured"))
        await driver.press("8", "r", "u")
        assert not driver.app.screen.query_one("#samples", VerticalScroll).display
        assert "r samples it anew" in driver.said


async def test_nothing_to_measure(car: Path) -> None:
    text = car.read_text().replace('evidence = "plate"', 'evidence = "measured"')
    car.write_text(text)
    async with opened(car) as driver:
        await driver.press("8")
        assert "No uncertain current can change a verdict" in driver.seen()
        await driver.press("enter", "w")


async def test_nothing_is_said_before_it_is_worked_out(doubtful: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither that there is nothing to measure nor, by copying nothing, that all was copied."""
    free = threading.Event()

    def slow(assessment: Assessment) -> tuple[Reading, ...]:
        free.wait(30.0)
        return measure_first(assessment)

    monkeypatch.setattr(measure, "measure_first", slow)
    async with opened(doubtful) as driver:
        arrive(driver, *keys("8", "y"))
        await driver.until(lambda: "Not copied" in driver.said, "what is not known yet is not copied")
        await driver.until(lambda: "Working out what to measure" in driver.seen(), "what is under way is painted")
        assert "No uncertain current" not in driver.seen()
        assert driver.app.clipboard == ""
        free.set()
        await driver.settle()
        await driver.press("y")
        assert "can change a verdict" in driver.seen()
        assert "Measure first" in driver.app.clipboard
