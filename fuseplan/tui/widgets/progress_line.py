"""One line that says how far long work has come; not there while there is none."""

from __future__ import annotations

from textual.widgets import Static
from textual.worker import Worker

from fuseplan.tui.words import QUIET_STYLE, line

BAR = 24


class ProgressLine(Static):
    """Words, a bar where it is known how much there is, and how to stop."""

    DEFAULT_CSS = "ProgressLine { height: 1; padding: 0 1; background: $panel; display: none; }"

    def __init__(self) -> None:
        super().__init__("", markup=False)

    @property
    def is_busy(self) -> bool:
        """Work is going on."""
        return bool(self.display)

    def say(self, words: str, share: float | None = None) -> None:
        """Show how far it is; `share` from 0 to 1."""
        self.display = True
        bar: list[str | tuple[str, str]] = []
        if share is not None:
            full = round(max(0.0, min(1.0, share)) * BAR)
            bar = [(f"  {'━' * full}", "bold $text-success"), ("─" * (BAR - full), QUIET_STYLE)]
        self.update(line((words, "bold"), *bar, ("   Esc stops it", QUIET_STYLE)))

    def tell(self, worker: Worker[None], words: str, share: float | None = None) -> None:
        """Show how far a worker is; called from its thread. What it says after it was stopped is not shown."""

        def show() -> None:
            if not worker.is_cancelled:
                self.say(words, share)

        if not worker.is_cancelled:
            self.app.call_from_thread(show)

    def done(self) -> None:
        """The work is over."""
        self.display = False
