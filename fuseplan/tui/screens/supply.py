"""Feeds and earths: both trees with what flows in them, and which circuit is live in which state."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from fuseplan.plan.words import STATES
from fuseplan.session.supply import LIVE_SIGNS, Branch, Live, branches, state_table
from fuseplan.tui.actions import bindings
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.widgets.head import Head
from fuseplan.tui.widgets.key_bar import KeyBar
from fuseplan.tui.words import QUIET_STYLE, line, lines

_STATE_STYLES = {"live": "bold $text-success", "dead": QUIET_STYLE, "needed": "bold $text-error",
                 "forbidden": "bold $text-error"}


class SupplyScreen(PlanScreen[None]):
    """Screen 2."""

    WHERE = "supply"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("supply"), *bindings("main")]
    CSS = """
    SupplyScreen OptionList { height: 1fr; border: none; background: $background; text-wrap: nowrap;
        text-overflow: ellipsis; }
    SupplyScreen OptionList > .option-list--option-disabled { color: $foreground; }
    SupplyScreen #states { height: 45%; padding: 0 1; border-top: solid $primary 50%; }
    SupplyScreen #states Static { height: auto; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._branches: list[Branch | None] = []

    def compose(self) -> ComposeResult:
        yield Head()
        yield OptionList(markup=False)
        with VerticalScroll(id="states"):
            yield Static("", markup=False)
        yield KeyBar(self.WHERE)

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one(OptionList).focus()

    @property
    def under_cursor(self) -> tuple[str, str] | None:
        branch = self._branch
        return None if branch is None else (branch.kind, branch.id)

    @property
    def _branch(self) -> Branch | None:
        at = self.query_one(OptionList).highlighted
        return self._branches[at] if at is not None and at < len(self._branches) else None

    def refresh_plan(self) -> None:
        super().refresh_plan()
        listed = self.query_one(OptionList)
        here = listed.highlighted
        options: list[Option] = []
        self._branches = []
        for kind, title in (("feed", "Feeds"), ("earth", "Earth points")):
            self._branches.append(None)
            options.append(Option(line((title, "bold $text-accent")), disabled=True))
            for branch in branches(self.session, "feed" if kind == "feed" else "earth"):
                self._branches.append(branch)
                options.append(Option(_branch_line(branch)))
        listed.set_options(options)
        listed.highlighted = here if here is not None and here < len(options) else 1 if len(options) > 1 else None
        self.query_one("#states Static", Static).update(_states(state_table(self.session), self.app.size.width - 3))

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_edit()

    def action_edit(self) -> None:
        if self._branch is not None:
            self.program.open_form((self._branch.kind, self._branch.id))

    def action_close(self) -> None:
        self.dismiss(None)


def _branch_line(branch: Branch) -> Content:
    marks: list[str | tuple[str, str]] = [(branch.stem, QUIET_STYLE), (branch.name, "bold")]
    if branch.findings:
        marks.append((f"  ✗ {branch.findings} finding{'s' if branch.findings > 1 else ''}", "bold $text-error"))
    return line(*marks, (f"  {branch.facts}", QUIET_STYLE))


def _states(rows: list[tuple[str, list[Live]]], room: int) -> Content:
    width = 10
    named = max(12, min(40, room - width * len(STATES)))
    found = [line((f"{'Live in':<{named}}", "bold $text-accent"),
                  ("".join(f"{state.replace('_', ' '):<{width}}" for state in STATES), "bold"))]
    for name, cells in rows:
        title = name if len(name) < named else name[:named - 2] + "…"
        marks = [(f"{LIVE_SIGNS[cell]:<{width}}", _STATE_STYLES[cell]) for cell in cells]
        found.append(line(f"{title:<{named}}", *marks))
    found.append(line((f"{LIVE_SIGNS['live']} live   {LIVE_SIGNS['dead']} dead   {LIVE_SIGNS['needed']}: must run   "
                       f"{LIVE_SIGNS['forbidden']}: must stop", QUIET_STYLE)))
    return lines(*found)
