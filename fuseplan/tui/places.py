"""The ways from screen to screen that do not belong to one of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fuseplan.checks.rule import Finding
from fuseplan.session.session import Session
from fuseplan.session.workings import WHOLE, Subject
from fuseplan.tui.screens.base import PlanScreen

if TYPE_CHECKING:
    from textual.app import App

    Base = App[int]
else:
    Base = object


class Places(Base):
    """The part of the program that opens screens; `session`, `say` and `plan_screen` are the program's."""

    session: Session

    if TYPE_CHECKING:
        @property
        def plan_screen(self) -> PlanScreen[Any] | None: ...
        def say(self, text: str) -> None: ...
        def leave_field(self) -> None: ...

    def open_working(self, subject: Subject, finding: Finding | None = None) -> None:
        """Show the figures of a part with their working, the one behind a finding first."""
        from fuseplan.tui.screens.working import WorkingScreen

        self.push_screen(WorkingScreen(subject, finding))

    def action_working(self) -> None:
        screen = self.plan_screen
        if screen is not None:
            self.leave_field()
            self.open_working(screen.under_cursor or WHOLE, screen.finding_under_cursor)
