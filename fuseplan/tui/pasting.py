"""What is said of a paste, as long as it is news."""

from __future__ import annotations

from typing import Any

from fuseplan.quantities import writing
from fuseplan.tui.input_queue import InputQueue
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.widgets.entry_line import TypedLine


class Pasting(InputQueue):
    """The part of the program that says which lines of a paste were left out."""

    _said_on: PlanScreen[Any] | None = None

    def on_typed_line_lines_left_out(self, event: TypedLine.LinesLeftOut) -> None:
        """Say it on the screen that is open."""
        self._said_on = self.plan_screen
        if self._said_on is not None:
            self._said_on.say("Only the first line was pasted: a field holds one. Left out: "
                              f"{writing.counted(event.count, 'line')}")

    def input_begins(self) -> None:
        """That lines were left out goes away with the next key: it is about the key before."""
        if self._said_on is not None:
            self._said_on.hush()
            self._said_on = None
