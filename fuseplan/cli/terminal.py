"""What the command line knows of the terminal: encoding, width, colour; and how it prints a failure."""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Callable, Iterator
from typing import TextIO

from fuseplan.errors import FuseplanError, PlanError
from fuseplan.papers.harmless import harmless_lines, shown

PIPED_WIDTH = 100
WIDEST = 160
"""A paragraph wider than this is hard to read."""
NARROWEST = 40

_OURS = f"\x1b{os.urandom(8).hex()}"
"""Stands for the escape character in our own colours until the text is cleaned; no plan can know it."""
_COLOURS = {"danger": "[1;31m", "warning": "[1;33m", "advice": "[36m", "measure": "[35m", "heading": "[1m",
            "ok": "[32m", "fails": "[1;31m", "unknown": "[1;33m"}
_PLAIN = "[0m"


def prepare_streams() -> None:
    """Write UTF-8 whatever the locale says; what cannot be encoded is replaced, never an error."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")


class OutputLost(Exception):
    """The output cannot be written, with the system's reason."""


def drop_stdout() -> None:
    """Send what is left in the output buffer nowhere, so that the exit of the process stays quiet."""
    _drop(sys.stdout)


def _drop(stream: TextIO | None) -> None:
    with contextlib.suppress(OSError, ValueError, AttributeError):
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, stream.fileno())  # type: ignore[union-attr]  # None is suppressed like a stream without number
        os.close(null)


def room() -> int:
    """Columns to write in: those of COLUMNS, else the terminal's, or `PIPED_WIDTH` where there is none."""
    import shutil

    return max(NARROWEST, min(shutil.get_terminal_size((PIPED_WIDTH, 24)).columns, WIDEST))


def is_terminal() -> bool:
    """Whether the output goes to a person's terminal."""
    return sys.stdout is not None and sys.stdout.isatty()


def painter() -> Callable[[str, str], str]:
    """Colour for a terminal that wants it (see no-color.org); words alone for everything else."""
    if not is_terminal() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return lambda text, role: text
    return lambda text, role: f"{_OURS}{_COLOURS[role]}{text}{_OURS}{_PLAIN}" if role in _COLOURS else text


def write(text: str) -> None:
    """Text to the output, control characters spelled out; line ends and the painter's colours alone act.

    Raises:
        OutputLost: It cannot be written, as on a full disk.
        BrokenPipeError: Its reader has gone.
    """
    if sys.stdout is None:
        return
    pieces = [harmless_lines(piece) for piece in text.removesuffix("\n").split(_OURS)]
    with _output():
        sys.stdout.write("\x1b".join(pieces) + "\n")


def flush() -> None:
    """Write out what is buffered; errors as for `write`."""
    if sys.stdout is not None:
        with _output():
            sys.stdout.flush()


@contextlib.contextmanager
def _output() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise OutputLost(error.strerror or str(error)) from None


def complain(text: str) -> None:
    """One line to the error output, control characters spelled out; quietly nothing where that is lost too, as there is
    nobody left to tell."""
    _to_errors(shown(text) + "\n")


def report_error(error: FuseplanError) -> None:
    """An error as one line a problem: ``file:line: what, what is accepted``."""
    for problem in error.problems if isinstance(error, PlanError) else (error,):
        complain(str(problem))


def progress(done: int, whole: int) -> None:
    """How far a long command is, on one line that is gone in the end; nothing unless a person watches."""
    if is_terminal() and sys.stderr is not None and sys.stderr.isatty():
        _to_errors(f"\r{done} of {whole} samples" if done < whole else "\r\x1b[K")


def _to_errors(text: str) -> None:
    if sys.stderr is None:
        return
    try:
        sys.stderr.write(text)
        sys.stderr.flush()
    except OSError:
        _drop(sys.stderr)
