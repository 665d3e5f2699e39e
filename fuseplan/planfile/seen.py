"""What a user has seen and need not be shown again, kept in the user's state folder."""

from __future__ import annotations

import contextlib
from pathlib import Path


def _file(what: str) -> Path:
    from platformdirs import user_state_path

    return user_state_path("fuseplan") / f"seen_{what}"


def was_seen(what: str) -> bool:
    """Whether it was marked as seen."""
    return _file(what).exists()


def mark_seen(what: str) -> None:
    """Remember that it was seen; quietly nothing where the folder cannot be written."""
    file = _file(what)
    with contextlib.suppress(OSError):
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        file.touch()
