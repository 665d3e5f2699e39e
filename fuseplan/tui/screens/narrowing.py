"""Screens with a line that narrows a list as it is typed into."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from textual import on
from textual.widgets import Input

from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.widgets.entry_line import TypedLine

Answer = TypeVar("Answer")


class Narrowing(PlanScreen[Answer]):
    """Letters that arrive together are looked for in one go."""

    _looked_for = ""

    if TYPE_CHECKING:
        def list_what_fits(self, typed: str) -> None: ...

    def look_for(self, typed: str) -> None:
        """List what fits a text."""
        self._looked_for = typed
        self.list_what_fits(typed)

    @on(Input.Changed)
    async def _typed(self) -> None:
        if not self.is_left:
            await self.program.letters_are_in(self.query_one(TypedLine))
        if not self.is_left and (typed := self.query_one(Input).value) != self._looked_for:
            self.look_for(typed)
