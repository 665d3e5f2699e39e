"""Killed at random moments while keys are typed in a real terminal: what the program has said is kept is never lost.

By the order in which the program itself notes what it took and what it kept: how fast the machine is plays no part.

``pytest tests/tui/test_killed.py --long -m long`` kills 200 times; ``--kills`` takes another number.
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import random
import select
import signal
import struct
import subprocess
import sys
import termios
import threading
import time
from pathlib import Path

import pytest

from fuseplan.planfile.files import read_text
from fuseplan.workspace.session import Session

from .conftest import CAR, WAIT_S
from .journal import digest

KEYS = [b"\x1b[A", b"\x1b[B", b"\x1b[B", b"\r", b"\r", b"\t", b"\x1b", b"c", b"u", b"U", b"K", b"J", b"\x1b[3~",
        b"\x13", b"\x7f", b"\x1b[19~", *(bytes([letter]) for letter in b"123456789.A mV")]
"""Moving, forms and their fields, copying, deleting, undoing, saving, and what is typed into fields."""


class Typist:
    """The program in a terminal of its own, with somebody at the keys."""

    def __init__(self, plan: Path, journal: Path) -> None:
        terminal, other_end = pty.openpty()
        fcntl.ioctl(other_end, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.terminal = terminal
        self.seen = b""
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.tui.journal", plan, journal], stdin=other_end, stdout=other_end,
            stderr=other_end, start_new_session=True, env={**os.environ, "TERM": "xterm-256color", "LC_ALL": "C.UTF-8"},
            cwd=Path(__file__).parents[2])
        os.close(other_end)
        self._hung_up = threading.Event()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        # Never within a reading while the terminal is closed: it would stay open until that ends.
        with contextlib.suppress(OSError):
            while not self._hung_up.is_set():
                if select.select([self.terminal], [], [], 0.05)[0]:
                    piece = os.read(self.terminal, 65536)
                    if len(self.seen) < 1_000_000:
                        self.seen += piece

    def hang_up(self) -> None:
        """Close the terminal. No signal tells the program: the terminal is not the one its session belongs to."""
        if not self._hung_up.is_set():
            self._hung_up.set()
            self._reader.join()
            os.close(self.terminal)

    def leave(self) -> None:
        """Leave no process and no terminal behind, whatever has happened."""
        self.process.kill()
        self.process.wait()
        self.hang_up()

    def type(self, chance: random.Random, duration_s: float) -> None:
        end = time.monotonic() + duration_s
        while time.monotonic() < end and self.process.poll() is None:
            os.write(self.terminal, chance.choice(KEYS))
            time.sleep(min(chance.uniform(0.01, 0.08), max(0.0, end - time.monotonic())))

    def kill(self) -> None:
        assert self.process.poll() is None, self.seen[-2000:]
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()


def kill_once(folder: Path, seed: int, longest_s: float = 5.0) -> bool:
    """Kill the program once, at the latest after some seconds of typing, and look at what is left; True when there was
    something to recover."""
    chance = random.Random(seed)
    folder.mkdir()
    plan, journal = folder / "car.toml", folder / "journal"
    plan.write_text(CAR.read_text(encoding="utf-8"), encoding="utf-8")
    typist = Typist(plan, journal)
    try:
        end = time.monotonic() + WAIT_S
        while b"all actions" not in typist.seen:
            assert time.monotonic() < end, typist.seen
            time.sleep(0.02)
        typist.type(chance, chance.uniform(0.2, longest_s))
        typist.kill()
    finally:
        typist.leave()

    lines = [line.split() for line in journal.read_text().rpartition("\n")[0].splitlines()] if journal.exists() else []
    known = [digest(read_text(CAR).text, ()), *(state for word, state in lines if word == "taken")]
    promised = 0
    for number, (word, state) in enumerate(lines):
        if word == "kept":
            before = 1 + sum(word == "taken" for word, _ in lines[:number])
            promised = max(promised, last(known[:before], state))
    session = Session.open(plan)
    left = session.left_behind()
    found = [*(digest(each.text, each.typed) for each in left), digest(read_text(plan).text, ())]
    assert set(found) <= set(known), "what is left is a state that once was"
    newest = max(last(known, state) for state in found)
    assert newest >= promised, f"seed {seed}: state {newest} of {len(known)} is left, {promised} was kept"
    return bool(left)


def last(states: list[str], state: str) -> int:
    """Where a state stands in a list for the last time."""
    return len(states) - 1 - states[::-1].index(state)


@pytest.mark.share
def test_some_kills(tmp_path: Path, in_full: bool) -> None:
    lost = [kill_once(tmp_path / str(seed), seed, 2.5) for seed in range(5 if in_full else 1)]
    assert any(lost), "somebody typed something"


@pytest.mark.long
def test_many_kills(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    kills = request.config.getoption("--kills")
    lost = [kill_once(tmp_path / str(seed), seed) for seed in range(1000, 1000 + kills)]
    assert any(lost), "somebody typed something"
