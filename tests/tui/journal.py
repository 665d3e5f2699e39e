"""Runs the program on a plan and notes in a journal what it took and what it kept, to be compared after a kill.

``python -m tests.tui.journal PLAN JOURNAL``; each line of the journal is a word and the digest of a state: ``taken``
when the program has it, ``kept`` when it says that it is safe on the disk, in the recovery file or in the plan's own.
"""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.recovery import Keeper, Typed, Work
from fuseplan.workspace.form import Form
from fuseplan.workspace.session import Session


def digest(text: str, typed: Typed) -> str:
    """A state of a plan: its text and what forms hold besides."""
    held = sorted([[list(map(str, path)), words] for path, words in typed])
    return hashlib.sha256(json.dumps([text, held]).encode()).hexdigest()


def main() -> int:
    journal = open(sys.argv[2], "ab", buffering=0)  # noqa: SIM115  # open as long as the program runs

    def note(word: str, text: str, typed: Typed) -> None:
        journal.write(f"{word} {digest(text, typed)}\n".encode())

    def taken(method: Callable[..., Any], session: Callable[[Any], Session]) -> Callable[..., Any]:
        def call(self: Any, *args: Any, **kwargs: Any) -> Any:
            try:
                return method(self, *args, **kwargs)
            finally:
                now = session(self)
                note("taken", now.document.text, tuple(now.drafts.texts.items()))
        return call

    def kept(method: Callable[[Keeper, Work], bool]) -> Callable[[Keeper, Work], bool]:
        def call(self: Keeper, work: Work) -> bool:
            done = method(self, work)
            if done:
                note("kept", work.text, work.typed)
            return done
        return call

    def saved(method: Callable[..., None]) -> Callable[..., None]:
        def call(self: PlanDocument, *args: Any, **kwargs: Any) -> None:
            note("taken", self.text, ())
            method(self, *args, **kwargs)
            note("kept", self.text, ())
        return call

    def offered(method: Callable[[Session], None]) -> Callable[[Session], None]:
        def call(self: Session) -> None:
            # Noted first: the thread that keeps it does not wait.
            note("taken", self.document.text, tuple(self.drafts.texts.items()))
            method(self)
        return call

    for name in ("edit", "rename", "undo", "redo", "reload", "replace_text", "save"):
        setattr(Session, name, taken(getattr(Session, name), lambda self: self))
    for name in ("type_text", "leave", "remove", "move"):
        setattr(Form, name, taken(getattr(Form, name), lambda self: self.session))
    for name in ("keep", "clear"):
        setattr(Keeper, name, kept(getattr(Keeper, name)))
    Session.offer = offered(Session.offer)  # type: ignore[method-assign]
    PlanDocument.save = saved(PlanDocument.save)  # type: ignore[method-assign]
    from fuseplan.tui.app import run

    return run(Path(sys.argv[1]))


if __name__ == "__main__":
    sys.exit(main())
