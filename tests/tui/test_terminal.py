"""The program in a real terminal: keys, mouse, a change of size, and leaving the terminal as it was."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fuseplan.store.read import read_plan

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="needs tmux")
WAIT_S = 30.0


class Terminal:
    """A tmux server of its own with one window of 80 by 24."""

    def __init__(self, folder: Path, command: str) -> None:
        self.socket = str(folder / "tmux.sock")
        environment = {**os.environ, "TERM": "xterm-256color", "XDG_STATE_HOME": str(folder / "state"),
                       "XDG_CONFIG_HOME": str(folder / "config"), "LC_ALL": "C.UTF-8"}
        environment.pop("NO_COLOR", None)
        environment.pop("TMUX", None)
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

    def wait_for(self, what: str | Callable[[str], bool]) -> str:
        end = time.monotonic() + WAIT_S
        while time.monotonic() < end:
            seen = self.seen()
            if what in seen if isinstance(what, str) else what(seen):
                return seen
            time.sleep(0.1)
        raise AssertionError(f"{what} did not come up:\n{self.seen()}")


@pytest.fixture
def terminal(car: Path, tmp_path: Path) -> Iterator[Terminal]:
    script = tmp_path / "go.py"
    script.write_text("import sys\nfrom pathlib import Path\nfrom fuseplan.tui.app import run\n"
                      "sys.exit(run(Path(sys.argv[1])))\n")
    made = Terminal(tmp_path, f"{sys.executable} {script} {car}")
    yield made
    made.run("kill-server")


def test_keys_mouse_and_resize(terminal: Terminal, car: Path) -> None:
    terminal.wait_for("Wendel 700 estate")
    terminal.wait_for("F10 all actions")
    terminal.click(3, 4)
    terminal.wait_for("window empty")
    terminal.run("resize-window", "-x", "130", "-y", "40")
    terminal.wait_for(lambda seen: "Relay" in seen)
    terminal.keys("Enter")
    terminal.wait_for("what it is called on screens")
    terminal.keys("C-u")
    terminal.wait_for("empty: the entry goes out")
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
    terminal.keys("d")
    terminal.wait_for("● unsaved")
    kept = car.parent / "state" / "fuseplan" / "recovery"
    end = time.monotonic() + WAIT_S
    while not list(kept.glob("*.toml")) and time.monotonic() < end:
        time.sleep(0.1)
    assert "fuel_pump_2" in next(kept.glob("*.toml")).read_text(encoding="utf-8")
    assert "fuel_pump_2" not in car.read_text(encoding="utf-8")
