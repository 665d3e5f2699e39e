"""Told to end by a signal or by the terminal closing: the work is kept, the terminal as it was, the status says why."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import signal
import struct
import subprocess
import sys
import termios
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from fuseplan.workspace.session import Session

from .conftest import WAIT_S

READY = b"all actions"


class Screens:
    """The program in a terminal of its own, which is its controlling terminal."""

    def __init__(self, plan: Path) -> None:
        self.terminal, self.theirs = pty.openpty()
        fcntl.ioctl(self.theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.before = termios.tcgetattr(self.theirs)
        self.seen = b""

        def own_terminal() -> None:
            os.setsid()
            fcntl.ioctl(0, termios.TIOCSCTTY, 0)

        self.process = subprocess.Popen(
            [sys.executable, "-m", "fuseplan", plan], stdin=self.theirs, stdout=self.theirs, stderr=self.theirs,
            preexec_fn=own_terminal, env={**os.environ, "TERM": "xterm-256color", "LC_ALL": "C.UTF-8"})
        self.reader = threading.Thread(target=self._read, daemon=True)
        self.reader.start()

    def _read(self) -> None:
        with contextlib.suppress(OSError):
            while piece := os.read(self.terminal, 65536):
                self.seen += piece

    def wait_for(self, what: bytes) -> None:
        end = time.monotonic() + WAIT_S
        while what not in self.seen:
            assert time.monotonic() < end, self.seen[-2000:]
            assert self.process.poll() is None, self.seen[-2000:]
            time.sleep(0.02)

    def make_a_change(self) -> None:
        self.wait_for(READY)
        os.write(self.terminal, b"1c")
        self.wait_for("● unsaved".encode())


@pytest.fixture
def screens(car: Path) -> Iterator[Screens]:
    """The small car's screens; no process is left whatever happens."""
    made = Screens(car)
    yield made
    made.process.kill()
    made.process.wait()


@pytest.mark.one_in(2)
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, pytest.param(signal.SIGINT, marks=pytest.mark.long)])
def test_a_signal_keeps_the_work_and_gives_the_terminal_back(screens: Screens, car: Path,
                                                             number: signal.Signals) -> None:
    screens.make_a_change()
    screens.process.send_signal(number)
    assert screens.process.wait(WAIT_S) == 128 + number
    assert termios.tcgetattr(screens.theirs) == screens.before, "the terminal's settings are back"
    os.close(screens.theirs)
    screens.reader.join(WAIT_S)
    assert screens.seen.rfind(b"\x1b[?1049l") > screens.seen.rfind(b"\x1b[?1049h"), "and its own screen"
    assert b"Traceback" not in screens.seen
    kept = Session.open(car).left_behind()
    assert ["fuel_pump_2" in each.text for each in kept] == [True]


def test_a_terminal_that_closes_loses_nothing_and_leaves_no_process(screens: Screens, car: Path) -> None:
    screens.make_a_change()
    os.close(screens.theirs)
    os.close(screens.terminal)
    screens.process.wait(WAIT_S)
    kept = Session.open(car).left_behind()
    assert ["fuel_pump_2" in each.text for each in kept] == [True]
