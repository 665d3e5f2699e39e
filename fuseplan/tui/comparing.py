"""Comparing the open plan with another file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from fuseplan.errors import FuseplanError
from fuseplan.tui.screens.dialogs import Ask
from fuseplan.tui.screens.pages import Page
from fuseplan.workspace.entry import shown
from fuseplan.workspace.reports import comparison
from fuseplan.workspace.session import Session

if TYPE_CHECKING:
    from textual.app import App

    Base = App[int]
else:
    Base = object

WIDEST = 100


class Comparing(Base):
    """The part of the program that compares plans; `session` and `say` are the program's."""

    session: Session

    if TYPE_CHECKING:
        def say(self, text: str) -> None: ...
        def leave_field(self) -> None: ...

    def action_compare_plan(self) -> None:
        """Ask for a file, then show what changed from it to the plan as it is now."""
        self.leave_field()

        def show(answer: str | None) -> None:
            if answer is None or not answer.strip():
                return
            try:
                text = comparison(self.session, answer.strip(), min(self.size.width - 8, WIDEST))
            except FuseplanError as error:
                self.say(f"✗ {error}")
                return
            self.push_screen(Page("What changed since that file", Content(text)))

        path = self.session.document.path
        self.push_screen(Ask("Compare with", shown(str(path or "")), "File of the older plan, with its folder"), show)
