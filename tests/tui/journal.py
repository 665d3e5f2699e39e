"""Runs the program on a plan and notes every state of the plan in a journal, to be compared after a kill.

``python journal.py PLAN JOURNAL``; each line of the journal is a time and the digest of the state from then on.
"""

from __future__ import annotations

import hashlib
import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fuseplan.session.form import Form
from fuseplan.session.session import Session
from fuseplan.store.recovery import Typed


def digest(text: str, typed: Typed) -> str:
    """A state of a plan: its text and what forms hold besides."""
    held = sorted([[list(map(str, path)), words] for path, words in typed])
    return hashlib.sha256(json.dumps([text, held]).encode()).hexdigest()


def main() -> int:
    journal = open(sys.argv[2], "ab", buffering=0)  # noqa: SIM115  # open as long as the program runs

    def noted(method: Callable[..., Any], session: Callable[[Any], Session]) -> Callable[..., Any]:
        def call(self: Any, *args: Any, **kwargs: Any) -> Any:
            try:
                return method(self, *args, **kwargs)
            finally:
                now = session(self)
                state = digest(now.document.text, tuple(now.drafts.texts.items()))
                journal.write(f"{time.time()} {state}\n".encode())
        return call

    for name in ("edit", "rename", "undo", "redo", "reload", "replace_text", "save", "work"):
        setattr(Session, name, noted(getattr(Session, name), lambda self: self))
    for name in ("type_text", "leave", "remove", "move"):
        setattr(Form, name, noted(getattr(Form, name), lambda self: self.session))
    from fuseplan.tui.app import run

    return run(Path(sys.argv[1]))


if __name__ == "__main__":
    sys.exit(main())
