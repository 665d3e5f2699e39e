"""A small car on disk, and the program on it."""

from __future__ import annotations

import asyncio
import contextlib
import time
from collections.abc import AsyncIterator, Awaitable, Callable, Hashable, Iterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from rich.console import RenderableType
from textual._compositor import Compositor
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet
from textual.pilot import Pilot
from textual.worker import WorkerCancelled, WorkerFailed

from fuseplan.tui.app import FuseplanApp
from fuseplan.workspace.session import Session
from tests.opened_once import open_once

from .bursts import arrive, key, keys

CAR = Path(__file__).with_name("car.toml")
WAIT_S = 60.0


_parse = Stylesheet.parse
_parse_rules = Stylesheet._parse_rules
_sheets: dict[Hashable, tuple[list[RuleSet], dict[str, list[RuleSet]]]] = {}
_parsed: dict[Hashable, list[RuleSet]] = {}


def _parse_rules_once(sheet: Stylesheet, css: str, **where: Any) -> list[RuleSet]:
    """What a style sheet says: the same in every program the tests open, so it is not read anew by each."""
    key = (css, *where.values(), frozenset(sheet._variables.items()))
    if key not in _parsed:
        _parsed[key] = _parse_rules(sheet, css, **where)
    return _parsed[key]


def _parse_once(sheet: Stylesheet) -> None:
    """What several style sheets together say, which depends on their order, too."""
    key = (tuple(sheet.source.items()), frozenset(sheet._variables.items()))
    if key not in _sheets:
        _parse(sheet)
        _sheets[key] = sheet._rules, sheet.rules_map
    sheet._rules, sheet._rules_map = _sheets[key]
    sheet._require_parse = False


Stylesheet._parse_rules = _parse_rules_once
Stylesheet.parse = _parse_once

_paint = Compositor.render_update


def _not_painted(compositor: Compositor, full: bool = False, **how: Any) -> RenderableType | None:
    return _paint(compositor, full, **how) if full else None


@contextlib.contextmanager
def _painted_when_settled() -> Iterator[None]:
    """Nobody sees what is painted between two waits of a test: what has changed is painted by `Driver.settle`."""
    Compositor.render_update = _not_painted
    try:
        yield
    finally:
        Compositor.render_update = _paint


class Driver:
    """The program under test, with the keys and looks the tests use."""

    def __init__(self, app: FuseplanApp, pilot: Pilot[int]) -> None:
        self.app = app
        self.pilot = pilot
        self.session = app.session

    async def press(self, *names: str) -> None:
        """Press keys one after the other; each has had its effect before the next, also in the background."""
        for name in names:
            arrive(self, key(name))
            await self.rest()
        await self.settle()

    async def type(self, text: str) -> None:
        """Type as fast as anybody can: all letters arrive at once."""
        arrive(self, *keys(*text))
        await self.settle()

    async def settle(self) -> None:
        """Wait until all input so far has had its effect and is painted."""
        await self.rest()
        self.app.screen._on_timer_update()
        await self.rest()
        self.paint()

    def paint(self) -> None:
        """Paint what has changed since it was painted last."""
        _paint(self.app.screen._compositor, screen_stack=self.app._background_screens)

    async def rest(self) -> None:
        """Wait until all input so far has had its effect, also that in the background."""
        for _ in range(2):
            await self.app.come_to_rest()
            # What fails away from the keys is written down, and noticed by that.
            with contextlib.suppress(WorkerFailed, WorkerCancelled):
                await self.app.workers.wait_for_complete()
        await self.app.come_to_rest()
        # What lies below a dialogue is laid out with the next frame, for which no input waits.
        for screen in self.app._background_screens:
            if screen._layout_required:
                with screen._context():
                    screen._on_timer_update()

    async def until(self, holds: Callable[[], bool], what: str) -> None:
        """Wait while the program works on until something holds that `what` says."""
        end = time.monotonic() + WAIT_S
        while not holds():
            assert time.monotonic() < end, f"{what}: not within {WAIT_S:.0f} s"
            await asyncio.sleep(0.005)

    async def resize(self, width: int, height: int) -> None:
        """Change the size of the window."""
        await self.pilot.resize_terminal(width, height)
        # Textual tells the screens by a timer, for which nothing that is under way waits.
        await self.until(lambda: self.app._resize_timer is None, "the new size of the window")
        await self.rest()

    async def click(self, selector: str, x: int = 0, y: int = 0) -> None:
        await self.pilot.click(selector, offset=(x, y))
        await self.settle()

    @property
    def said(self) -> str:
        """The message in the bottom line of the topmost screen on the plan; empty while it only just opens."""
        from fuseplan.tui.widgets.key_bar import KeyBar

        screen = self.app.plan_screen
        bar = None if screen is None else next(iter(screen.query(KeyBar)), None)
        return "" if bar is None else bar.said

    @property
    def screen_name(self) -> str:
        return type(self.app.screen).__name__

    def seen(self) -> str:
        """Everything on the screen as plain text."""
        self.paint()
        width, height = self.app.size
        lines = self.app.screen._compositor.render_strips()
        return "\n".join("".join(segment.text for segment in strip)[:width] for strip in lines[:height])

    def read(self) -> str:
        """The words on the screen in one line: where a sentence is broken plays no part, nor do borders."""
        return " ".join(self.seen().replace("│", " ").split())


Open = Callable[..., Awaitable[Driver]]


@pytest.fixture(autouse=True)
def _own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    # Whatever is saved without a folder lies here.
    monkeypatch.chdir(tmp_path)
    # The looks are those of a terminal with all colours, wherever the tests run.
    monkeypatch.setenv("COLORTERM", "truecolor")
    open_once(monkeypatch)


@pytest.fixture
def car(tmp_path: Path) -> Path:
    """The small car's file, to be changed at will."""
    file = tmp_path / "car.toml"
    file.write_text(CAR.read_text(encoding="utf-8"), encoding="utf-8")
    return file


@asynccontextmanager
async def opened(file: Path | Session, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Driver]:
    """The program on a plan."""
    session = file if isinstance(file, Session) else Session.open(file)
    app = FuseplanApp(session)
    with _painted_when_settled():
        async with app.run_test(size=size) as pilot:
            driver = Driver(app, pilot)
            await driver.settle()
            try:
                yield driver
            finally:
                # What it still keeps in its thread would be found by a next test with a folder of the same name.
                driver.session.close()
