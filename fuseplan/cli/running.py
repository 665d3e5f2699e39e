"""Runs one command line: finds the command, and turns whatever ends it into a sentence and an exit status."""

from __future__ import annotations

import gc
import os
import signal
import sys
from collections.abc import Sequence
from pathlib import Path
from types import FrameType

from fuseplan.cli.exit_status import AFTER_SIGNAL, INTERRUPTED, PIPE_CLOSED, PROGRAM_ERROR, REFUSED
from fuseplan.cli.parser import command_modules, current, parser
from fuseplan.cli.terminal import OutputLost, complain, drop_stdout, flush, prepare_streams, report_error
from fuseplan.errors import FuseplanError

__all__ = ["INTERRUPTED", "run"]


class Ended(BaseException):
    """The process was told to end by a signal; what it holds open is closed on the way out."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


_ended_by: int | None = None
"""Number of the signal that told the process to end. Code that is interrupted may answer with an error of its own."""


ONE_ASSESSMENT = ("check", "explain")
"""Commands that assess one plan, print and end: looking for garbage takes them a tenth of their time and finds none."""


def _collect_again() -> None:
    """Let the garbage collector run, which rests while the program is loaded: what is loaded by now stays."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()


def run(arguments: Sequence[str] | None) -> int:
    """Run one command; returns its exit status. Left out, `arguments` are the process's own."""
    own = arguments is None
    if own:
        _answer_signals()
        gc.disable()
        # Or pydantic reads the entry points of every installed package, and runs the plugins it finds in the models.
        os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
        # Or numpy starts a thread for each core, for products of matrices far larger than any made here.
        os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    prepare_streams()
    try:
        return _run(sys.argv[1:] if arguments is None else list(arguments))
    except KeyboardInterrupt:
        return INTERRUPTED
    except Ended as ended:
        return AFTER_SIGNAL + ended.number
    finally:
        if own:
            _end_at_once()


def _run(arguments: list[str]) -> int:
    try:
        try:
            status = _dispatch(arguments)
        except SystemExit as stop:
            # argparse leaves this way after --help, --version and wrong arguments.
            status = stop.code if isinstance(stop.code, int) else REFUSED
        flush()
    except FuseplanError as error:
        report_error(error)
        status = REFUSED
    except BrokenPipeError:
        drop_stdout()
        status = PIPE_CLOSED
    except OutputLost as error:
        drop_stdout()
        complain(f"fuseplan: cannot write the output: {error}")
        status = REFUSED
    except Exception as error:
        if _ended_by is not None:
            status = AFTER_SIGNAL + _ended_by
        else:
            _report_program_error(error)
            status = PROGRAM_ERROR
    return status


def _report_program_error(error: Exception) -> None:
    if isinstance(error, MemoryError):
        complain("fuseplan: out of memory; do not rely on anything printed above")
        return
    from fuseplan.planfile.crash_report import details, named

    said = f"fuseplan: an error in the program ({named(error)}); do not rely on anything printed above{details(error)}"
    for line in said.splitlines():
        complain(line)


def _answer_signals() -> None:
    """Let the signals that end a process end it in order. One that was ignored from the start stays ignored."""
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) != signal.SIG_IGN:
            signal.signal(number, _told_to_end)


def _told_to_end(number: int, frame: FrameType | None) -> None:
    global _ended_by
    _ended_by = number
    raise KeyboardInterrupt if number == signal.SIGINT else Ended(number)


def _end_at_once() -> None:
    """Everything is done: a signal from now on finds nothing that has to be closed first, and what is left in memory is
    given back with the process, not looked through for garbage before."""
    gc.freeze()
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is _told_to_end:
            signal.signal(number, signal.SIG_DFL)


def _dispatch(arguments: list[str]) -> int:
    if not arguments:
        return _screens(None)
    arguments = current(arguments)
    first = arguments[0]
    if first == "--" and len(arguments) > 1:
        return _plan(arguments[1], arguments[2:])
    if first.startswith("-") or first in command_modules():
        args = parser(None if first.startswith("-") else first).parse_args(arguments)
        if args.command not in ONE_ASSESSMENT:
            _collect_again()
        status: int = args.run(args)
        return status
    return _plan(first, arguments[1:])


def _plan(name: str, rest: list[str]) -> int:
    """``fuseplan PLAN``: a file opens in the screens; anything else is explained."""
    if not os.path.lexists(name):
        if name.endswith(".toml") or os.sep in name:
            complain(f"{name}: there is no such file; accepted is the path of a plan; "
                     f"`fuseplan new {name}` starts one")
            return REFUSED
        import difflib

        near = difflib.get_close_matches(name, list(command_modules()), n=1)
        hint = f"the nearest command is '{near[0]}'" if near else f"commands are {', '.join(command_modules())}"
        complain(f"fuseplan: '{name}' is neither a command nor a file; {hint}; see fuseplan --help")
        return REFUSED
    if rest:
        complain(f"fuseplan: '{rest[0]}' after the plan is one argument too many; accepted is fuseplan PLAN, "
                 f"or a command before it: fuseplan check {name}")
        return REFUSED
    return _screens(Path(name))


def _screens(path: Path | None) -> int:
    if not (sys.stdin is not None and sys.stdin.isatty() and sys.stdout is not None and sys.stdout.isatty()):
        complain("fuseplan: the screens need a terminal; accepted without one is fuseplan check PLAN, "
                 "which prints the assessment")
        return REFUSED
    if sys.platform != "win32" and os.environ.get("TERM", "dumb") in ("dumb", "unknown", ""):
        complain("fuseplan: the screens need a terminal that can place its cursor, and TERM does not name one; "
                 "accepted without is fuseplan check PLAN, which prints the assessment")
        return REFUSED
    from fuseplan.tui.app import run

    _collect_again()
    return run(path)
