"""Saving and leaving: what is asked when the file changed meanwhile or something is not saved."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path as FilePath

from fuseplan.errors import ChangedOnDisk, FuseplanError, RemovedOnDisk, StoreError
from fuseplan.tui.places import Places
from fuseplan.tui.screens.dialogs import Answer, Ask, Choose
from fuseplan.tui.screens.pages import differences_page
from fuseplan.workspace.entry import shown
from fuseplan.workspace.recovering import changed_elsewhere


class Saving(Places):
    """The part of the program that saves."""

    _told = False
    """Whether it was said that another program changed the file."""

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
        except RemovedOnDisk as error:
            self._ask_removed(str(error), then)
            return
        except ChangedOnDisk as error:
            self._ask_changed(str(error), then)
            return
        except StoreError as error:
            self._ask_elsewhere(error, then)
            return
        self._saved(then)

    def _ask_elsewhere(self, error: StoreError, then: Callable[[], object] | None) -> None:
        """The file cannot be written: say so until it is answered, and offer another place."""
        answers = [Answer("save_as", "Save as …", "to another folder or disk"),
                   Answer("again", "Try again", "after you freed space or allowed writing"),
                   Answer("stay", "Go on without saving", "everything is still here")]

        def act(answer: str | None) -> None:
            if answer == "save_as":
                self.save_as(then)
            elif answer == "again":
                self.save(then)
            else:
                self.say(f"✗ Not saved: {error}")

        self.push_screen(Choose("✗ Not saved", answers, f"{error}. Nothing you changed is lost."), act)

    def _saved(self, then: Callable[[], object] | None) -> None:
        self.refresh_plan()
        waiting = self.session.drafts.words
        self.say(f"Saved to {self.session.file_words}" + (f"; not in the file: {waiting}" if waiting else ""))
        if then is not None:
            then()

    def _ask_removed(self, reason: str, then: Callable[[], object] | None) -> None:
        """The file is gone: there is nothing to take in, to show or to read again."""
        answers = [Answer("again", "Write it again", "under the same name"),
                   Answer("save_as", "Save as …", "under another name"),
                   Answer("stay", "Go on without saving", "everything is still here")]

        def act(answer: str | None) -> None:
            if answer == "again":
                self._write(None, then)
            elif answer == "save_as":
                self.save_as(then)
            else:
                self.say(f"✗ Not saved: {reason}")

        self.push_screen(Choose("The file is gone", answers, f"{reason}. Nothing you changed is lost."), act)

    def _ask_changed(self, reason: str, then: Callable[[], object] | None) -> None:
        self._told = True
        answers = [
            Answer("merge", "Take both together", "where they touch different lines; then it is saved"),
            Answer("show", "Show what changed in the file"),
            Answer("save_as", "Save as …", "keep both apart: write this plan to another file"),
            Answer("reload", "Read the file again", "what is not saved here is lost"),
        ]
        if not self.session.is_confined:
            answers.append(Answer("overwrite", "Overwrite", "the other change to the file is lost"))

        def act(answer: str | None) -> None:
            if answer == "merge":
                if self.merge():
                    self.save(then)
            elif answer == "show":
                self._show_changes(lambda _: self._ask_changed(reason, then))
            elif answer == "save_as":
                self.save_as(then)
            elif answer == "overwrite":
                self._write(None, then)
            elif answer == "reload":
                self.reload()

        self.push_screen(Choose("The file changed meanwhile", answers, reason), act)

    def merge(self) -> bool:
        """Take what another program changed in the file in beside what was changed here; False where they collide."""
        try:
            done = self.session.merge()
        except FuseplanError as error:
            self.say(f"✗ Not taken together: {error}")
            return False
        self.refresh_plan()
        if not done:
            self.say("✗ Both changed the same lines, so they cannot be taken together; nothing is saved yet")
        return done

    def _show_changes(self, then: Callable[[object], None]) -> None:
        try:
            changed = changed_elsewhere(self.session)
        except FuseplanError as error:
            self.say(f"✗ {error}")
            return
        self.push_screen(differences_page("Changed in the file by another program", changed), then)

    def _write(self, path: str | None, then: Callable[[], object] | None) -> None:
        try:
            self.session.save(path, force=True)
        except StoreError as error:
            self._ask_elsewhere(error, then)
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

    def action_save_as(self) -> None:
        self.save_as(None)

    def save_as(self, then: Callable[[], object] | None) -> None:
        """Ask for a file name and save to it."""
        self.leave_field()
        path = self.session.document.path

        def take(answer: str) -> None:
            if not answer.strip():
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
                self._ask_elsewhere(error, then)
                return
            self._saved(then)

        self.ask(Ask("Save as", shown(str(path or "plan.toml")), "Name of the file, with its folder"), take)

    def action_ask_quit(self) -> None:
        self.leave_field()
        waiting = self.session.drafts.words
        if not self.session.is_unsaved and not waiting:
            self.leave()
            return
        answers = [Answer("save", "Save and leave")] if self.session.is_unsaved else []
        answers += [Answer("waiting", "Go to the entry with an error")] if waiting else []
        # What loses work is never the answer of a key pressed once too often.
        answers += [Answer("stay", "Stay"), Answer("leave", "Leave without saving", "what was changed is lost")]
        words = self.session.file_words
        if waiting:
            words += f"; not in the plan, and lost when you leave: {waiting}"

        def act(answer: str | None) -> None:
            if answer == "save":
                self.save(self.leave)
            elif answer == "leave":
                self.leave()
            elif answer == "waiting":
                self.action_next_waiting()

        self.push_screen(Choose("Not everything is saved", answers, words), act)

    def leave(self) -> None:
        """Leave at once; nothing is kept for recovery, as nothing was cut off."""
        self.session.drop_recovery()
        self.exit(0)
