"""The working of a figure of the engine: the plan computed once more with recording on, and followed back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from fuseplan.engine.results import Results
from fuseplan.formulas.working import keep
from fuseplan.trace import record, steps_of

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment

Cell = Callable[[Results], Any]
"""Takes one figure out of a plan's results."""


def traced(assessment: Assessment, cell: Cell, symbol: str = "", unit: str = "") -> Callable[[], float]:
    """The work of a figure: its steps are noted, its value returned. Symbol and unit are for one that has none."""
    return partial(_work, assessment, cell, symbol, unit)


def _work(assessment: Assessment, cell: Cell, symbol: str, unit: str) -> float:
    with record():
        value = cell(assessment.recorded)
        for step in steps_of(value, symbol, unit):
            keep(step)
    return float(value)
