"""The command line as real processes."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from cli_processes import environment

PLANS = Path(__file__).parent / "plans"


@dataclass(frozen=True)
class Ran:
    """What a process printed and how it ended."""

    status: int
    out: str
    err: str


Run = Callable[..., Ran]


@pytest.fixture
def fuseplan(tmp_path: Path) -> Run:
    """Run ``fuseplan`` with arguments in an empty folder."""

    def run(*arguments: str | Path, **changes: str) -> Ran:
        done = subprocess.run([sys.executable, "-m", "fuseplan", *map(str, arguments)], cwd=tmp_path, timeout=60,
                              capture_output=True, env=environment(**changes), stdin=subprocess.DEVNULL, check=False)
        return Ran(done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8"))

    return run


@pytest.fixture(scope="session")
def small() -> Path:
    """A plan of three circuits: one sound, one with a fuse no wire of it can bear, one with its current unknown."""
    return PLANS / "small.toml"


@pytest.fixture
def quiet() -> Path:
    """A plan without findings above advice."""
    return PLANS / "quiet.toml"


@pytest.fixture
def hostile() -> Path:
    """A plan whose names try to act: escape codes, markup, spreadsheet formulas, reversed writing."""
    return PLANS / "hostile.toml"
