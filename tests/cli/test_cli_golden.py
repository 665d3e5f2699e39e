"""What the command line prints for the examples is a contract; see ``tests/conftest.py`` on how to renew it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fuseplan.planfile.library import shipped_folder

GOLDEN = Path(__file__).parent.parent / "golden"
SMALL = Path(__file__).parent / "plans" / "small.toml"
PLANS = [SMALL, *sorted(shipped_folder("examples").glob("*.toml"))]


def _same(got: Any, wanted: Any, where: str = "$") -> None:
    """Equal, floats to five figures: the solution is settled to a tenth of a millivolt, and on which side of it the
    last pass ends depends on processor and library."""
    if isinstance(wanted, dict):
        assert list(got) == list(wanted), where
        for key, value in wanted.items():
            _same(got[key], value, f"{where}.{key}")
    elif isinstance(wanted, list):
        assert len(got) == len(wanted), where
        for number, value in enumerate(wanted):
            _same(got[number], value, f"{where}[{number}]")
    elif isinstance(wanted, float):
        assert got == pytest.approx(wanted, rel=1e-5, abs=1e-5), where
    else:
        assert got == wanted, where


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.stem)
def test_golden(plan: Path, fuseplan, renew_golden: bool):
    text, result = fuseplan("check", plan), fuseplan("check", plan, "--json")
    for ran in (text, result):
        assert ran.status in (0, 1)
        assert ran.err == ""
    files = GOLDEN / f"{plan.stem}.txt", GOLDEN / f"{plan.stem}.json"
    if renew_golden:
        files[0].write_text(text.out, encoding="utf-8")
        files[1].write_text(result.out, encoding="utf-8")
        pytest.skip(f"wrote {files[0].name} and {files[1].name}")
    assert text.out == files[0].read_text(encoding="utf-8")
    _same(json.loads(result.out), json.loads(files[1].read_text(encoding="utf-8")))
