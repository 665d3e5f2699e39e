"""However a command ends, its status says how, and nothing but sentences reaches the screen."""

from __future__ import annotations

import errno
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from cli_processes import commands, environment

from fuseplan.cli import main as program
from fuseplan.cli import terminal
from fuseplan.cli.exit_status import COMMON, EXIT_STATUS, PROGRAM_ERROR

ARGUMENTS = {"cautions": [], "check": ["PLAN"], "checks": [], "circuits": [], "compare-limits": ["PLAN"],
             "bench": ["PLAN"], "compare": ["PLAN", "PLAN"], "explain": ["PLAN"], "export": ["PLAN"],
             "import": ["PLAN", "PLAN"], "looms": ["PLAN"], "papers": ["PLAN"],
             "new": ["new.toml"], "power": ["PLAN"], "propose": ["PLAN"], "protect": ["PLAN"], "schema": ["plan"],
             "serve": ["PLAN"], "terms": [], "upgrade": ["PLAN"]}
ERRORS = (ZeroDivisionError("division by zero"), RecursionError("too deep\nand a \x1b[31msecond line"), MemoryError(),
          KeyError("fan"), OSError(errno.EIO, "Input/output error"), AssertionError())


@pytest.fixture(autouse=True)
def _own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def arguments_of(command: str, plan: Path) -> list[str]:
    return [command, *(str(plan) if each == "PLAN" else each for each in ARGUMENTS[command])]


def test_every_command_is_tried():
    assert ARGUMENTS.keys() == commands().keys()


@pytest.mark.one_in(5)
@pytest.mark.usefixtures("faults")
@pytest.mark.parametrize("command", ARGUMENTS)
@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
def test_an_error_in_the_program_never_looks_like_findings(command, error, monkeypatch, capsys, small, tmp_path):
    def wrong(args):
        raise error

    monkeypatch.setattr(commands()[command], "run", wrong)
    assert program.main(arguments_of(command, small)) == PROGRAM_ERROR
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.splitlines()) == 1
    assert err.rstrip("\n").isprintable()
    assert "do not rely on anything printed above" in err
    report = tmp_path / "state" / "fuseplan" / "last_failure.txt"
    if not isinstance(error, MemoryError):
        assert str(report) in err
        assert f"{type(error).__name__}" in report.read_text()
        assert "Traceback" in report.read_text()


def test_the_traceback_is_printed_where_it_is_asked_for(monkeypatch, capsys, small):
    monkeypatch.setenv("FUSEPLAN_DEBUG", "1")
    monkeypatch.setattr(commands()["check"], "run", lambda args: 1 // 0)
    assert program.main(["check", str(small)]) == PROGRAM_ERROR
    err = capsys.readouterr().err
    assert "Traceback (most recent call last)" in err
    assert "ZeroDivisionError" in err


@pytest.mark.usefixtures("faults")
def test_a_report_that_cannot_be_written_is_no_second_error(monkeypatch, capsys, small, tmp_path):
    (tmp_path / "blocked").write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "blocked"))
    monkeypatch.setattr(commands()["check"], "run", lambda args: 1 // 0)
    assert program.main(["check", str(small)]) == PROGRAM_ERROR
    assert len(capsys.readouterr().err.splitlines()) == 1


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="needs Linux")
def test_memory_that_runs_out_is_said(small):
    """As a real process whose memory is bounded while it works."""
    script = ("import resource, sys\n"
              "from fuseplan.cli.commands import check\n"
              "from fuseplan.cli.main import main\n"
              "def greedy(args):\n"
              "    most = 2**26 + 4096 * int(open('/proc/self/statm').read().split()[0])\n"
              "    resource.setrlimit(resource.RLIMIT_AS, (most, most))\n"
              "    return len([bytearray(2**20) for _ in range(4096)])\n"
              "check.run = greedy\n"
              "sys.exit(main())\n")
    done = subprocess.run([sys.executable, "-c", script, "check", small], capture_output=True, env=environment(),
                          timeout=60, check=False)
    assert (done.returncode, done.stdout) == (PROGRAM_ERROR, b"")
    assert done.stderr.decode().splitlines() == ["fuseplan: out of memory; do not rely on anything printed above"]


WHILE_LOADING = """
import os, signal, sys
class Loading:
    left, told = int(sys.argv.pop(1)), getattr(signal, sys.argv.pop(1))
    def find_spec(self, name, path=None, target=None):
        Loading.left -= 1
        if Loading.left == 0:
            os.kill(os.getpid(), Loading.told)
        return None
from fuseplan.cli.main import main
sys.meta_path.insert(0, Loading())
sys.exit(main())
"""


@pytest.mark.parametrize("nth", [1, 3, 20, 90])
def test_ctrl_c_while_the_program_is_loading_is_silent(nth, small):
    done = subprocess.run([sys.executable, "-c", WHILE_LOADING, str(nth), "SIGINT", "check", small],
                          capture_output=True, env=environment(), timeout=60, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")


def start_slow(*arguments: str | Path, **streams) -> subprocess.Popen[bytes]:
    """A command that says when it works and then takes its time."""
    script = ("import sys, time\n"
              "from fuseplan.cli.commands import check\n"
              "from fuseplan.cli.main import main\n"
              "def slow(args):\n"
              "    try:\n"
              "        sys.stderr.write('working'); sys.stderr.flush()\n"
              "        time.sleep(60)\n"
              "    finally:\n"
              "        sys.stderr.write(' closed')\n"
              "check.run = slow\n"
              "sys.exit(main())\n")
    return subprocess.Popen([sys.executable, "-c", script, *map(str, arguments)], stdout=subprocess.PIPE,
                            stderr=subprocess.PIPE, env=environment(), **streams)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_a_command_in_order(number, small):
    process = start_slow("check", small)
    assert process.stderr.read(7) == b"working"
    process.send_signal(number)
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out, err) == (128 + number, b"", b" closed")


def test_a_signal_ignored_from_the_start_stays_ignored(small):
    """As under nohup."""
    process = start_slow("check", small, preexec_fn=lambda: signal.signal(signal.SIGHUP, signal.SIG_IGN))
    assert process.stderr.read(7) == b"working"
    process.send_signal(signal.SIGHUP)
    time.sleep(0.1)
    assert process.poll() is None
    process.send_signal(signal.SIGTERM)
    process.communicate(timeout=60)
    assert process.returncode == 143


@pytest.mark.one_in(3)
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["check", "--help"], ["cautions"], ["schema", "plan"],
                                       ["check", "PLAN", "--json"]])
def test_output_that_is_lost_is_said(arguments, small):
    arguments = [str(small) if each == "PLAN" else each for each in arguments]
    with open("/dev/full", "wb") as full:
        done = subprocess.run([sys.executable, "-m", "fuseplan", *arguments], stdout=full, stderr=subprocess.PIPE,
                              env=environment(), timeout=60, check=False)
    assert done.returncode == 2
    assert done.stderr.decode() == "fuseplan: cannot write the output: No space left on device\n"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
def test_complaints_that_are_lost_change_no_status(small):
    with open("/dev/full", "wb") as full:
        for arguments, status in ((["check", str(small)], 1), (["check", "missing.toml"], 2), (["chek"], 2)):
            done = subprocess.run([sys.executable, "-m", "fuseplan", *arguments], stdout=subprocess.DEVNULL,
                                  stderr=full, env=environment(), timeout=60, check=False)
            assert done.returncode == status, arguments


@pytest.mark.parametrize("arguments", [["check", "PLAN"], ["check", "plan.toml"], ["new", "plan.toml"],
                                       ["power", "PLAN", "--svg", "a.svg"], ["check", "PLAN", "--csv", "lists"]])
def test_a_removed_working_folder_is_no_error_in_the_program(arguments, tmp_path, monkeypatch, capsys, small):
    (tmp_path / "gone").mkdir()
    monkeypatch.chdir(tmp_path / "gone")
    (tmp_path / "gone").rmdir()
    assert program.main([str(small) if each == "PLAN" else each for each in arguments]) in (1, 2)
    assert "error in the program" not in capsys.readouterr().err


@pytest.mark.one_in(3, first=2)
@pytest.mark.parametrize("columns", ["1", "0", "-5", "nonsense", "20"])
def test_a_narrow_terminal_is_no_error(columns, monkeypatch, capsys, small):
    monkeypatch.setenv("COLUMNS", columns)
    monkeypatch.setattr(terminal, "is_terminal", lambda: True)
    for arguments in (["--help"], ["check", "--help"], ["check", str(small)], ["power", str(small)], ["cautions"]):
        assert program.main(arguments) in (0, 1)
        out, err = capsys.readouterr()
        assert out
        assert err == ""


def test_every_status_is_told(capsys):
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    assert program.main(["--help"]) == 0
    # A terminal breaks the lines of help where it has to.
    assert " ".join(EXIT_STATUS.split()) in " ".join(capsys.readouterr().out.split())
    for command in commands():
        assert program.main([command, "--help"]) == 0
        told = EXIT_STATUS if command == "check" else COMMON
        assert " ".join(told.split()) in " ".join(capsys.readouterr().out.split())
    for status in ("0", "1", "2", "70", "130", "141", "129", "143"):
        assert status in readme.partition("Exit status")[2].partition("##")[0]
