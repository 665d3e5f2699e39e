"""A program too busy to do anything else keeps what was typed, and one that cannot keep it says so."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest

from fuseplan.planfile.recovery import Keeper, Work

from .conftest import WAIT_S, opened


async def test_a_busy_program_does_not_hold_up_what_is_kept(car: Path, tmp_path: Path) -> None:
    async with opened(car) as driver:
        driver.session.delete(("circuit", "fan"))
        # From here on the program's own loop does nothing at all.
        end = time.monotonic() + WAIT_S
        folder = tmp_path / "state" / "fuseplan" / "recovery"
        while not list(folder.glob("*.toml")):
            assert time.monotonic() < end, "nothing was kept while the program was busy"
            time.sleep(0.01)
        (kept,) = folder.glob("*.toml")
        assert "[circuit.fan]" not in kept.read_text(encoding="utf-8")
        driver.session.close()


async def test_a_disk_that_hangs_is_told_with_its_age(car: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    free = threading.Event()
    keep = Keeper.keep

    def slow(self: Keeper, work: Work) -> bool:
        free.wait(WAIT_S)
        return keep(self, work)

    monkeypatch.setattr(Keeper, "keep", slow)
    async with opened(car, (100, 30)) as driver:
        driver.session.delete(("circuit", "fan"))
        for wanted in (True, False):
            await driver.until(lambda wanted=wanted: ("✗ not kept for recovery" in driver.seen()) == wanted,
                               "it is told as long as it holds")
            free.set()
        driver.session.close()
