"""Nothing is ever lost: full disks, folders one may not write to, changes by others, errors of the program's own."""

from __future__ import annotations

import os
import resource
import signal
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from fuseplan.cli.exit_status import PROGRAM_ERROR
from fuseplan.planfile import recovery
from fuseplan.planfile.read import read_plan
from fuseplan.workspace.form import Form
from fuseplan.workspace.session import Session

from .conftest import CAR, Driver, opened
from .test_terminal import Terminal

NOBODY = 65534


@contextmanager
def full_disk() -> Iterator[None]:
    """No file may grow beyond some bytes, as on a disk that is full."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, handler)


@contextmanager
def read_only(folder: Path) -> Iterator[None]:
    """Nothing may be written in a folder; who may write everywhere becomes somebody else for as long."""
    folder.chmod(0o555)
    who = os.geteuid()
    if who == 0:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if who == 0:
            os.seteuid(0)
        folder.chmod(0o755)


async def until_kept(driver: Driver) -> None:
    await driver.until(lambda: driver.session.work() is None, "all is kept for recovery")


async def test_a_full_disk_is_said_loudly_and_nothing_is_lost(car: Path) -> None:
    before = car.read_bytes()
    async with opened(car) as driver:
        await driver.press("c")
        with full_disk():
            await driver.press("ctrl+s")
            assert driver.screen_name == "Choose"
            assert "✗ Not saved" in driver.seen()
            assert "too large" in driver.seen().lower()
            await driver.press("down", "enter")
            assert "✗ Not saved" in driver.seen(), "tried again, failed again"
            await driver.press("escape")
            assert "● unsaved" in driver.seen()
            assert "fuel_pump_2" in driver.session.plan.circuit
            assert car.read_bytes() == before
            assert not list(car.parent.glob(".*.part")), "nothing half-written lies about"
        await driver.press("ctrl+s")
        assert "fuel_pump_2" in read_plan(car).circuit


async def test_a_folder_one_may_not_write_to(tmp_path: Path) -> None:
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        file = folder / "car.toml"
        file.write_text(CAR.read_text(encoding="utf-8"), encoding="utf-8")
        folder.chmod(0o755)
        file.chmod(0o644)
        async with opened(file) as driver:
            await driver.press("c")
            await until_kept(driver)
            with read_only(folder):
                await driver.press("ctrl+s")
                assert "Permission denied" in driver.seen()
                await driver.press("escape")
            assert "fuel_pump_2" not in read_plan(file).circuit
            assert "● unsaved" in driver.seen()
            # Another place is offered, and works.
            with read_only(folder):
                await driver.press("ctrl+s")
            other = tmp_path / "elsewhere.toml"
            await driver.press("enter", "ctrl+u")
            await driver.type(str(other))
            await driver.press("enter")
            assert "fuel_pump_2" in read_plan(other).circuit


async def test_it_shows_when_nothing_can_be_kept_for_recovery(car: Path, tmp_path: Path,
                                                              monkeypatch: pytest.MonkeyPatch) -> None:
    blocked = tmp_path / "blocked"
    blocked.write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(blocked))
    async with opened(car, (100, 30)) as driver:
        await driver.press("c")
        await driver.until(lambda: "✗ not kept for recovery" in driver.seen(), "it shows")
        blocked.unlink()
        await until_kept(driver)
        await driver.until(lambda: "not kept" not in driver.seen().splitlines()[0], "it shows no longer")


async def test_another_programs_change_is_taken_together_with_ours(car: Path) -> None:
    async with opened(car) as driver:
        await driver.press("c")
        car.write_text(car.read_text().replace("Wendel 700 estate", "Changed elsewhere"))
        await driver.press("ctrl+s", "enter")
        assert read_plan(car).vehicle.name == "Changed elsewhere"
        assert "fuel_pump_2" in read_plan(car).circuit
        await driver.press("u")
        assert driver.session.plan.vehicle.name == "Wendel 700 estate", "one undo for what came in"
        assert "fuel_pump_2" in driver.session.plan.circuit


async def test_a_file_that_is_gone_is_written_again_and_nothing_that_loses_work_is_offered(car: Path) -> None:
    async with opened(car, (80, 24)) as driver:
        await driver.press("c")
        car.unlink()
        await driver.press("ctrl+s")
        seen = driver.seen()
        assert "The file is gone" in seen
        for word in ("Overwrite", "Read the file again", "Take both"):
            assert word not in seen
        await driver.press("escape")
        assert not car.exists()
        assert "● unsaved" in driver.seen()
        await driver.press("ctrl+s", "enter")
        assert "fuel_pump_2" in read_plan(car).circuit
        assert "unsaved" not in driver.seen()


async def test_changes_to_the_same_line_are_shown_and_nothing_is_overwritten(car: Path) -> None:
    async with opened(car, (100, 40)) as driver:
        Form(driver.session, ("vehicle",)).type_text(("vehicle", "name"), "Changed here")
        car.write_text(car.read_text().replace("Wendel 700 estate", "Changed elsewhere"))
        await driver.press("ctrl+s", "down", "enter")
        assert '+name = "Changed elsewhere"' in driver.seen()
        await driver.press("escape")
        assert driver.screen_name == "Choose", "the question is still there"
        await driver.press("enter")
        assert "Both changed the same lines" in driver.said
        driver.app.look_at_file()
        assert "Both changed the same lines" in driver.said, "what was asked about is not told again over the answer"
        assert read_plan(car).vehicle.name == "Changed elsewhere"
        assert driver.session.plan.vehicle.name == "Changed here"


async def test_two_programs_on_one_plan_keep_their_work_apart(car: Path) -> None:
    async with opened(car) as one:
        await one.press("c")
        await until_kept(one)
        async with opened(car) as other:
            assert other.screen_name == "CircuitsScreen", "the work of one that runs is not offered"
            await other.press("delete")
            await until_kept(other)
            other.session.close()
        one.session.close()
    texts = {("fuel_pump_2" in kept.text, "[circuit.fuel_pump]" in kept.text) for kept in recovery.left_behind(car)}
    assert texts == {(True, True), (False, False)}


async def test_each_thing_left_behind_is_offered(car: Path) -> None:
    for name in ("First", "Second"):
        keeper = recovery.Keeper(car)
        keeper.keep(keeper.work(car.read_text().replace("Radiator fan", name), ()))
        keeper.close()
        os.utime(keeper.file, (2e9, 2e9 if name == "First" else 2.1e9))
    async with opened(car, (100, 40)) as driver:
        await driver.press("down", "enter")
        assert '+name = "Second"' in driver.seen()
        await driver.press("escape", "end", "enter")
        assert driver.screen_name == "Choose", "the other one"
        await driver.press("enter")
        assert driver.session.plan.circuit["fan"].name == "First"
        await until_kept(driver)
        driver.session.close()
    assert ["First" in kept.text for kept in recovery.left_behind(car)] == [True], "kept again before it was forgotten"


async def test_texts_not_taken_are_asked_for_before_leaving_and_come_back(car: Path) -> None:
    async with opened(car) as driver:
        Form(driver.session, ("circuit", "fan")).type_text(("circuit", "fan", "feed"), "mian_bus")
        await driver.press("q")
        assert "lost when you leave: 1 entry with an error" in driver.read()
        await driver.press("escape")
        await until_kept(driver)
        driver.session.close()
    async with opened(car) as driver:
        assert driver.screen_name == "Choose"
        await driver.press("enter", "down", "enter")
        assert "mian_bus" in driver.seen()


@pytest.mark.usefixtures("faults")
async def test_an_error_of_the_program_keeps_the_work_first(car: Path, monkeypatch: pytest.MonkeyPatch,
                                                            capsys: pytest.CaptureFixture[str]) -> None:
    drivers = []

    async def use() -> None:
        async with opened(car) as driver:
            drivers.append(driver)
            await driver.press("c")
            monkeypatch.setattr(type(driver.app), "action_undo", lambda self: 1 // 0)
            await driver.press("u")

    with pytest.raises(ZeroDivisionError):
        await use()
    drivers[0].session.close()
    assert [("fuel_pump_2" in kept.text) for kept in recovery.left_behind(car)] == [True]
    said = capsys.readouterr().err
    assert said.startswith("fuseplan: an error in the program closed the screens (ZeroDivisionError")
    assert said.count("\n") == 1
    assert "is offered when you next start" in said


def test_an_error_of_the_program_in_a_terminal_is_one_sentence(car: Path, tmp_path: Path) -> None:
    script = tmp_path / "go.py"
    script.write_text("import sys\nfrom pathlib import Path\nfrom fuseplan.tui.app import FuseplanApp, run\n"
                      "def fail(self):\n    raise RuntimeError('a fault\\x1b[31m for the test')\n"
                      "FuseplanApp.action_undo = fail\nsys.exit(run(Path(sys.argv[1])))\n")
    terminal = Terminal(tmp_path, f"{sys.executable} {script} {car}")
    try:
        terminal.wait_for("F10 all actions")
        terminal.keys("1")
        terminal.wait_for("Verdict")
        terminal.keys("c")
        terminal.wait_for("● unsaved")
        terminal.keys("u")
        seen = terminal.wait_for(f"status {PROGRAM_ERROR}")
        assert "Traceback" not in seen
        assert "an error in the program closed the screens" in seen.replace("\n", "")
        assert "RuntimeError" in (tmp_path / "state" / "fuseplan" / "last_failure.txt").read_text()
    finally:
        terminal.run("kill-server")
    kept = list((tmp_path / "state" / "fuseplan" / "recovery").glob("*.toml"))
    assert "fuel_pump_2" in kept[0].read_text(encoding="utf-8")
    assert "fuel_pump_2" not in Session.open(car).plan.circuit


async def test_a_plan_without_a_file_is_kept_too() -> None:
    text = CAR.read_text(encoding="utf-8")
    async with opened(Session.of_text(text)) as driver:
        await driver.press("c")
        await until_kept(driver)
        driver.session.close()
    async with opened(Session.of_text(text)) as driver:
        assert driver.screen_name == "Choose"
        await driver.press("enter")
        assert "fuel_pump_2" in driver.session.plan.circuit
