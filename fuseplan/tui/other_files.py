"""Other files beside the open plan: an older plan to compare it with, a list to take into it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.content import Content

from fuseplan.errors import FuseplanError
from fuseplan.tui.program import Program
from fuseplan.tui.screens.dialogs import Answer, Ask, Choose
from fuseplan.tui.screens.pages import Page, page_room
from fuseplan.workspace.entry import shown
from fuseplan.workspace.reports import comparison

if TYPE_CHECKING:
    from fuseplan.workspace.lists import HarnessToTake, ListToTake

OPEN = "-"
"""The answer that no loom is said; no loom can be called so."""


class OtherFiles(Program):
    """The part of the program that reads other files."""

    def action_compare_plan(self) -> None:
        """Ask for a file, then show what changed from it to the plan as it is now."""
        self.leave_field()

        def show(answer: str) -> None:
            if not answer.strip():
                return
            try:
                text = comparison(self.session, answer.strip(), page_room(self.size.width))
            except FuseplanError as error:
                self.say(f"✗ {error}")
                return
            self.push_screen(Page("What changed since that file", Content(text)))

        path = self.session.document.path
        self.ask(Ask("Compare with", shown(str(path or "")), "File of the older plan, with its folder"), show)

    def action_import_list(self) -> None:
        """Ask for a list or a harness, show what it would change, and take it where that is wanted; one undo takes it
        back."""
        from fuseplan.exchange.kbl_in import is_kbl
        from fuseplan.workspace.lists import LOOM_KINDS, HarnessToTake, ListToTake

        self.leave_field()

        def named(answer: str) -> None:
            if not (file := answer.strip()):
                return
            if not is_kbl(file):
                self.offer_list(lambda room: ListToTake(self.session, file, room))
                return
            answers = [Answer(kind, kind) for kind in LOOM_KINDS]
            self.ask(Choose("Which loom is it?", answers),
                     lambda kind: self.offer_list(lambda room: HarnessToTake(self.session, file, kind, room)))

        self.ask(Ask("Import", "", "File of loads, wires or pins (CSV, XLSX) or of a harness (KBL)"), named)

    def offer_list(self, read: Callable[[int], ListToTake | HarnessToTake]) -> None:
        """Show what a list would change, and take it where that is wanted; `read` gets the columns there are."""

        def ask(found: ListToTake | HarnessToTake) -> None:
            if not found.can_be_taken:
                self.say("✗ Nothing was taken: correct what is wrong with the list first")
                return
            answers = [Answer("take", "Take it into the plan", "one undo takes it back"), Answer("leave", "Leave it")]
            self.push_screen(Choose(f"Take {found.words}?", answers), lambda word: take(found, word))

        def take(found: ListToTake | HarnessToTake, word: str | None) -> None:
            if word != "take":
                return
            looms = found.looms
            if not looms:
                put(found, None)
                return
            answers = [*(Answer(name, name, words) for name, words in looms.items()),
                       Answer(OPEN, "leave it open", "each connector's form asks for it")]
            self.ask(Choose("Which loom are its connectors of?", answers),
                     lambda loom: put(found, None if loom == OPEN else loom))

        def put(found: ListToTake | HarnessToTake, loom: str | None) -> None:
            try:
                found.take(loom)
            except FuseplanError as error:
                self.say(f"✗ Not taken: {error}")
                return
            self.refresh_plan()
            self.say(f"Taken: {found.words}")

        try:
            found = read(page_room(self.size.width))
        except FuseplanError as error:
            self.say(f"✗ {error}")
            return
        self.push_screen(Page(f"Import {found.kind}", Content(found.preview)), lambda _: ask(found))
