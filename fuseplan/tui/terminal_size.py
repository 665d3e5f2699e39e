"""The size of the screens is that of the terminal, whatever the environment says."""

from __future__ import annotations

import contextlib
import os
import sys

STATED = ("COLUMNS", "LINES")


def forget_stated_size() -> None:
    """Drop the size an environment states, where the terminal tells its own.

    Some shells and containers export it once. Textual would go by it for ever, and the screens would no longer follow
    the window.
    """
    with contextlib.suppress(OSError, ValueError):
        if sys.__stdout__ is not None and all(os.get_terminal_size(sys.__stdout__.fileno())):
            for name in STATED:
                os.environ.pop(name, None)
