"""The table of what is taken where a plan is silent holds the values the program takes."""

from __future__ import annotations

import importlib
import re
from pathlib import Path

import pytest

TABLE = Path(__file__).parents[2] / "DEVELOPERS.md"
ROWS = re.findall(r"`(fuseplan(?:\.\w+)+)\.([A-Z_]+)` ([0-9.]+)", TABLE.read_text(encoding="utf-8"))


def test_the_table_names_constants() -> None:
    assert len(ROWS) >= 12


@pytest.mark.parametrize(("module", "name", "value"), ROWS, ids=[row[1] for row in ROWS])
def test_a_value_in_the_table_is_the_one_taken(module: str, name: str, value: str) -> None:
    taken = getattr(importlib.import_module(module), name)
    assert float(getattr(taken, "ohm", taken)) == pytest.approx(float(value))
