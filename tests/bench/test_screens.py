"""From a keystroke in a form to the repainted screen, on a plan of 60 circuits, in processor time."""

from __future__ import annotations

import asyncio
import statistics
import time
from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

import pytest
import tomlkit
from textual import events
from textual.widgets import Input

from fuseplan.tui.app import FuseplanApp
from fuseplan.tui.screens.form import FormScreen
from fuseplan.workspace.session import Session
from tests.plans import large_plan

QUIET_S = 0.25
"""A screen that has not been painted again for this long shows the answer."""
LATEST_S = 30.0
"""Without any painting by then the program does not answer at all."""
DIGITS = "31415926535897932384"
"""Typed behind the decimal point one after the other, so that no text comes twice and no layout is found kept."""


class Watched(FuseplanApp):
    """The program, with the processor time and the time at each of its paintings."""

    painted: ClassVar[list[tuple[float, float]]] = []

    def post_display_hook(self) -> None:
        self.painted.append((time.process_time(), time.perf_counter()))


@pytest.mark.asyncio
async def test_keystroke_to_repaint(note: Callable[[str, str, str], None], tmp_path: Path,
                                    monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    file = tmp_path / "sixty.toml"
    file.write_text(tomlkit.dumps(large_plan(60)), encoding="utf-8")
    app = Watched(Session.open(file))
    echoed: list[float] = []
    settled: list[float] = []
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.open_form(("circuit", "circuit_3"))
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, FormScreen)
        screen.go_to_path(("circuit", "circuit_3", "load", 0, "power"))
        await pilot.pause()
        line = screen.query_one(Input)
        line.cursor_blink = False  # or the cursor's blink counts as the answer
        line.value = "50. W"
        line.cursor_position = len("50.")
        await pilot.pause(QUIET_S)
        before = app.session.revision
        for digit in DIGITS:
            app.painted.clear()
            begun, at = time.process_time(), time.perf_counter()
            app.post_message(events.Key(digit, digit))
            while not app.painted or time.perf_counter() - app.painted[-1][1] < QUIET_S:
                assert time.perf_counter() - at < LATEST_S
                await asyncio.sleep(0.005)
            echoed.append(app.painted[0][0] - begun)
            settled.append(app.painted[-1][0] - begun)
        assert line.value == f"50.{DIGITS} W"
        assert app.session.revision > before + len(DIGITS) // 2
    note("letter echoed, 60 circuits, median", f"{statistics.median(echoed) * 1e3:.0f} ms", "16 ms")
    note("letter to all figures, median", f"{statistics.median(settled) * 1e3:.0f} ms", "30 ms")
    note("  slowest", f"{max(settled) * 1e3:.0f} ms", "")
