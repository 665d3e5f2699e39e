"""Recovery files: what was not saved yet, kept in the user's state folder in case the program is cut off."""

from __future__ import annotations

import contextlib
import hashlib
import os
from pathlib import Path

from fuseplan.errors import PlanError, StoreError
from fuseplan.store.files import clean_path, read_text, reason, write_atomically


def recovery_file(path: str | os.PathLike[str]) -> Path:
    """Where the recovery file of a plan lies."""
    from platformdirs import user_state_path

    name = hashlib.sha256(os.path.realpath(path).encode("utf-8", "surrogateescape")).hexdigest()[:32]
    return user_state_path("fuseplan") / "recovery" / f"{name}.toml"


def save_recovery(path: str | os.PathLike[str], text: str) -> None:
    """Keep a plan's unsaved text; raises StoreError if the state folder cannot be written."""
    file = recovery_file(path)
    try:
        # What is being planned is nobody else's business.
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"{clean_path(file.parent)}: cannot be made: {reason(error)}") from None
    write_atomically(file, text.encode("utf-8"), mode=0o600)


def pending(path: str | os.PathLike[str]) -> str | None:
    """The kept text, if it is newer than the plan's file and says something else; otherwise None."""
    file = recovery_file(path)
    try:
        kept_at = file.stat().st_mtime_ns
        kept = read_text(file).text
    except (OSError, PlanError):
        return None
    try:
        if os.stat(path).st_mtime_ns > kept_at or read_text(path).text == kept:
            return None
    except (OSError, PlanError):
        # The plan's file is gone or spoilt: just then the kept text is wanted.
        return kept
    return kept


def discard(path: str | os.PathLike[str]) -> None:
    """Forget the kept text; quietly, also when there is none."""
    with contextlib.suppress(OSError):
        recovery_file(path).unlink()
