"""The part of a session that keeps what is not saved, in case the program is cut off."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

from fuseplan.errors import StoreError
from fuseplan.planfile import recovery
from fuseplan.planfile.autosave import Autosave
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.recovery import Keeper, Kept, Typed, Work
from fuseplan.workspace.drafts import Drafts


class Keeping:
    """What a session knows of recovery; `document` and `drafts` are the session's."""

    document: PlanDocument
    drafts: Drafts
    unkept: str

    def _begin_keeping(self) -> None:
        self.unkept = ""
        self._keeper = Keeper(self.document.path)
        self._kept: tuple[str, Typed] = (self.document.text, ())
        self._offered: tuple[str, Typed] = self._kept
        self._autosave: Autosave | None = None
        self._depth = 0

    @contextlib.contextmanager
    def whole(self) -> Iterator[None]:
        """Steps that belong together: only what they leave in the end is kept for recovery."""
        self._depth += 1
        try:
            yield
        finally:
            self._depth -= 1
            if not self._depth:
                self.offer()

    def work(self) -> Work | None:
        """What is to be kept for recovery now; None when it is kept already."""
        typed: Typed = tuple(self.drafts.texts.items())
        if (self.document.text, typed) == self._kept:
            return None
        return self._keeper.work(self.document.text, typed)

    def keep(self, work: Work) -> bool:
        """Keep work for recovery; may be called from another thread. False when it failed; `unkept` says why."""
        try:
            if work.text != self.document.base or work.typed:
                done = self._keeper.keep(work)
            else:
                done = self._keeper.clear(work)
        except StoreError as error:
            self.unkept = str(error)
            return False
        self.unkept = ""
        if done:
            self._kept = (work.text, work.typed)
        return True

    def start_autosave(self) -> None:
        """Keep every change for recovery from now on as soon as it is made, in a thread of its own."""
        if self._autosave is None:
            self._autosave = Autosave(self.keep)

    def offer(self) -> None:
        """Hand what is to be kept to the thread, if it is another than was handed to it last."""
        state = (self.document.text, tuple(self.drafts.texts.items()))
        if self._autosave is not None and state != self._offered:
            self._offered = state
            self._autosave.offer(self._keeper.work(*state))

    @property
    def behind_s(self) -> float:
        """How old the oldest change is that is neither saved nor kept for recovery, in seconds; 0 where all is."""
        return 0.0 if self._autosave is None else self._autosave.behind_s()

    def keep_for_recovery(self) -> None:
        """Keep what is not saved now, if it changed since the last time; raises StoreError."""
        work = self.work()
        if work is not None:
            self.keep(work)
        if self.unkept:
            raise StoreError(self.unkept)

    def left_behind(self) -> list[Kept]:
        """What ended sessions on this plan left unsaved, the latest first."""
        return recovery.left_behind(self.document.path)

    def drop_recovery(self) -> None:
        """Forget what this session kept for recovery, as it ends by choice."""
        self._keeper.drop()

    def close(self) -> None:
        """End the session; what is kept for recovery is offered to the next one."""
        if self._autosave is not None:
            self._autosave.close()
            self._autosave = None
        self._keeper.close()

    def _forget_kept(self) -> None:
        """The text is in its file now; what forms hold besides is still in none."""
        if self.drafts.texts:
            self.keep(self._keeper.work(self.document.text, tuple(self.drafts.texts.items())))
        else:
            self._keeper.drop()
            self._kept = self._offered = (self.document.text, ())

    def _keep_elsewhere(self) -> None:
        """The plan has another file now, and what is kept belongs to that."""
        self._keeper.drop()
        self._keeper.close()
        self._keeper = Keeper(self.document.path)
