"""What the command line knows of the terminal: encoding, width, colour; and how it prints a failure."""

from __future__ import annotations

import io
import os
import shutil
import sys
from collections.abc import Callable

from fuseplan.errors import FuseplanError, PlanError

PIPED_WIDTH = 100
WIDEST = 160
"""A paragraph wider than this is hard to read."""
NARROWEST = 40

_ESCAPES = {"danger": "\x1b[1;31m", "warning": "\x1b[1;33m", "advice": "\x1b[36m", "measure": "\x1b[35m",
            "heading": "\x1b[1m", "ok": "\x1b[32m", "fails": "\x1b[1;31m", "unknown": "\x1b[1;33m"}
_PLAIN = "\x1b[0m"


def prepare_streams() -> None:
    """Write UTF-8 whatever the locale says; what cannot be encoded is replaced, never an error."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")


def drop_stdout() -> None:
    """Send what is left in the output buffer nowhere, so that the exit of the process stays quiet."""
    null = os.open(os.devnull, os.O_WRONLY)
    os.dup2(null, sys.stdout.fileno())
    os.close(null)


def room() -> int:
    """Columns to write in: the terminal's, or `PIPED_WIDTH` where there is none."""
    if not is_terminal():
        return PIPED_WIDTH
    return max(NARROWEST, min(shutil.get_terminal_size((PIPED_WIDTH, 24)).columns, WIDEST))


def is_terminal() -> bool:
    """Whether the output goes to a person's terminal."""
    return sys.stdout is not None and sys.stdout.isatty()


def painter() -> Callable[[str, str], str]:
    """Colour for a terminal that wants it (see no-color.org); words alone for everything else."""
    if not is_terminal() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return lambda text, role: text
    return lambda text, role: f"{_ESCAPES[role]}{text}{_PLAIN}" if role in _ESCAPES else text


def write(text: str) -> None:
    """Text to the output, as it is."""
    if sys.stdout is not None:
        sys.stdout.write(text if text.endswith("\n") else text + "\n")


def complain(text: str) -> None:
    """One line to the error output, control characters spelled out."""
    from fuseplan.papers.harmless import shown

    if sys.stderr is not None:
        sys.stderr.write(shown(text) + "\n")


def report_error(error: FuseplanError) -> None:
    """An error as one line a problem: ``file:line: what, what is accepted``."""
    if isinstance(error, PlanError):
        for problem in error.problems:
            complain(str(problem))
    else:
        complain(str(error))
