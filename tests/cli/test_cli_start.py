"""Start-up imports nothing heavy."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from cli_processes import environment, run_anew

HEAVY = ("pandas", "numpy.ma", "scipy.sparse", "scipy.linalg", "textual", "plotext", "rich", "tomlkit", "networkx",
         "matplotlib")
REPORT = f"""
import json, sys
from fuseplan.cli.main import main
ended = [main(arguments) for arguments in json.loads(sys.argv[1])]
sys.stderr.write(json.dumps([ended, [name for name in {HEAVY!r} if name in sys.modules]]))
"""


@pytest.mark.parametrize(("commands", "statuses", "but"), [
    ([["check", "PLAN"], ["check", "PLAN", "--json"], ["check", "PLAN", "--circuit", "fan"], ["cautions"], ["--help"]],
     [1, 1, 1, 0, 0], []),
    # The library keeps its files' comments, so reading it needs the parser that does.
    ([["circuits"]], [0], ["tomlkit"])])
def test_nothing_heavy_is_imported(commands, statuses, but, small):
    """One process runs them one after the other: what any of them imports is seen at the end."""
    words = [[str(small) if each == "PLAN" else each for each in arguments] for arguments in commands]
    done = subprocess.run([sys.executable, "-c", REPORT, json.dumps(words)], capture_output=True, timeout=60,
                          check=False, env=environment())
    assert done.stdout
    ended, loaded = json.loads(done.stderr)
    assert ended == statuses
    assert [name for name in loaded if name not in but] == []


def test_nothing_heavy_is_imported_to_check_any_example():
    """A car with a feed on two contacts or with two batteries goes other ways than the smallest plan."""
    words = [["check", str(each)] for each in sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))]
    done = subprocess.run([sys.executable, "-c", REPORT, json.dumps(words)], capture_output=True, timeout=60,
                          check=False, env=environment())
    ended, loaded = json.loads(done.stderr)
    assert len(ended) == len(words) > 3
    assert loaded == []


def test_a_command_loads_no_other_nor_what_words_errors(small):
    done = subprocess.run([sys.executable, "-c", "import sys\nfrom fuseplan.cli.main import main\nmain()\n"
                           "print(*(name for name in sys.modules if name.startswith('fuseplan.cli.commands.') or "
                           "name in ('fuseplan.planfile.locate', 'fuseplan.planfile.validation_messages')), "
                           "file=sys.stderr)",
                           "check", str(small)], capture_output=True, timeout=60, check=False, env=environment())
    assert done.stderr.decode().split() == ["fuseplan.cli.commands.check"]


@pytest.mark.skipif(not Path("/proc/self/task").exists() or os.cpu_count() == 1, reason="threads are counted in /proc")
def test_no_threads_are_started_to_check(small):
    """Numpy starts one for each core where it is not told, which takes as long as reading a small plan."""
    done = subprocess.run([sys.executable, "-c", "import os, sys\nfrom fuseplan.cli.main import main\nmain()\n"
                           "assert 'numpy' in sys.modules\n"
                           "sys.stderr.write(str(len(os.listdir('/proc/self/task'))))", "check", str(small)],
                          capture_output=True, timeout=60, check=False, env=environment())
    assert done.stderr.decode() == "1"


def test_lists_need_no_engine():
    done = subprocess.run([sys.executable, "-c", "import sys; from fuseplan.cli.parser import parser; parser()\n"
                           "print([name for name in ('numpy', 'pydantic', 'pint') if name in sys.modules])"],
                          capture_output=True, timeout=60, check=True, env=environment())
    assert done.stdout.decode().strip() == "[]"


@pytest.mark.one_in(3, first=2)
@pytest.mark.parametrize("arguments", [["check", "PLAN", "--full"], ["--help"], ["new", "plan.toml"], ["chek"], []])
def test_what_is_loaded_beforehand_changes_nothing(arguments, small, fuseplan, tmp_path):
    """The tests run most command lines in copies of one process; a process of its own does the same."""
    arguments = [str(small) if each == "PLAN" else each for each in arguments]
    copied = fuseplan(*arguments)
    for made in tmp_path.iterdir():
        made.unlink()
    assert copied == run_anew(arguments, tmp_path, environment())
