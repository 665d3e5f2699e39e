"""The session: one open plan, always assessed, every change undoable and kept for recovery."""

from __future__ import annotations

import os
from collections.abc import Callable, Hashable, Iterator, Mapping
from contextlib import contextmanager
from copy import copy
from dataclasses import replace
from functools import partial
from pathlib import Path as FilePath

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.errors import EditError, FaultError, FuseplanError, StoreError
from fuseplan.plan.model import Plan
from fuseplan.plan.references import Path, place
from fuseplan.planfile import crash_report
from fuseplan.planfile.confined import check_confined
from fuseplan.planfile.document import PlanDocument, Snapshot
from fuseplan.planfile.limit_files import limit_set_of
from fuseplan.planfile.plain import MISSING, get
from fuseplan.workspace.drafts import Drafts
from fuseplan.workspace.history import NOWHERE, History, Step
from fuseplan.workspace.kept_work import Keeping
from fuseplan.workspace.listing import Listing
from fuseplan.workspace.steps import one_step
from fuseplan.workspace.typed_text import TypedText


def judged(document: PlanDocument, after: Assessment | None = None) -> Assessment:
    """The assessment of a document's plan by the limits it names, shipped or the user's own; sooner with that of the
    plan before the edit."""
    return assess(document.plan, limit_set_of(document.plan, document.path), after)


class Session(Keeping):
    """One open plan.

    Attributes:
        document: the plan's text and model
        assessment: of the plan as it is now
        listing: filter and order of the circuits table
        drafts: texts typed into forms that the plan did not take
        typed: the text being typed into a field of a form
        revision: counts every change of plan or assessment
        is_confined: only the plan's own file and new plan files in its folder may be written
        unkept: why what is not saved could not be kept for recovery; empty as long as it can
    """

    def __init__(self, document: PlanDocument) -> None:
        self.document = document
        self.assessment: Assessment = judged(document)
        self.history = History()
        self.listing = Listing()
        self.drafts = Drafts()
        self.typed = TypedText()
        self.revision = 0
        self.is_confined = False
        self._first = document.text
        self._begin_keeping()

    @classmethod
    def open(cls, path: str | os.PathLike[str]) -> Session:
        """Open a plan's file.

        Raises:
            PlanError: The file cannot be read as a plan.
            LimitsError: It names a set of limits that is not on file.
        """
        return cls(PlanDocument.open(path))

    @classmethod
    def of_text(cls, text: str) -> Session:
        """A plan that is on no disk yet; errors as for `open`."""
        return cls(PlanDocument.from_text(text))

    @property
    def plan(self) -> Plan:
        """The plan as it is now."""
        return self.document.plan

    @property
    def title(self) -> str:
        """What the plan is for, else its file's name."""
        path = self.document.path
        return self.plan.vehicle.name or (path.name if path else "new plan")

    @property
    def is_unsaved(self) -> bool:
        """Whether something would be lost that is in no file; a plan without a file counts once it was changed."""
        return self.document.is_changed and (self.document.path is not None or self.document.text != self._first)

    def value(self, path: Path) -> object:
        """What the file says under a path; None where it says nothing."""
        found = get(self.document.snapshot().data, path)
        return None if found is MISSING else found

    def has(self, path: Path) -> bool:
        """Whether the file says anything under a path."""
        return get(self.document.snapshot().data, path) is not MISSING

    @one_step
    def edit(self, words: str, action: Callable[[], object], key: Hashable | None = None,
             moves: Mapping[Path, Path] = NOWHERE) -> None:
        """Change the document by `action`, which moves parts, assess it at once, and make the change undoable.

        Raises:
            EditError: The plan would not hold together or cannot be assessed; nothing is changed.
        """
        before = self.document.snapshot()
        try:
            with self._all_or_nothing():
                action()
                if self.document.snapshot() is not before:
                    self._refresh()
        except EditError:
            raise
        except FuseplanError as error:
            raise EditError(str(error)) from error
        if self.document.snapshot() is not before:
            self.drafts.moved(moves)
            self.history.add(before, words, self.drafts.texts, key, moves)

    @contextmanager
    def _all_or_nothing(self) -> Iterator[None]:
        """Whatever fails within, the document is as it was before: a plan that cannot be assessed is never kept.

        Raises FaultError in place of an error nobody foresaw, which is written down.
        """
        before = copy(self.document)
        try:
            yield
        except FuseplanError:
            self.document = before
            raise
        except Exception as error:
            self.document = before
            raise FaultError(crash_report.not_worked_out(error)) from error

    @one_step
    def rename(self, kind: str, old: str, new: str, name: str | None = None) -> None:
        """Give a part a new id and, if given, a new name in one step; everything that names it follows.

        An empty name takes the name out. Raises EditError.
        """

        def change() -> None:
            self.document.rename(kind, old, new)
            if name or (name is not None and self.has((kind, new, "name"))):
                self.document.change([((kind, new, "name"), name or None)])

        self.edit(f"rename {self.value((kind, old, 'name')) or old}", change, moves={(kind, old): (kind, new)})

    @one_step
    def delete(self, root: Path) -> None:
        """Remove a named part with all that was typed for it; raises EditError while others name it."""
        self.edit(f"delete {self.value((*root, 'name')) or place(root)}", partial(self.document.remove, root))
        self.drafts.forget(root)

    @one_step
    def undo(self, field: Path | None = None) -> str | None:
        """Take back what was typed into a field and not taken by the plan, else the last change, or what was typed
        after it into another field of its form and not taken; its words, None when there is none. Errors as for
        `replace_text`."""
        last = self.history.last
        untaken = None if field is None else self.drafts.last(field, {} if last is None else last.untaken)
        if untaken is not None:
            self.drafts.take(untaken)
            self.typed.end()
            return f"what was typed into {place(untaken)}"
        step = self.history.undo(self.document.snapshot())
        return self._back_to(step, self.history.redo) if step else None

    @one_step
    def redo(self) -> str | None:
        """Do again what was undone last; its words, None when there is none. Errors as for `replace_text`."""
        step = self.history.redo(self.document.snapshot())
        return self._back_to(step, self.history.undo) if step else None

    def _back_to(self, step: Step, other_way: Callable[[Snapshot], object]) -> str:
        try:
            with self._all_or_nothing():
                self.document.restore(step.before)
                self._refresh()
        except FuseplanError:
            other_way(step.before)
            raise
        self.drafts.moved({new: old for old, new in step.moves.items()})
        return step.words

    def _refresh(self) -> None:
        self.assessment = judged(self.document, self.assessment)
        self.revision += 1

    def assess_again(self) -> None:
        """Assess the plan where it went back to what it was before."""
        if self.assessment.plan is not self.document.plan:
            self._refresh()

    def end_typing(self) -> None:
        """What is typed from now on is another text and another step, also in the same field."""
        self.history.seal()
        self.typed.end()

    @one_step
    def replace_text(self, text: str, words: str) -> None:
        """Take another text for the whole plan, undoably.

        Raises:
            PlanError, LimitsError, TableError, FaultError: It is no plan, or cannot be assessed; nothing is changed.
        """
        before = self.document.snapshot()
        with self._all_or_nothing():
            self.document.restore(text)
            self._refresh()
        self.history.add(before, words, self.drafts.texts)

    @one_step
    def save(self, path: str | os.PathLike[str] | None = None, force: bool = False) -> None:
        """Write the plan; raises ChangedOnDisk or StoreError. What was kept for recovery is dropped afterwards."""
        old = self.document.path
        if self.is_confined:
            check_confined(self.document.path, path, force)
        self.document.save(path, force)
        self.end_typing()
        if self.document.path != old:
            self._keep_elsewhere()
        self._forget_kept()
        self.revision += 1

    def confine(self) -> None:
        """From now on save only to the plan's own file and to new plan files in its folder: the screens are shown to
        whoever has the address of a page, and keys alone must not reach the rest of the disk."""
        self.is_confined = True

    @one_step
    def reload(self) -> None:
        """Read the file again and drop what was not saved.

        Raises:
            PlanError, LimitsError, TableError, FaultError: The file is no plan (any more), or cannot be assessed; the
                session is as it was.
        """
        path = self.document.path
        if path is None:
            raise StoreError("this plan has no file yet, so there is nothing to read again")
        with self._all_or_nothing():
            fresh = PlanDocument.open(path)
            self.assessment = judged(fresh)
        self.document = fresh
        self.history.clear()
        self.drafts.clear()
        self._forget_kept()
        self.revision += 1

    @one_step
    def merge(self) -> bool:
        """Take another program's change to the file in beside what was changed here, undoably.

        Returns:
            False where the two changes touch each other; nothing is changed then.
        Raises:
            PlanError, LimitsError, TableError, FaultError: The file cannot be read, or both together cannot be
                assessed; the session is as it was.
        """
        before = self.document.snapshot()
        with self._all_or_nothing():
            if not self.document.merge_disk():
                return False
            self._refresh()
        self.history.add(before, "take in what another program changed", self.drafts.texts)
        return True

    def keep_after_failure(self) -> None:
        """Keep what is not saved, as an error ends the program, and the plan before the last change beside it: that
        change may be what the program failed at. Raises StoreError."""
        last = self.history.last
        typed = tuple(self.drafts.texts.items())
        if last is not None and (self.document.is_changed or typed):
            self.keep(replace(self._keeper.work(self.document.text, typed), before=last.before.text))
        self.keep_for_recovery()

    @property
    def file_words(self) -> str:
        """The plan's file, for questions about it."""
        path: FilePath | None = self.document.path
        return str(path) if path else "no file yet"
