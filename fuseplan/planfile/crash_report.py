"""What is left of an error nobody foresaw: one sentence for the user, the traceback for whoever mends it."""

from __future__ import annotations

import os
import traceback
from pathlib import Path

from fuseplan.errors import StoreError
from fuseplan.planfile.files import clean_path
from fuseplan.planfile.write import write_atomically

DEBUG = "FUSEPLAN_DEBUG"
"""Environment variable; set to anything, the traceback is printed where the sentence is."""


def named(error: BaseException) -> str:
    """Kind and first line of an error: ``KeyError: 'fan'``."""
    said = f"{type(error).__name__}: {error}".partition("\n")[0]
    return clean_path(said) if len(said) <= 200 else f"{clean_path(said[:200])}…"


def details(error: BaseException) -> str:
    """The end of the sentence: where the traceback is, or the traceback itself where `DEBUG` is set."""
    text = "".join(traceback.format_exception(error))
    if os.environ.get(DEBUG):
        return f"\n{text}"
    file = write_report(text)
    return "" if file is None else f"; what happened is written down in {clean_path(file)}"


def not_worked_out(error: BaseException) -> str:
    """The sentence on something the program failed at and goes on without."""
    return f"This cannot be worked out: an error in the program ({named(error)}){details(error)}"


def write_report(text: str) -> Path | None:
    """Write down how the program failed, over the last report; where that is, None if it cannot be written."""
    from platformdirs import user_state_path

    file = user_state_path("fuseplan") / "last_failure.txt"
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        write_atomically(file, text.encode("utf-8", "replace"), mode=0o600)
    except (OSError, StoreError):
        return None
    return file
