"""Working on demand: run a chain of formulas with recording on and read the steps.

Inputs are taken at the call, so a name used twice in the chain cannot spoil the printed arithmetic.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

from fuseplan.formulas.registry import Formula, Term, Value, describe, substitute
from fuseplan.quantities import writing


@dataclass(frozen=True)
class Step:
    """One line of working.

    Attributes
    ----------
    symbol : what was found, as printed
    equation : the equation in symbols, or words where a table row or a choice stands in its place
    numbers : the right-hand side with the inputs of this very call
    result : the figure, in `unit`
    unit : unit as printed; ``-`` for none
    cite : where the equation or the row is published
    inputs : ``(symbol, value, unit)`` of every term of the equation, constants included
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
    """Collect the steps of every `apply` and `note` inside the block; an inner recording keeps its steps to itself.

    Examples
    --------
    >>> from fuseplan.formulas.drop import voltage_drop
    >>> with recording() as steps:
    ...     drop = apply(voltage_drop, current_a=8.0, resistance_ohm=0.05)
    >>> steps[0].equation, steps[0].numbers, steps[0].result
    ('ΔU = I · R', '8 · 0.05', 0.4)
    """
    steps: list[Step] = []
    token = _steps.set(steps)
    try:
        yield steps
    finally:
        _steps.reset(token)


def is_recording() -> bool:
    """Whether a `recording` block is open here."""
    return _steps.get() is not None


def apply(function: Callable[..., Value], **inputs: Value) -> Value:
    """Call a formula by argument name and, where recording is on, keep the step.

    With pint quantities the constants left to their defaults become quantities too.

    Raises
    ------
    ValueError
        When recording is on and an input holds more than one figure.
    """
    sample = next((value for value in inputs.values() if hasattr(value, "magnitude")), None)
    if sample is not None:
        inputs = _with_quantity_constants(describe(function), inputs, type(sample))
    result = function(**inputs)
    steps = _steps.get()
    if steps is not None:
        steps.append(_step(describe(function), inputs, result))
    return result


def keep(step: Step) -> None:
    """Keep a step worked out elsewhere where recording is on."""
    steps = _steps.get()
    if steps is not None:
        steps.append(step)


def note(symbol: str, text: str, result: float | str, unit: str, cite: str) -> None:
    """Keep a step that is no equation (a table row, a size rounded up, an algorithm's answer) where recording is on."""
    steps = _steps.get()
    if steps is not None:
        steps.append(Step(symbol, text, "", result, unit, cite))


def _with_quantity_constants(entry: Formula, inputs: dict[str, Value], quantity: Value) -> dict[str, Value]:
    constants = {
        term.name: quantity(term.default, term.pint_unit)
        for term in entry.parameters
        if term.default is not None and term.name not in inputs
    }
    return inputs | constants


def _step(entry: Formula, inputs: dict[str, Value], result: Value) -> Step:
    figures = [(term, _figure(inputs.get(term.name, term.default), term)) for term in entry.parameters]
    return Step(
        symbol=entry.result.symbol,
        equation=entry.equation,
        numbers=substitute(entry.right_hand_side, {term.symbol: _printed(figure) for term, figure in figures}),
        result=_figure(result, entry.result),
        unit=entry.result.unit,
        cite=entry.cite,
        inputs=tuple((term.symbol, figure, term.unit) for term, figure in figures),
    )


def _figure(value: Value, term: Term) -> float:
    if hasattr(value, "magnitude"):
        value = value.to(term.pint_unit).magnitude
    if getattr(value, "size", 1) != 1:
        raise ValueError(f"{term.name} holds {value.size} figures; a working shows one figure at a time")
    return float(value.item()) if hasattr(value, "item") else float(value)


def _printed(figure: float) -> str:
    """Six significant digits; in brackets where a sign or a power of ten could be misread."""
    text = writing.worked(figure)
    return f"({text})" if text.startswith("-") or "e" in text else text
