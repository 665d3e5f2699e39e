"""The surroundings a tested process runs in."""

from __future__ import annotations

import os


def environment(**changes: str) -> dict[str, str]:
    """The environment of a pipe: no kind of terminal."""
    return {key: value for key, value in os.environ.items() if key != "TERM"} | changes
