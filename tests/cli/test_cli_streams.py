"""Pipes, locales, terminals, Ctrl-C."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import termios
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from threading import Thread

import pytest
from cli_processes import Loaded, environment

from fuseplan.cli import main as program
from fuseplan.cli.commands import check

SETS_COLOUR = "\x1b["


def _start(*arguments: str | Path, **streams) -> subprocess.Popen[bytes]:
    return subprocess.Popen([sys.executable, "-m", "fuseplan", *map(str, arguments)],
                            **{"stderr": subprocess.PIPE, "env": environment()} | streams)


def test_a_reader_that_goes_away_is_no_error(small):
    process = _start("check", small, "--json", stdout=subprocess.PIPE)
    process.stdout.close()
    assert process.wait(60) == 141
    assert process.stderr.read() == b""


def test_a_reader_that_goes_away_from_help(tmp_path: Path):
    process = _start("--help", stdout=subprocess.PIPE)
    process.stdout.close()
    process.wait(60)
    assert process.stderr.read() == b""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
def test_a_full_disk_is_said(small):
    with open("/dev/full", "wb") as full:
        process = _start("check", small, stdout=full)
        err = process.communicate(timeout=60)[1].decode()
    assert process.returncode == 2
    assert "cannot write" in err
    assert "Traceback" not in err
    assert len(err.splitlines()) == 1


def test_closed_output(small):
    done = subprocess.run(f"'{sys.executable}' -m fuseplan check '{small}' >&-", shell=True, capture_output=True,
                          timeout=60, check=False, env=environment())
    assert b"Traceback" not in done.stderr
    assert done.returncode in (1, 2)


def test_utf_8_whatever_the_locale(fuseplan, small):
    for changes in ({"LC_ALL": "C"}, {"LC_ALL": "POSIX", "PYTHONUTF8": "0"}, {"PYTHONIOENCODING": "latin-1"}):
        ran = fuseplan("check", small, "--full", **changes)
        assert "mm²" in ran.out
        assert "✗ FAILS" in ran.out


def test_ctrl_c_is_quiet(monkeypatch, capsys, small):
    def interrupted(args):
        raise KeyboardInterrupt

    monkeypatch.setattr(check, "run", interrupted)
    assert program.main(["check", str(small)]) == 130
    assert capsys.readouterr() == ("", "")


@pytest.fixture
def in_terminal(loaded: Loaded, tmp_path: Path) -> Callable[..., tuple[int, str]]:
    """Exit status and output of a command line whose output is a terminal of so many columns."""

    def run(columns: int, *arguments: str | Path, **changes: str) -> tuple[int, str]:
        ours, theirs = pty.openpty()
        termios.tcsetwinsize(theirs, (24, columns))
        pieces: list[bytes] = []
        reading = Thread(target=lambda: pieces.extend(_read_to_the_end(ours)))
        reading.start()
        with open(os.devnull, "wb") as nowhere:
            status = loaded.status_of([*map(str, arguments)], tmp_path, environment(**changes), theirs,
                                      nowhere.fileno())
        os.close(theirs)
        reading.join()
        os.close(ours)
        return status, b"".join(pieces).decode("utf-8").replace("\r\n", "\n")

    return run


def _read_to_the_end(terminal: int) -> Iterator[bytes]:
    with suppress(OSError):
        while piece := os.read(terminal, 65536):
            yield piece


def test_colour_only_on_a_terminal_that_wants_it(small, in_terminal):
    status, coloured = in_terminal(120, "check", small, "--full", TERM="xterm-256color")
    assert status == 1
    assert SETS_COLOUR in coloured
    for changes in ({"TERM": "dumb"}, {"TERM": "xterm", "NO_COLOR": "1"}):
        plain = in_terminal(120, "check", small, "--full", **changes)[1]
        assert SETS_COLOUR not in plain
        # Nothing is said by colour alone.
        stripped = coloured
        for code in ("\x1b[1;31m", "\x1b[1;33m", "\x1b[36m", "\x1b[35m", "\x1b[1m", "\x1b[32m", "\x1b[0m"):
            stripped = stripped.replace(code, "")
        assert stripped == plain


@pytest.mark.one_in(3)
@pytest.mark.parametrize("full", [(), ("--full",)])
@pytest.mark.parametrize("columns", [60, 80, 200])
def test_lines_fit_the_terminal(columns, full, small, in_terminal):
    out = in_terminal(columns, "check", small, *full, TERM="dumb")[1]
    assert "Radiator fan" in out.replace("\n", " ")
    assert max(map(len, out.splitlines())) <= columns


def test_the_screens_need_a_terminal(fuseplan, small):
    for arguments in ((), (small,), ("--", small)):
        ran = fuseplan(*arguments)
        assert (ran.status, ran.out) == (2, "")
        assert "fuseplan check" in ran.err


@pytest.mark.parametrize("arguments", [(), ("--json",), ("--circuit", "=cmd()")])
def test_text_from_the_file_never_acts(arguments, fuseplan, hostile):
    ran = fuseplan("check", hostile, *arguments)
    assert ran.status == 1
    for line in (ran.out + ran.err).splitlines():
        assert line.isprintable(), line
    assert "[red]markup[/]" in ran.out
    assert "\\x1b[31mred" in ran.out or "\\u001b[31mred" in ran.out


def test_text_from_the_file_never_acts_on_a_terminal(hostile, in_terminal):
    status, out = in_terminal(200, "check", hostile, TERM="dumb")
    assert (status, "[red]markup[/]" in out) == (1, True)
    assert all(line.isprintable() for line in out.splitlines())


def test_no_cell_is_run_by_a_spreadsheet(fuseplan, hostile, tmp_path: Path):
    import csv

    ran = fuseplan("check", hostile, "--csv", "lists")
    assert all(line.isprintable() for line in ran.err.splitlines())
    looked_at = guarded = 0
    for file in (tmp_path / "lists").iterdir():
        for row in csv.reader(file.open(encoding="utf-8", newline="")):
            for cell in row:
                looked_at += 1
                guarded += cell.startswith(("'=", "'+", "'-", "'@"))
                if cell.startswith(("=", "+", "-", "@", "\t", "\r")):
                    float(cell)
                assert cell.isprintable()
    assert looked_at > 50
    assert guarded > 3
