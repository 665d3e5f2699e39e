"""The working of a figure of the engine: the plan computed once more with recording on, and followed back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fuseplan.engine.results import Results
from fuseplan.formulas.working import keep
from fuseplan.trace import record, steps_of

Cell = Callable[[Any, Results], Any]
"""Takes the figure of a part out of a plan's results."""


def traced(cell: Cell, unit: str, symbol: str = "") -> Callable[[Any], float]:
    """The work of a figure of a part: its steps are noted, its value returned. Symbol and unit are for one that has
    none."""
    def work(part: Any) -> float:
        with record():
            value = cell(part, part.solved.recorded)
            for step in steps_of(value, symbol, unit):
                keep(step)
        return float(value)

    return work
