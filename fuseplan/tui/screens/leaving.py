"""Screens that are left once, whatever still arrives for them."""

from __future__ import annotations

from typing import TypeVar

from textual import messages
from textual.await_complete import AwaitComplete
from textual.message import Message
from textual.screen import ModalScreen, Screen

Answer = TypeVar("Answer")


class OnceLeft(Screen[Answer]):
    """A screen whose first answer counts: left a second time, it does nothing, and takes no other screen with it."""

    is_left = False
    _answer: Answer | None = None

    def dismiss(self, result: Answer | None = None) -> AwaitComplete:
        """As the base does it, once; beneath another screen, as soon as it comes to the front."""
        if self.is_left:
            return AwaitComplete()
        self.is_left, self._answer = True, result
        return super().dismiss(result) if self.app.screen is self else AwaitComplete()

    def on_screen_resume(self) -> None:
        if self.is_left and self.app.screen is self:
            super().dismiss(self._answer)

    async def _on_message(self, message: Message) -> None:
        """As the base does it; what its parts report after it was left is meant for nobody, Textual's own messages are
        what takes it apart."""
        if not self.is_left or type(message).__module__ == messages.__name__:
            await super()._on_message(message)


class Dialogue(OnceLeft[Answer], ModalScreen[Answer]):
    """A small screen over another that gives one answer."""
