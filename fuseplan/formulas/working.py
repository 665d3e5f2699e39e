"""The steps of a working, collected for one figure at a time."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from fuseplan.records import dataclass


@dataclass(frozen=True)
class Step:
    """One line of working.

    Attributes:
        symbol: what was found, as printed
        equation: the equation in symbols, or words where a table row or a choice stands in its place
        numbers: the right-hand side with the inputs of this very call
        result: the figure, in `unit`
        unit: unit as printed; ``-`` for none
        cite: where the equation or the row is published
        inputs: ``(symbol, value, unit)`` of every term of the equation, constants included
    """

    symbol: str
    equation: str
    numbers: str
    result: float | str
    unit: str
    cite: str
    inputs: tuple[tuple[str, float, str], ...] = ()


_steps: ContextVar[list[Step] | None] = ContextVar("fuseplan_working", default=None)


@contextmanager
def recording() -> Iterator[list[Step]]:
    """Collect the steps of every `keep` and `note` inside the block; an inner recording keeps its steps to itself."""
    steps: list[Step] = []
    token = _steps.set(steps)
    try:
        yield steps
    finally:
        _steps.reset(token)


def keep(step: Step) -> None:
    """Keep a step where a `recording` block is open."""
    steps = _steps.get()
    if steps is not None:
        steps.append(step)


def note(symbol: str, text: str, result: float | str, unit: str, cite: str) -> None:
    """Keep a step that is no equation: a text, a choice, an algorithm's answer."""
    keep(Step(symbol, text, "", result, unit, cite))
