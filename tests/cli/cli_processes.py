"""The surroundings a tested process runs in."""

from __future__ import annotations

import os


def environment(**changes: str) -> dict[str, str]:
    """The environment of a pipe: no width, no colour wishes of the machine the tests run on."""
    kept = {key: value for key, value in os.environ.items()
            if key not in ("COLUMNS", "LINES", "NO_COLOR", "TERM", "PYTHONIOENCODING", "PYTHONUTF8")}
    return kept | changes
