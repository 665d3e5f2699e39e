"""From a keystroke in a form to the repainted screen, on a plan of 60 circuits."""

from __future__ import annotations

import asyncio
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import pytest
import tomlkit
from textual import events

from fuseplan.session.session import Session
from fuseplan.tui.app import FuseplanApp
from fuseplan.tui.screens.form import FormScreen
from tests.plans import large_plan

QUIET_S = 0.25
"""A screen that has not been painted again for this long shows the answer."""
KEYS = "1234567890" * 2


class Watched(FuseplanApp):
    """The program, with the time of its last painting."""

    painted_s = 0.0

    def post_display_hook(self) -> None:
        self.painted_s = time.perf_counter()


@pytest.mark.asyncio
async def test_keystroke_to_repaint(note: Callable[[str, str, str], None], tmp_path: Path,
                                    monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    file = tmp_path / "sixty.toml"
    file.write_text(tomlkit.dumps(large_plan(60)), encoding="utf-8")
    app = Watched(Session.open(file))
    taken: list[float] = []
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.open_form(("circuit", "circuit_3"))
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, FormScreen)
        screen.go_to_path(("circuit", "circuit_3", "load", 0, "power"))
        await pilot.pause()
        before = app.session.revision
        for number, _ in enumerate(KEYS):
            # A digit and its removal in turn, so that the figure stays within its range and every key changes the plan.
            key = "home" if number == 0 else "1" if number % 2 else "backspace"
            begun = time.perf_counter()
            app.post_message(events.Key(key, key if len(key) == 1 else None))
            while time.perf_counter() - max(begun, app.painted_s) < QUIET_S:
                await asyncio.sleep(0.005)
            assert app.painted_s > begun
            if number:
                taken.append(app.painted_s - begun)
        assert app.session.revision > before + len(taken) // 2
    note("keystroke to repaint, 60 circuits, median", f"{statistics.median(taken) * 1e3:.0f} ms", "50 ms")
    note("  slowest", f"{max(taken) * 1e3:.0f} ms", "")
