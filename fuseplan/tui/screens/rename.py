"""A new name for a part: what it is called, and its id in the file."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input, Static

from fuseplan.tui.screens.leaving import Dialogue
from fuseplan.tui.widgets.box import Box
from fuseplan.tui.widgets.entry_line import TypedLine
from fuseplan.tui.words import line


class Rename(Dialogue[tuple[str, str] | None]):
    """Gives (name, id); None when nothing is to change."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "back", show=False)]

    def __init__(self, title: str, name: str, own_id: str, refuse: Callable[[tuple[str, str]], str],
                 id_first: bool) -> None:
        super().__init__()
        self._refuse, self._id_first = refuse, id_first
        self._title = title
        self._old_name, self._old_id = name, own_id

    def compose(self) -> ComposeResult:
        with Box(self._title, "Enter takes both, Esc goes back"):
            yield Static("Name, on screens and papers", markup=False)
            yield TypedLine(self._old_name, own_id="name")
            yield Static("id, in the file; everything that names it follows", markup=False)
            yield TypedLine(self._old_id, own_id="own_id")
            yield Static("", id="message", markup=False)
            yield Static("Tab goes to the other field", classes="hint", markup=False)

    def on_mount(self) -> None:
        self.query_one("#own_id" if self._id_first else "#name", Input).focus()

    @on(Input.Submitted)
    def _take(self) -> None:
        answer = self.query_one("#name", Input).value.strip(), self.query_one("#own_id", Input).value.strip()
        reason = self._refuse(answer)
        if reason:
            self.query_one("#message", Static).update(line((f"✗ {reason}", "$text-error")))
        else:
            self.dismiss(answer)
