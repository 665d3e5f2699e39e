"""Whatever a terminal sends, the program goes on, or ends and says so; it never ends as if somebody had left it."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from fuseplan.cli.exit_status import AFTER_SIGNAL, PROGRAM_ERROR
from fuseplan.planfile.read import read_plan
from fuseplan.tui import app as program
from fuseplan.tui.app import FuseplanApp
from fuseplan.workspace.session import Session

from .test_killed import WAIT_S, Typist


@pytest.fixture
def typist(car: Path, tmp_path: Path) -> Iterator[Typist]:
    """The table of circuits in a terminal."""
    made = Typist(car, tmp_path / "journal")
    try:
        wait_for(made, b"all actions")
        os.write(made.terminal, b"1")
        wait_for(made, b"Verdict")
        yield made
    finally:
        made.leave()


def wait_for(typist: Typist, what: bytes) -> None:
    end = time.monotonic() + WAIT_S
    while what not in typist.seen:
        assert typist.process.poll() is None, (what, typist.seen[-2000:])
        assert time.monotonic() < end, (what, typist.seen[-2000:])
        time.sleep(0.02)


def test_a_key_that_cannot_be_decoded_ends_nothing(typist: Typist, car: Path) -> None:
    """As from a terminal set to Latin-1: ü, ÿ, a piece of a letter, and what no encoding has."""
    os.write(typist.terminal, b"\xfc\xff\xc3\xfe\x80")
    os.write(typist.terminal, b"\r")
    wait_for(typist, b"what it is called")
    os.write(typist.terminal, b"\xff7")
    wait_for(typist, b"unsaved")
    os.write(typist.terminal, b"\x13")
    wait_for(typist, b"Saved to")
    assert read_plan(car).circuit["fuel_pump"].name == "Fuel pump\N{REPLACEMENT CHARACTER}7"
    os.write(typist.terminal, b"\x11")
    assert typist.process.wait(WAIT_S) == 0


def test_a_terminal_that_goes_without_a_signal_ends_the_program_and_loses_nothing(typist: Typist, car: Path) -> None:
    os.write(typist.terminal, b"c")
    wait_for(typist, "● unsaved".encode())
    typist.hang_up()
    assert typist.process.wait(WAIT_S) == AFTER_SIGNAL + signal.SIGHUP
    assert ["fuel_pump_2" in each.text for each in Session.open(car).left_behind()] == [True]


@pytest.mark.usefixtures("faults")
def test_a_terminal_that_cannot_be_read_any_more_is_an_error(car: Path, capsys: pytest.CaptureFixture[str],
                                                             monkeypatch: pytest.MonkeyPatch) -> None:
    class Broken(FuseplanApp):
        def on_ready(self) -> None:
            self.call_later(self.panic, "what the driver tells")

    run = FuseplanApp.run
    monkeypatch.setattr(program, "FuseplanApp", Broken)
    monkeypatch.setattr(Broken, "run", lambda self: run(self, headless=True), raising=False)
    assert program.run(car) == PROGRAM_ERROR
    assert "the terminal could not be read any more" in capsys.readouterr().err
    assert "what the driver tells" in (car.parent / "state" / "fuseplan" / "last_failure.txt").read_text()
