"""Saving and leaving: what is asked when the file changed meanwhile or something is not saved."""

from __future__ import annotations

from pathlib import Path as FilePath
from typing import TYPE_CHECKING

from fuseplan.errors import ChangedOnDisk, FuseplanError, StoreError
from fuseplan.session.entry import shown
from fuseplan.session.recovering import go_on_with
from fuseplan.session.session import Session
from fuseplan.store.recovery import discard
from fuseplan.tui.screens.dialogs import Answer, Ask, Choose

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.app import App

    Base = App[int]
else:
    Base = object


class Saving(Base):
    """The part of the program that saves; `session`, `say` and `refresh_plan` are the program's."""

    session: Session

    if TYPE_CHECKING:
        def say(self, text: str) -> None: ...
        def refresh_plan(self) -> None: ...
        def leave_field(self) -> None: ...

    def action_save(self) -> None:
        self.save()

    def save(self, then: Callable[[], object] | None = None) -> None:
        """Save, asking what has to be asked; `then` is called after it worked."""
        self.leave_field()
        if self.session.document.path is None:
            self.save_as(then)
            return
        try:
            self.session.save()
        except ChangedOnDisk as error:
            self._ask_changed(str(error), then)
            return
        except StoreError as error:
            self.say(f"✗ Not saved: {error}")
            return
        self._saved(then)

    def _saved(self, then: Callable[[], object] | None) -> None:
        self.refresh_plan()
        waiting = len(self.session.drafts.texts)
        self.say(f"Saved to {self.session.file_words}"
                 + (f"; {waiting} text(s) in forms are not taken yet and not in the file" if waiting else ""))
        if then is not None:
            then()

    def _ask_changed(self, reason: str, then: Callable[[], object] | None) -> None:
        answers = [
            Answer("save_as", "Save as …", "keep both: write this plan to another file"),
            Answer("reload", "Read the file again", "what is not saved here is lost"),
            Answer("overwrite", "Overwrite", "the other change to the file is lost"),
        ]

        def act(answer: str | None) -> None:
            if answer == "save_as":
                self.save_as(then)
            elif answer == "overwrite":
                self._write(None, then)
            elif answer == "reload":
                self.reload()

        self.push_screen(Choose("The file changed meanwhile", answers, reason), act)

    def _write(self, path: str | None, then: Callable[[], object] | None) -> None:
        try:
            self.session.save(path, force=True)
        except StoreError as error:
            self.say(f"✗ Not saved: {error}")
            return
        self._saved(then)

    def reload(self) -> bool:
        """Read the file again; what is wrong with it is said. False when it could not be read as a plan."""
        try:
            self.session.reload()
        except FuseplanError as error:
            self.say(f"✗ Not read again: {error}")
            return False
        self.refresh_plan()
        self.say("Read again from the file")
        return True

    def offer_recovery(self) -> None:
        """Ask what to do with what an earlier run, cut off, left unsaved."""
        left = self.session.left_behind()
        if not left:
            return
        kept = left[0]
        after = " The file was written after that." if kept.overtaken else ""
        answers = [
            Answer("take", "Go on with it", "undo goes back to the file; nothing is written before you save"),
            Answer("drop", "Throw it away", "only what is in the file counts"),
            Answer("later", "Decide later", "it is kept and offered again"),
        ]

        def act(answer: str | None) -> None:
            if answer == "drop":
                discard(kept)
            elif answer == "take":
                try:
                    go_on_with(self.session, kept)
                except FuseplanError as error:
                    self.say(f"✗ {error}")
                self.refresh_plan()

        self.push_screen(Choose("Something was not saved last time", answers,
                                f"The program was cut off before {self.session.file_words} was saved.{after}"), act)

    def look_at_file(self) -> None:
        """Say it once when another program changed the file; read it again at once where nothing would be lost."""
        if not self.session.document.changed_on_disk():
            self._told = False
            return
        if self._told:
            return
        if self.session.document.is_changed or self.session.drafts.texts:
            self._told = True
            self.say("The file was changed by another program; saving will ask what to do")
        else:
            self._told = not self.reload()

    _told = False

    def action_save_as(self) -> None:
        self.save_as(None)

    def save_as(self, then: Callable[[], object] | None) -> None:
        """Ask for a file name and save to it."""
        self.leave_field()
        path = self.session.document.path

        def take(answer: str | None) -> None:
            if answer is None or not answer.strip():
                return
            target = str(FilePath(answer.strip()).expanduser())
            try:
                self.session.save(target)
            except ChangedOnDisk as error:
                answers = [Answer("overwrite", "Overwrite", "what is in that file is lost"),
                           Answer("other", "Another name …")]
                self.push_screen(Choose("There is such a file already", answers, str(error)),
                                 lambda word: self._write(target, then) if word == "overwrite" else
                                 self.save_as(then) if word == "other" else None)
                return
            except StoreError as error:
                self.say(f"✗ Not saved: {error}")
                return
            self._saved(then)

        self.push_screen(Ask("Save as", shown(str(path or "plan.toml")), "Name of the file, with its folder"), take)

    def action_ask_quit(self) -> None:
        self.leave_field()
        if not self.session.document.is_changed:
            self.leave()
            return
        answers = [Answer("save", "Save and leave"),
                   Answer("leave", "Leave without saving", "what was changed is lost"), Answer("stay", "Stay")]

        def act(answer: str | None) -> None:
            if answer == "save":
                self.save(self.leave)
            elif answer == "leave":
                self.leave()

        self.push_screen(Choose("Not everything is saved", answers, self.session.file_words), act)

    def leave(self) -> None:
        """Leave at once; nothing is kept for recovery, as nothing was cut off."""
        self.session.drop_recovery()
        self.exit(0)
