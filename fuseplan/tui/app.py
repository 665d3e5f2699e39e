"""The program with its screens: what can be done from anywhere."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from pathlib import Path as FilePath
from typing import Any, ClassVar

from textual.app import App
from textual.screen import Screen

from fuseplan.checks.rule import Finding
from fuseplan.cli.exit_status import PROGRAM_ERROR
from fuseplan.errors import StoreError
from fuseplan.planfile.seen import mark_seen, was_seen
from fuseplan.tui import theme
from fuseplan.tui.actions import actions_of, bindings
from fuseplan.tui.commands import ActionCommands
from fuseplan.tui.failing import Failing
from fuseplan.tui.keeping import Keeping
from fuseplan.tui.line_breaks import keep_numbers_whole
from fuseplan.tui.low_lists import stay_where_no_line_is_seen
from fuseplan.tui.other_files import OtherFiles
from fuseplan.tui.pasting import Pasting
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.circuits import CircuitsScreen
from fuseplan.tui.screens.dialogs import Answer, Choose
from fuseplan.tui.screens.leaving import OnceLeft
from fuseplan.tui.screens.pages import cautions_page, guide_page, help_page
from fuseplan.tui.singly import Singly
from fuseplan.tui.stylesheet import OnceParsed, Styled
from fuseplan.tui.terminal_input import TerminalInput
from fuseplan.tui.terminal_size import forget_stated_size
from fuseplan.workspace.session import Session

GUIDE = "first_steps"

keep_numbers_whole()

stay_where_no_line_is_seen()


class FuseplanApp(Singly, Pasting, Failing, TerminalInput, Keeping, OtherFiles, Styled):
    """The program on one session."""

    TITLE = "fuseplan"
    BINDINGS = bindings("everywhere")
    COMMANDS: ClassVar[set[Any]] = {ActionCommands}
    ENABLE_COMMAND_PALETTE = True
    CSS = """
    Screen { background: $background; color: $foreground; }
    Dialogue { background: $background 60%; }
    /* Its list stays within the window, the head of the screen below in sight. */
    CommandPalette > Vertical { margin-top: 2; }
    CommandPalette CommandList { max-height: 45vh; }
    /* In a narrower window their ends are cut off: a list without any width cannot be laid out. */
    OptionList { min-width: 12; }
    Input.-textual-compact { background: $panel; }
    OptionList:nocolor > .option-list--option-highlighted {
        background: $foreground 30% !important; color: $foreground !important; text-style: bold !important;
    }
    * { scrollbar-size-vertical: 1; scrollbar-size-horizontal: 1; }
    """

    def __init__(self, session: Session, guide: bool = False, summary: bool = False) -> None:
        super().__init__()
        self._filters = theme.taking_all(self._filters, self.console.color_system)
        for each in theme.THEMES:
            self.register_theme(each)
        self.set_reactive(App.theme, theme.dark_and_light(self.console.color_system)[0].name)
        self.stylesheet = OnceParsed(variables=self.get_css_variables())
        self.session = session
        self._guide, self._summary = guide, summary
        self.finding: Finding | None = None
        """The finding gone to last."""
        self.papers_folder: str | None = None
        """The folder papers were written into last."""
        self.papers_chosen: set[str] | None = None
        """The papers ticked when their screen was last open; None: it was not yet, and all are."""

    def on_mount(self) -> None:
        self.push_screen(CircuitsScreen())
        if self._summary:
            from fuseplan.tui.screens.summary import SummaryScreen

            self.push_screen(SummaryScreen())
        self.watch_over_work()
        if self._guide:
            self.call_after_refresh(self.action_show_guide)

    def on_resize(self) -> None:
        """The screens below a dialogue are seen too, so they follow the size of the window as well."""
        for screen in self.screen_stack[:-1]:
            if isinstance(screen, OnceLeft):
                screen.fit()
            if isinstance(screen, PlanScreen):
                screen.refresh_plan()

    def action_undo(self) -> None:
        screen = self.plan_screen
        field = None if screen is None else screen.field
        self._step(lambda: self.session.undo(field), "Undone", "Nothing to undo")

    def action_redo(self) -> None:
        self._step(self.session.redo, "Redone", "Nothing to do again")

    def _step(self, step: Callable[[], str | None], done: str, nothing: str) -> None:
        def go() -> None:
            words = step()
            self.say(f"{done}: {words}" if words else nothing)

        self.attempt(go)
        self.refresh_plan()

    def action_refresh(self) -> None:
        """Read the file again where another program changed it, and paint the screen again."""
        self.look_at_file_again()
        self.refresh_plan()
        self.refresh(repaint=True, layout=True)

    def action_show_help(self) -> None:
        if self.plan_screen is not None:
            self.push_screen(help_page(self.plan_screen.WHERE))

    def action_show_guide(self) -> None:
        """Show the first steps; closed once, they do not come by themselves again."""
        self.push_screen(guide_page(self.session), lambda _: mark_seen(GUIDE))

    def action_show_cautions(self) -> None:
        self.push_screen(cautions_page())

    def action_other_theme(self) -> None:
        dark, light = theme.dark_and_light(self.console.color_system)
        self.theme = light.name if self.theme == dark.name else dark.name
        # The new colours hold only once the style sheets were read again.
        self.call_after_refresh(self.refresh_plan)

    def action_edit_car(self) -> None:
        from fuseplan.tui.screens.car import ask_part

        ask_part(self)

    def action_add_usual(self) -> None:
        from fuseplan.tui.screens.car import add_usual

        add_usual(self)

    def action_menu(self) -> None:
        screen = self.plan_screen
        if screen is None or self.screen is not screen:
            return
        answers = [Answer(action.name, action.label, action.words, action.key or " ")
                   for action in actions_of(screen.WHERE) if action.name != "menu"]

        self.ask(Choose("All actions", answers), lambda name: self.run_action_of(screen, name))

    async def run_action_of(self, screen: Screen[Any], name: str) -> None:
        """Run an action by its name, on the screen if it has it, else on the program."""
        target = screen if hasattr(screen, f"action_{name}") else self
        await self.run_action(name, target)


def run(path: FilePath | None) -> int:
    """Open the screens on a plan, or on the example without one.

    Returns:
        0, as closing the screens is no verdict; 70 after an error in the program; after a signal, see
        `cli/exit_status.py`.
    Raises:
        PlanError, LimitsError, StoreError: The plan cannot be opened.
    """
    from fuseplan.workspace.opening import open_session

    forget_stated_size()
    app = FuseplanApp(open_session(path), guide=path is None and not was_seen(GUIDE), summary=path is not None)
    try:
        with contextlib.suppress(KeyboardInterrupt):
            app.run()
        if app.return_value is None:
            # Nobody chose to leave.
            with contextlib.suppress(StoreError):
                app.session.keep_for_recovery()
    finally:
        app.session.close()
    return PROGRAM_ERROR if app.failure is not None else app.return_code or 0
