"""Processes that run one command line each, and their surroundings.

Most are copies of one process that has loaded what every command needs, as loading takes longer than the tests' small
plans do. Each has its own arguments, folder, surroundings and streams, and ends as a process ends.
"""

from __future__ import annotations

import gc
import importlib
import io
import json
import os
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import TextIO

LONGEST_S = 60.0
LOADED = ("fuseplan.cli.running", "fuseplan.planfile.limit_files", "fuseplan.checks.assessment", "fuseplan.papers.text",
          "fuseplan.papers.summary", "fuseplan.papers.json_text")
"""What `check` loads."""


def commands() -> dict[str, ModuleType]:
    """The modules of the commands by their name."""
    from fuseplan.cli.parser import command_modules

    return {name: importlib.import_module(module) for name, module in command_modules().items()}


@dataclass(frozen=True)
class Ran:
    """What a process printed and how it ended."""

    status: int
    out: str
    err: str


Run = Callable[..., Ran]
"""A function that runs a command line."""


def environment(**changes: str) -> dict[str, str]:
    """The environment of a pipe: no kind of terminal."""
    return {key: value for key, value in os.environ.items() if key != "TERM"} | changes


def run_anew(arguments: list[str], folder: Path, surroundings: dict[str, str]) -> Ran:
    """Run a command line in a process that loads everything itself."""
    done = subprocess.run([sys.executable, "-m", "fuseplan", *arguments], cwd=folder, timeout=LONGEST_S,
                          capture_output=True, env=surroundings, stdin=subprocess.DEVNULL, check=False)
    return Ran(done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8"))


class Loaded:
    """A process that has loaded what every command needs, and copies itself for each command line."""

    def __init__(self) -> None:
        self._begun_with = _what_python_looks_at(environment())
        self._ours, theirs = socket.socketpair()
        self._ours.settimeout(LONGEST_S)
        with theirs:
            self._process = subprocess.Popen([sys.executable, __file__, str(theirs.fileno())], env=environment(),
                                             pass_fds=[theirs.fileno()], stdin=subprocess.DEVNULL)

    def run(self, arguments: list[str], folder: Path, surroundings: dict[str, str]) -> Ran:
        """Run a command line in a copy of the process; anew, where the surroundings change how Python itself starts."""
        if _what_python_looks_at(surroundings) != self._begun_with:
            return run_anew(arguments, folder, surroundings)
        with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
            status = self.status_of(arguments, folder, surroundings, out.fileno(), err.fileno())
            texts = [os.pread(file.fileno(), os.fstat(file.fileno()).st_size, 0) for file in (out, err)]
        return Ran(status, texts[0].decode("utf-8"), texts[1].decode("utf-8"))

    def status_of(self, arguments: list[str], folder: Path, surroundings: dict[str, str], out: int, err: int) -> int:
        """How a command line ends in a copy of the process that prints to two files or terminals."""
        request = json.dumps([arguments, str(folder), surroundings]).encode()
        socket.send_fds(self._ours, [len(request).to_bytes(8, "big")], [out, err])
        self._ours.sendall(request)
        return int.from_bytes(_exactly(self._ours, 8), "big", signed=True)

    def close(self) -> None:
        """End it; copies that still run end with it only if they are done."""
        self._ours.close()
        self._process.wait(LONGEST_S)


def _what_python_looks_at(surroundings: dict[str, str]) -> dict[str, str]:
    return {key: value for key, value in surroundings.items() if key.startswith(("PYTHON", "LC_", "LANG"))}


def _exactly(end: socket.socket, count: int) -> bytes:
    found = b""
    while len(found) < count:
        if not (more := end.recv(count - len(found))):
            raise EOFError("the other end has gone")
        found += more
    return found


def _serve(end: socket.socket) -> list[str]:
    """Copy this process for each request; in a copy, everything is set up and its command line returned.

    Raises:
        SystemExit: The other end has gone.
    """
    while True:
        head, streams, _, _ = socket.recv_fds(end, 8, 2)
        if not head:
            sys.exit(0)
        head += _exactly(end, 8 - len(head)) if len(head) < 8 else b""
        arguments, folder, surroundings = json.loads(_exactly(end, int.from_bytes(head, "big")))
        copy = os.fork()
        if copy == 0:
            end.close()
            os.dup2(streams[0], 1)
            os.dup2(streams[1], 2)
            for stream in streams:
                os.close(stream)
            sys.stdout = sys.__stdout__ = _opened_anew(1, sys.stdout)
            sys.stderr = sys.__stderr__ = _opened_anew(2, sys.stderr)
            os.chdir(folder)
            os.environ.clear()
            os.environ.update(surroundings)
            return arguments
        for stream in streams:
            os.close(stream)
        _, ended = os.waitpid(copy, 0)
        end.sendall(os.waitstatus_to_exitcode(ended).to_bytes(8, "big", signed=True))


def _opened_anew(number: int, before: TextIO) -> TextIO:
    """A stream as Python opens it at start: it knows whether it writes to a terminal, a pipe or a file."""
    return io.TextIOWrapper(open(number, "wb", closefd=False), before.encoding, before.errors,
                            line_buffering=number == 2 or os.isatty(number))


if __name__ == "__main__":
    # Started by itself, the program finds nothing in the folder of this file.
    del sys.path[0]
    from fuseplan.cli.main import main

    for name in LOADED:
        importlib.import_module(name)
    # No copy looks through for garbage what all have.
    gc.freeze()
    sys.argv[1:] = _serve(socket.socket(fileno=int(sys.argv[1])))
    sys.exit(main())
