"""The command line as real processes."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from cli_processes import Loaded, Ran, Run, environment

PLANS = Path(__file__).parent / "plans"


@pytest.fixture(scope="session")
def loaded() -> Iterator[Loaded]:
    """The process whose copies run the command lines."""
    process = Loaded()
    yield process
    process.close()


@pytest.fixture
def fuseplan(tmp_path: Path, loaded: Loaded) -> Run:
    """Run ``fuseplan`` with arguments in an empty folder."""

    def run(*arguments: str | Path, **changes: str) -> Ran:
        return loaded.run([*map(str, arguments)], tmp_path, environment(**changes))

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
