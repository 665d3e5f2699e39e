"""The program in a real terminal: keys, mouse, a change of size, and leaving the terminal as it was."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fuseplan.planfile.read import read_plan

from .conftest import WAIT_S

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="needs tmux")


class Terminal:
    """A tmux server of its own with one window of 80 by 24."""

    def __init__(self, folder: Path, command: str) -> None:
        self.socket = str(folder / "tmux.sock")
        environment = {**os.environ, "TERM": "xterm-256color", "XDG_STATE_HOME": str(folder / "state"),
                       "XDG_CONFIG_HOME": str(folder / "config"), "LC_ALL": "C.UTF-8"}
        subprocess.run(["tmux", "-S", self.socket, "-f", "/dev/null", "new-session", "-d", "-x", "80", "-y", "24",
                        "sh", "-c", f"{command}; echo status $?; sleep 60"], env=environment, check=True)

    def run(self, *arguments: str) -> str:
        return subprocess.run(["tmux", "-S", self.socket, *arguments], check=True, capture_output=True,
                              encoding="utf-8").stdout

    def keys(self, *keys: str) -> None:
        self.run("send-keys", *keys)

    def type(self, text: str) -> None:
        self.run("send-keys", "-l", text)

    def click(self, x: int, y: int) -> None:
        """Press and release the left button on a cell, counted from 0, as a terminal reports it (SGR)."""
        for end in "Mm":
            self.run("send-keys", "-l", f"\x1b[<0;{x + 1};{y + 1}{end}")

    def seen(self) -> str:
        return self.run("capture-pane", "-p")

    def painted(self) -> str:
        """What is seen, with its colours, once two looks in a row find the same."""
        before, now = "", self.run("capture-pane", "-p", "-e")
        while now != before:
            time.sleep(0.1)
            before, now = now, self.run("capture-pane", "-p", "-e")
        return now

    def wait_for(self, what: str | Callable[[str], bool]) -> str:
        end = time.monotonic() + WAIT_S
        while time.monotonic() < end:
            seen = self.seen()
            if what in seen if isinstance(what, str) else what(seen):
                return seen
            time.sleep(0.1)
        raise AssertionError(f"{what} did not come up:\n{self.seen()}")


@pytest.fixture
def environment() -> str:
    """What else the environment states."""
    return ""


@pytest.fixture
def terminal(car: Path, tmp_path: Path, environment: str) -> Iterator[Terminal]:
    made = Terminal(tmp_path, f"env {environment} {sys.executable} -m fuseplan {car}")
    made.wait_for("s summary")
    made.keys("1")
    made.wait_for("Verdict")
    yield made
    made.run("kill-server")


def test_curves_come_and_go_with_what_is_known(terminal: Terminal) -> None:
    """With the output known, gone and known again: no picture stands there empty."""

    def drawn(seen: str) -> bool:
        return "Output and demand" in seen and any("┃" in line and "•" in line for line in seen.splitlines())

    terminal.wait_for("F10 all actions")
    for _ in range(3):
        terminal.keys("3")
        terminal.wait_for(drawn)
        terminal.keys("Enter")
        terminal.wait_for("output at 6000 r/min")
        terminal.keys("C-u", "Down", "C-u", "Down", "Escape")
        terminal.wait_for("not known yet")
        terminal.keys("Enter")
        terminal.wait_for("output at 6000 r/min")
        terminal.type("90 A")
        terminal.keys("Down")
        terminal.type("50 A")
        terminal.keys("Escape")
        terminal.wait_for(drawn)
        terminal.keys("1")
        terminal.wait_for("Verdict")


@pytest.mark.parametrize("environment", ["COLUMNS=80 LINES=24"])
def test_keys_mouse_and_resize(terminal: Terminal, car: Path) -> None:
    """The screens follow the window, also where the environment states the size it once had."""
    terminal.wait_for("Wendel 700 estate")
    terminal.wait_for("F10 all actions")
    terminal.click(3, 4)
    terminal.wait_for("no fuse fits")
    terminal.run("resize-window", "-x", "130", "-y", "40")
    terminal.wait_for(lambda seen: "Relay" in seen)
    terminal.keys("Enter")
    terminal.wait_for("what it is called on screens")
    terminal.keys("C-u")
    terminal.wait_for("empty: taken out of the plan")
    terminal.type("Big fan")
    terminal.wait_for("● unsaved")
    terminal.keys("Escape")
    terminal.wait_for(lambda seen: "Big fan" in seen and "Enter edit" in seen)
    terminal.run("resize-window", "-x", "60", "-y", "16")
    terminal.wait_for(lambda seen: "F10 all actions" in seen and "Big fan" in seen)
    terminal.keys("C-s")
    terminal.wait_for("Saved to")
    assert read_plan(car).circuit["fan"].name == "Big fan"
    terminal.keys("q")
    seen = terminal.wait_for("status 0")
    assert "Big fan" not in seen, "the terminal's own screen is back"


def test_killed_in_the_middle_nothing_is_lost(terminal: Terminal, car: Path) -> None:
    terminal.wait_for("F10 all actions")
    terminal.keys("c")
    terminal.wait_for("● unsaved")
    kept = car.parent / "state" / "fuseplan" / "recovery"
    end = time.monotonic() + WAIT_S
    while not list(kept.glob("*.toml")) and time.monotonic() < end:
        time.sleep(0.1)
    assert "fuel_pump_2" in next(kept.glob("*.toml")).read_text(encoding="utf-8")
    assert "fuel_pump_2" not in car.read_text(encoding="utf-8")


PALETTE = ("#000000", "#aa0000", "#00aa00", "#aa5500", "#0000aa", "#aa00aa", "#00aaaa", "#aaaaaa",
           "#555555", "#ff5555", "#55ff55", "#ffff55", "#5555ff", "#ff55ff", "#55ffff", "#ffffff")
"""The sixteen colours as a graphics card of 1987 showed them; terminals still do, more or less."""


def luminance(colour: str) -> float:
    """Relative luminance of a colour (WCAG 2.1)."""
    shares = [int(colour[at:at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (share / 12.92 if share <= 0.03928 else ((share + 0.055) / 1.055) ** 2.4 for share in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def coloured(seen: str) -> Iterator[tuple[int, int, str]]:
    """Numbers of foreground and background, and the text shown in them, of a screen captured with its colours."""
    front, back = 7, 0
    for codes, text in re.findall(r"\x1b\[([\d;]*)m|([^\x1b\n]+)", seen):
        for code in [int(code or 0) for code in codes.split(";")] if not text else []:
            if code in (0, 39):
                front = 7
            if code in (0, 49):
                back = 0
            for first, bright in ((30, 0), (90, 8)):
                front = code - first + bright if first <= code < first + 8 else front
                back = code - first - 10 + bright if first + 10 <= code < first + 18 else back
        if any(letter.isalnum() for letter in text):
            yield front, back, text


def test_sixteen_colours_are_read_easily(car: Path, tmp_path: Path) -> None:
    """3:1 is the least contrast WCAG 2.1 (1.4.3) asks for large letters; all else is said in words and signs."""
    made = Terminal(tmp_path, f"env TERM=xterm-16color COLORTERM= {sys.executable} -m fuseplan {car}")
    try:
        made.wait_for("F10 all actions")
        for keys in ((), ("Down", "Down"), ("Up", "Up", "Enter"), ("2",), ("l",), ("s",)):
            for key in keys:
                before = made.painted()
                made.keys(key)
                made.wait_for(lambda _, before=before: made.painted() != before)
            pieces = list(coloured(made.painted()))
            assert len({front for front, _, _ in pieces}) >= 3, "colours are used"
            for front, back, text in pieces:
                high, low = sorted((luminance(PALETTE[front]) + 0.05, luminance(PALETTE[back]) + 0.05), reverse=True)
                assert high / low >= 3.0, (keys, text, front, back)
    finally:
        made.run("kill-server")


def test_a_terminal_that_cannot_place_its_cursor_is_told_in_one_line(car: Path, tmp_path: Path) -> None:
    made = Terminal(tmp_path, f"env TERM=dumb {sys.executable} -m fuseplan {car}")
    try:
        seen = made.wait_for("status 2").replace("\n", "")
        assert "TERM does not name one" in seen
        assert "Traceback" not in seen
    finally:
        made.run("kill-server")
