"""Looks of the screens, kept as pictures. After a change that is meant: ``pytest tests/tui/test_looks.py
--snapshot-update``, then look at every picture that changed before it is kept."""

from __future__ import annotations

from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from fuseplan.session.session import Session
from fuseplan.tui.app import FuseplanApp

from .conftest import CAR

SIZES = [(80, 24), (120, 36), (200, 60)]


async def _steady(pilot: Pilot[Any]) -> None:
    """No blinking cursor, nothing still being worked out."""
    await pilot.pause()
    await pilot.app.workers.wait_for_complete()
    for each in pilot.app.screen.query(Input):
        each.cursor_blink = False
    await pilot.pause()


def looks(snap_compare: Any, size: tuple[int, int], *keys: str) -> bool:
    app = FuseplanApp(Session.of_text(CAR.read_text(encoding="utf-8")))
    return bool(snap_compare(app, press=keys, terminal_size=size, run_before=_steady))


@pytest.mark.parametrize("size", SIZES)
def test_circuits(snap_compare: Any, size: tuple[int, int]) -> None:
    assert looks(snap_compare, size, "down")


@pytest.mark.parametrize("size", SIZES)
def test_form(snap_compare: Any, size: tuple[int, int]) -> None:
    assert looks(snap_compare, size, "down", "enter", "down", "down", "x")


def test_light_theme(snap_compare: Any) -> None:
    assert looks(snap_compare, (80, 24), "f9")


def test_without_colour(snap_compare: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    assert looks(snap_compare, (80, 24), "down")


def test_feeds_and_earths(snap_compare: Any) -> None:
    assert looks(snap_compare, (80, 24), "2")


def test_dialogue(snap_compare: Any) -> None:
    assert looks(snap_compare, (80, 24), "v")


def test_help(snap_compare: Any) -> None:
    assert looks(snap_compare, (80, 24), "f1")
