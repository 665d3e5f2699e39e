"""Watching over the work: kept for recovery as it is typed, offered after a cut, changes by others noticed."""

from __future__ import annotations

import time
from dataclasses import replace

from fuseplan.errors import FuseplanError, StoreError
from fuseplan.planfile import recovery
from fuseplan.planfile.recovery import Kept
from fuseplan.tui.saving import Saving
from fuseplan.tui.screens.dialogs import Answer, Choose
from fuseplan.tui.screens.pages import differences_page
from fuseplan.workspace.overview import PROMISED_S
from fuseplan.workspace.recovering import go_on_with, what_differs, why_not

LOOK_EVERY_S = 1.0


class Keeping(Saving):
    """The part of the program that loses nothing."""

    _unkept = ""

    def watch_over_work(self) -> None:
        """Begin to keep what is typed and to look after the file; offer what was left behind."""
        self.session.start_autosave()
        self.set_interval(LOOK_EVERY_S / 2, self._look_at_kept)
        self.set_interval(LOOK_EVERY_S, self.look_at_file)
        self.call_after_refresh(self.offer_recovery)

    def _look_at_kept(self) -> None:
        """Say it when what is typed cannot be kept for recovery, or only late."""
        self.session.offer()
        behind_s, why = self.session.behind_s, self.session.unkept
        state = why or ("the disk or the computer is slow" if behind_s > PROMISED_S else "")
        if state != self._unkept:
            self._unkept = state
            self.say(f"✗ Not kept for recovery, so save soon: {state}" if state else "Kept for recovery again")
            self.refresh_plan()

    def offer_recovery(self) -> None:
        """Ask what to do with what earlier runs, cut off, left unsaved: one after the other, the latest first."""
        found = self.session.left_behind()
        if found:
            self._ask_recovery(found)

    def _ask_recovery(self, found: list[Kept]) -> None:
        kept, *others = found
        when = time.strftime("%A, %d %B, %H:%M", time.localtime(kept.kept_s))
        how = "An error in the program closed it" if kept.before else "The program was cut off"
        words = f"{how} on {when}, before {self.session.file_words} was saved."
        wrong = why_not(self.session, kept)
        before = replace(kept, text=kept.before, typed=()) if kept.before else None
        if before is not None and why_not(self.session, before):
            before = None
        if wrong:
            words += " ✗ What was kept cannot be opened; the plan before the last change can." if before else \
                " ✗ What was kept cannot be opened, so the plan is shown as in its file."
            words += f" It stays in {kept.file}. {wrong}."
        if kept.overtaken:
            words += " ⚠ The file was written after that; what was changed there goes with it, so look first."
        if others:
            words += f" {len(others)} more of these follow."
        answers = [
            Answer("take", "Go on with it", "undo goes back to the file; nothing is written before you save"),
            Answer("before", "Go on without the last change", "where the error may come from that change"),
            Answer("show", "Show what differs from the file"),
            Answer("later", "Decide later", "it is offered again next time"),
            Answer("drop", "Throw it away", "for good"),
        ]

        def act(answer: str | None) -> None:
            if answer == "show":
                self.push_screen(differences_page("Not saved last time", what_differs(self.session, kept)),
                                 lambda _: self._ask_recovery(found))
            elif answer == "drop":
                recovery.discard(kept)
                if others:
                    self._ask_recovery(others)
            elif answer in ("take", "before"):
                try:
                    go_on_with(self.session, kept if before is None or answer == "take" else before)
                except StoreError as error:
                    self.say(f"✗ Taken, but not kept again: {error}")
                except FuseplanError as error:
                    self.say(f"✗ What was kept is no plan, it stays in {kept.file}: {error}")
                else:
                    self.say(f"This is what was not saved last time; {len(others)} more of these are offered next time"
                             if others else "This is what was not saved last time")
                self.refresh_plan()
            elif wrong and others:
                self._ask_recovery(others)

        cannot = {"take"} if wrong else set()
        cannot |= {"before"} if before is None else set()
        self.push_screen(Choose("Something was not saved last time",
                                [each for each in answers if each.value not in cannot], words), act)

    def look_at_file_again(self) -> None:
        """As `look_at_file`, also where it was said before; that the file is as it was read is said as well."""
        self._told = False
        if self.session.document.changed_on_disk():
            self.look_at_file()
        else:
            self.say("No other program has changed the file")

    def look_at_file(self) -> None:
        """Say it once when another program changed the file; read it again at once where nothing would be lost."""
        if not self.session.document.changed_on_disk():
            self._told = False
            return
        if self._told:
            return
        if self.session.document.is_changed or self.session.drafts.texts:
            self._told = True
            self.say("The file was changed by another program; saving asks whether to take both together")
        else:
            self._told = not self.reload()
