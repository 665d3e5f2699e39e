"""Whole processes against the least a process that imports the same libraries can take, none of ours among them."""

from __future__ import annotations

import compileall
import os
import subprocess
import sys
import time
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
FLOOR = "import pydantic, numpy, pint\npint.UnitRegistry()"
CHECK = f"import sys\nfrom fuseplan.cli.main import main\nsys.exit(main(['check', {EXAMPLE!r}]))"
SCREEN = f"""
import asyncio
from pathlib import Path
from fuseplan.workspace.opening import open_session
from fuseplan.tui.app import FuseplanApp

async def main():
    async with FuseplanApp(open_session(Path({EXAMPLE!r}))).run_test(size=(80, 24)) as pilot:
        await pilot.pause()

asyncio.run(main())
"""
EMPTY_SCREEN = """
import asyncio
import numpy, pint, pydantic
from textual.app import App

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


def measured(code: str, folder: Path) -> tuple[float, float]:
    """Least wall time in s and least peak memory in MB of several runs of a fresh interpreter."""
    environment = {**os.environ, "XDG_STATE_HOME": str(folder), "XDG_CONFIG_HOME": str(folder)}
    times, peaks = [], []
    for _ in range(RUNS):
        begun = time.perf_counter()
        done = subprocess.run([sys.executable, "-c", PEAK + code], capture_output=True, text=True, env=environment,
                              cwd=ROOT, check=False)
        times.append(time.perf_counter() - begun)
        assert done.returncode in (0, 1), done.stderr
        peaks.append(float(done.stderr.split()[-1]) / 1024)
    return min(times), min(peaks)


def test_check_against_the_floor(note: Note, tmp_path: Path) -> None:
    floor_s, floor_mb = measured(FLOOR, tmp_path)
    check_s, check_mb = measured(CHECK, tmp_path)
    note("floor: pydantic, numpy, pint, registry", f"{floor_s * 1e3:.0f} ms, {floor_mb:.0f} MB", "")
    note("fuseplan check coupe_turbo.toml", f"{check_s * 1e3:.0f} ms, {check_mb:.0f} MB", "")
    note("  time over floor", f"{check_s / floor_s:.2f}", "1.00")
    note("  memory over floor", f"{check_mb / floor_mb:.2f}", "1.30")


def test_first_screen_against_an_empty_one(note: Note, tmp_path: Path) -> None:
    empty_s, _ = measured(EMPTY_SCREEN, tmp_path)
    first_s, _ = measured(SCREEN, tmp_path)
    note("empty screen that imports the same", f"{empty_s * 1e3:.0f} ms", "")
    note("first screen of coupe_turbo.toml", f"{first_s * 1e3:.0f} ms", "")
    note("  time over the empty one", f"{first_s / empty_s:.2f}", "1.15")
