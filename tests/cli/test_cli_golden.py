"""What the command line prints for the examples is a contract; see ``tests/conftest.py`` on how to renew it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.papers.summary import first_page
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan

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
    text, result = fuseplan("check", plan, "--full"), fuseplan("check", plan, "--json")
    # The name of the file stands in it: not where the project lies.
    first = first_page(assess(read_plan(plan)), name=plan.name)
    for ran in (text, result):
        assert ran.status in (0, 1)
        assert ran.err == ""
    files = GOLDEN / f"{plan.stem}.txt", GOLDEN / f"{plan.stem}.json", GOLDEN / f"{plan.stem}_first_page.txt"
    if renew_golden:
        files[0].write_text(text.out, encoding="utf-8")
        files[1].write_text(result.out, encoding="utf-8")
        files[2].write_text(first, encoding="utf-8")
        pytest.skip(f"wrote {files[0].name} and {files[1].name}")
    assert first == files[2].read_text(encoding="utf-8")
    assert text.out == files[0].read_text(encoding="utf-8")
    _same(json.loads(result.out), json.loads(files[1].read_text(encoding="utf-8")))
