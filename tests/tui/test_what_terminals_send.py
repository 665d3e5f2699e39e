"""Whatever a terminal sends, the program goes on, or ends and says so; it never ends as if somebody had left it."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from fuseplan.cli.exit_status import PROGRAM_ERROR
from fuseplan.planfile.read import read_plan
from fuseplan.tui import app as program
from fuseplan.tui.app import FuseplanApp

from .conftest import CAR
from .test_killed import Typist


def start(tmp_path: Path) -> Typist:
    plan = tmp_path / "car.toml"
    plan.write_text(CAR.read_text(encoding="utf-8"), encoding="utf-8")
    typist = Typist(plan, tmp_path / "journal")
    wait_for(typist, b"all actions")
    return typist


def wait_for(typist: Typist, what: bytes) -> None:
    end = time.monotonic() + 60.0
    while what not in typist.seen:
        assert typist.process.poll() is None, (what, typist.seen[-2000:])
        assert time.monotonic() < end, (what, typist.seen[-2000:])
        time.sleep(0.02)


def test_a_key_that_cannot_be_decoded_ends_nothing(tmp_path: Path) -> None:
    """As from a terminal set to Latin-1: ü, ÿ, a piece of a letter, and what no encoding has."""
    typist = start(tmp_path)
    os.write(typist.terminal, b"\xfc\xff\xc3\xfe\x80")
    os.write(typist.terminal, b"\r")
    wait_for(typist, b"what it is called")
    os.write(typist.terminal, b"\xff7")
    wait_for(typist, b"unsaved")
    os.write(typist.terminal, b"\x13")
    wait_for(typist, b"Saved to")
    assert read_plan(tmp_path / "car.toml").circuit["fuel_pump"].name == "Fuel pump\N{REPLACEMENT CHARACTER}7"
    os.write(typist.terminal, b"\x11")
    assert typist.process.wait(30) == 0
    os.close(typist.terminal)


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
