"""What every part of the program builds upon: its plan, the screen on top, and what is said in the bottom line."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from textual.app import App
from textual.dom import NoScreen
from textual.screen import Screen
from textual.widget import Widget

from fuseplan.errors import FuseplanError
from fuseplan.papers.harmless import harmless_lines
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.widgets.key_bar import KeyBar
from fuseplan.workspace.session import Session

Answer = TypeVar("Answer")


class Program(App[int]):
    """The program on one session, without what can be done in it."""

    session: Session

    def is_open(self, widget: Widget) -> bool:
        """Whether the screen a widget belongs to is open; one being closed loses its parts little by little."""
        try:
            return widget.screen in self.screen_stack
        except NoScreen:
            return False

    def call_from_thread(self, callback: Callable[..., Any], *args: Any, **kwargs: Any) -> Any:
        """As the base does it; what long work brings to a screen that was closed meanwhile is dropped."""
        owner = getattr(callback, "__self__", None)

        def still_open() -> Any:
            gone = isinstance(owner, Widget) and not self.is_open(owner)
            return None if gone else callback(*args, **kwargs)

        return super().call_from_thread(still_open)

    @property
    def plan_screen(self) -> PlanScreen[Any] | None:
        """The topmost screen on the plan, beneath dialogues."""
        return next((screen for screen in reversed(self.screen_stack) if isinstance(screen, PlanScreen)), None)

    def copy_to_clipboard(self, text: str) -> None:
        """As the base does it; nothing that acts on a terminal leaves the plan this way."""
        super().copy_to_clipboard(harmless_lines(text))

    def say(self, text: str) -> None:
        """Show a message in the bottom line."""
        if self.plan_screen is not None:
            self.plan_screen.say(text)

    def ask(self, question: Screen[Answer | None], then: Callable[[Answer], Any]) -> None:
        """Open a dialogue, and go on with its answer; nothing is done where it is closed without one."""
        self.push_screen(question, lambda answer: None if answer is None else then(answer))

    def refresh_plan(self) -> None:
        """Show the plan again after a change; a screen only just opening does so by itself, one that has lost its parts
        as the program ends does not."""
        screen = self.plan_screen
        if screen is not None and screen.is_mounted and screen.query(KeyBar):
            screen.refresh_plan()

    def attempt(self, action: Callable[[], object], done: str = "") -> bool:
        """Do something that may be refused; the reason, or `done`, is shown in the bottom line."""
        try:
            action()
        except FuseplanError as error:
            self.say(f"✗ {error}")
            return False
        if done:
            self.say(done)
        return True

    def leave_field(self) -> None:
        """What is being typed counts."""
        if self.plan_screen is not None:
            self.plan_screen.leave_field()
