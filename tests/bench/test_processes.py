"""Whole processes against the least a process that imports the same libraries can take, none of ours among them."""

from __future__ import annotations

import compileall
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
EXAMPLE = str(ROOT / "examples" / "coupe_turbo.toml")
RUNS = 9

# The kernel's own record of the peak; what wait4 reports may still hold the peak of the process it was forked from.
PEAK = """import atexit, sys
atexit.register(lambda: print(open("/proc/self/status").read().split("VmHWM:")[1].split()[0], file=sys.stderr))
"""
FLOOR = "import numpy, pint\nfrom pydantic import BaseModel\npint.UnitRegistry()"
"""`import pydantic` alone loads nothing of it."""
CHECK = f"""import sys
from fuseplan.cli.main import main
sys.argv = ['fuseplan', 'check', {EXAMPLE!r}]
sys.exit(main())"""
SCREEN = f"""
import gc, os
gc.disable()
os.environ["PYDANTIC_DISABLE_PLUGINS"] = "__all__"
os.environ["OPENBLAS_NUM_THREADS"] = "1"
import asyncio
from pathlib import Path
from fuseplan.workspace.opening import open_session
from fuseplan.tui.app import FuseplanApp
gc.freeze()
gc.enable()

async def main():
    async with FuseplanApp(open_session(Path({EXAMPLE!r})), summary=True).run_test(size=(80, 24)) as pilot:
        await pilot.pause()

asyncio.run(main())
"""
"""As `cli/running.py` and `tui/app.py` open the plan of a file: collector, plugins and numpy's threads
rest, the summary is shown."""
EMPTY_SCREEN = """
import asyncio
import numpy, pint
from pydantic import BaseModel
from textual.app import App
from textual.widgets import DataTable, Input, OptionList, Static

pint.UnitRegistry()

async def main():
    async with App().run_test(size=(80, 24)) as pilot:
        await pilot.pause()

asyncio.run(main())
"""

Note = Callable[[str, str, str], None]


@pytest.fixture(scope="module", autouse=True)
def _compiled() -> None:
    """Bytecode is there, as it is for whoever installed the program."""
    compileall.compile_dir(ROOT / "fuseplan", quiet=2)


def measured(codes: tuple[str, str], folder: Path) -> list[tuple[float, float]]:
    """Least processor time in s and least peak memory in MB of several runs of fresh interpreters, one of each code in
    turn, so that whatever else the machine does meets both."""
    environment = {**os.environ, "XDG_STATE_HOME": str(folder), "XDG_CONFIG_HOME": str(folder)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    found: list[list[tuple[float, float]]] = [[] for _ in codes]
    for _ in range(RUNS):
        for runs, code in zip(found, codes, strict=True):
            with subprocess.Popen([sys.executable, "-c", PEAK + code], stdout=subprocess.DEVNULL,
                                  stderr=subprocess.PIPE, text=True, env=environment, cwd=ROOT) as process:
                assert process.stderr is not None
                errors = process.stderr.read()
                _, status, used = os.wait4(process.pid, 0)
                process.returncode = os.waitstatus_to_exitcode(status)
            assert process.returncode in (0, 1), errors
            runs.append((used.ru_utime + used.ru_stime, float(errors.split()[-1]) / 1024))
    return [(min(time for time, _ in runs), min(peak for _, peak in runs)) for runs in found]


def test_check_against_the_floor(note: Note, tmp_path: Path) -> None:
    (floor_s, floor_mb), (check_s, check_mb) = measured((FLOOR, CHECK), tmp_path)
    note("floor: pydantic, numpy, pint, registry", f"{floor_s * 1e3:.0f} ms, {floor_mb:.0f} MB", "")
    note("fuseplan check coupe_turbo.toml", f"{check_s * 1e3:.0f} ms, {check_mb:.0f} MB", "")
    note("  time over floor", f"{check_s / floor_s:.2f}", "1.00")
    note("  memory over floor", f"{check_mb / floor_mb:.2f}", "1.30")


def test_first_screen_against_an_empty_one(note: Note, tmp_path: Path) -> None:
    (empty_s, _), (first_s, _) = measured((EMPTY_SCREEN, SCREEN), tmp_path)
    note("empty screen that imports the same", f"{empty_s * 1e3:.0f} ms", "")
    note("first screen of coupe_turbo.toml", f"{first_s * 1e3:.0f} ms", "")
    note("  time over the empty one", f"{first_s / empty_s:.2f}", "1.15")
