"""The working of a figure of the engine: the plan computed once more with recording on, and followed back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fuseplan.engine.results import Results
from fuseplan.formulas.working import keep
from fuseplan.trace import record, steps_of

Cell = Callable[..., Any]
"""Takes the figure of a part out of a plan's results; for a list, the number in it comes third."""


NO_WAY = "a resistance on the way is not known"


def traced(cell: Cell, unit: str, symbol: str = "") -> Callable[..., float]:
    """The work of a figure of a part: its steps are noted, its value returned. Symbol and unit are for one that has
    none."""
    def work(part: Any, *number: int) -> float:
        with record():
            value = cell(part, recorded(part), *number)
            for step in steps_of(value, symbol, unit):
                keep(step)
        return float(value)

    return work


def recorded(part: Any) -> Results:
    """The recorded results of the plan a part belongs to."""
    while not hasattr(part, "solved"):
        part = part.owner if hasattr(part, "owner") else part.circuit
    found: Results = part.solved.recorded
    return found
