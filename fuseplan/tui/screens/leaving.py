"""Screens that are left once, whatever still arrives for them."""

from __future__ import annotations

from typing import TypeVar

from textual import events, messages
from textual.await_complete import AwaitComplete
from textual.layout import Layout
from textual.message import Message
from textual.screen import ModalScreen, Screen

from fuseplan.tui.layout import LOW, GivingWay

Answer = TypeVar("Answer")


class OnceLeft(Screen[Answer]):
    """A screen whose first answer counts: left a second time, it does nothing, and takes no other screen with it."""

    is_left = False
    times_in_front = 0
    """How often it came to the front: 1 from when it is opened on."""
    _answer: Answer | None = None

    def dismiss(self, result: Answer | None = None) -> AwaitComplete:
        """As the base does it, once; beneath another screen, as soon as it comes to the front."""
        if self.is_left:
            return AwaitComplete()
        self.is_left, self._answer = True, result
        return super().dismiss(result) if self.app.screen is self else AwaitComplete()

    def fit(self) -> None:
        """Have the look for a window as high as it is now."""
        self.set_class(self.app.size.height < LOW, "-low")

    def on_mount(self) -> None:
        self.fit()

    def on_resize(self) -> None:
        self.fit()

    def on_screen_resume(self) -> None:
        if self.is_left and self.app.screen is self:
            super().dismiss(self._answer)

    async def _on_message(self, message: Message) -> None:
        """As the base does it; what its parts report after it was left is meant for nobody, Textual's own messages are
        what takes it apart."""
        if isinstance(message, events.ScreenResume):
            self.times_in_front += 1
            # Its parts took their looks as they came into it: all of them once more takes a tenth of its opening.
            message.refresh_styles = message.refresh_styles and self.times_in_front > 1
        if not self.is_left or type(message).__module__ == messages.__name__:
            await super()._on_message(message)


class Dialogue(OnceLeft[Answer], ModalScreen[Answer]):
    """A small screen over another that gives one answer; the head of the other stays in sight above it."""

    DEFAULT_CSS = """
    Dialogue { align: center middle; overflow: hidden; }
    Dialogue.-low Box { margin: 1 0; }
    Dialogue.-low Box > * { margin: 0; }
    """

    @property
    def layout(self) -> Layout:
        return GivingWay()
