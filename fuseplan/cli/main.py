"""The console script: ``fuseplan``, ``fuseplan PLAN``, ``fuseplan COMMAND …``."""

from __future__ import annotations

import difflib
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from fuseplan.cli.parser import commands, parser
from fuseplan.cli.terminal import complain, drop_stdout, prepare_streams, report_error
from fuseplan.errors import FuseplanError

WRONG = 2
INTERRUPTED = 130
PIPE_CLOSED = 141


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status.

    0 nothing above advice, 1 findings, 2 a plan that cannot be read or wrong arguments; 130 after Ctrl-C and 141
    after the reader of a pipe has gone, as shells count signals.
    """
    prepare_streams()
    try:
        status = _dispatch(list(sys.argv[1:] if arguments is None else arguments))
        _flush()
    except FuseplanError as error:
        report_error(error)
        status = WRONG
    except KeyboardInterrupt:
        status = INTERRUPTED
    except BrokenPipeError:
        drop_stdout()
        status = PIPE_CLOSED
    except SystemExit as stop:
        # argparse leaves this way after --help, --version and wrong arguments.
        status = stop.code if isinstance(stop.code, int) else WRONG
        _flush_quietly()
    except OSError as error:
        drop_stdout()
        complain(f"fuseplan: cannot write the output: {error.strerror or error}")
        status = WRONG
    return status


def _flush() -> None:
    if sys.stdout is not None:
        sys.stdout.flush()


def _flush_quietly() -> None:
    try:
        _flush()
    except OSError:
        drop_stdout()


def _dispatch(arguments: list[str]) -> int:
    if not arguments:
        return _screens(None)
    first = arguments[0]
    if first == "--" and len(arguments) > 1:
        return _plan(arguments[1], arguments[2:])
    if first.startswith("-") or first in commands():
        args = parser().parse_args(arguments)
        status: int = args.run(args)
        return status
    return _plan(first, arguments[1:])


def _plan(name: str, rest: list[str]) -> int:
    """``fuseplan PLAN``: a file opens in the screens; anything else is explained."""
    if not os.path.lexists(name):
        if name.endswith(".toml") or os.sep in name:
            complain(f"{name}: there is no such file; accepted is the path of a plan; "
                     f"`fuseplan new {name}` starts one")
            return WRONG
        near = difflib.get_close_matches(name, list(commands()), n=1)
        hint = f"the nearest command is '{near[0]}'" if near else f"commands are {', '.join(commands())}"
        complain(f"fuseplan: '{name}' is neither a command nor a file; {hint}; see fuseplan --help")
        return WRONG
    if rest:
        complain(f"fuseplan: '{rest[0]}' after the plan is one argument too many; accepted is fuseplan PLAN, "
                 f"or a command before it: fuseplan check {name}")
        return WRONG
    return _screens(Path(name))


def _screens(path: Path | None) -> int:
    if not (sys.stdin is not None and sys.stdin.isatty() and sys.stdout is not None and sys.stdout.isatty()):
        complain("fuseplan: the screens need a terminal; accepted without one is fuseplan check PLAN, "
                 "which prints the assessment")
        return WRONG
    if sys.platform != "win32" and os.environ.get("TERM", "dumb") in ("dumb", "unknown", ""):
        complain("fuseplan: the screens need a terminal that can place its cursor, and TERM does not name one; "
                 "accepted without is fuseplan check PLAN, which prints the assessment")
        return WRONG
    from fuseplan.tui.app import run

    return run(path)
