"""What a formula is: a plain function, its printed equation, and the terms its docstring declares.

The decorator returns the function it was given, so the engine pays nothing for the metadata. Symbols and units are
written once, in the docstring (``current_a: I [A].``), and read from there when somebody asks for the working.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from functools import cache
from typing import Any, TypeAlias, TypeVar

from fuseplan.records import dataclass

Value: TypeAlias = Any
"""A float, a numpy array (arrays of one call broadcast together) or a pint quantity."""

AnyFormula = TypeVar("AnyFormula", bound=Callable[..., Value])

SYMBOL = re.compile(r"[A-Za-zΑ-ω][A-Za-z0-9Α-ω₀-₉ₐ-ₜᵢ-ᵥ]*")
"""One symbol of a printed equation: letters with digits and subscripts, never a superscript, which is a power."""

_PARAMETER = re.compile(r"^    (\w+): (\S+) \[([^\]]+)\]\.")
_RESULT = re.compile(r"^    (\S+) \[([^\]]+)\]\.")


@dataclass(frozen=True)
class Term:
    """One argument or the result of a formula.

    Attributes:
        name: argument name in Python; for the result, the formula's own name
        symbol: how the printed equation writes it
        unit: unit of a bare number, as printed; ``-`` for none
        default: the constant's value where the argument is one, else None
    """

    name: str
    symbol: str
    unit: str
    default: float | None = None


@dataclass(frozen=True)
class Formula:
    """A formula as the working and the documentation see it."""

    name: str
    function: Callable[..., Value]
    equation: str
    cite: str
    parameters: tuple[Term, ...]
    result: Term

    @property
    def right_hand_side(self) -> str:
        """What stands behind the first equals sign of the printed equation."""
        return self.equation.split(" = ", 1)[1]


@dataclass(frozen=True)
class _Declared:
    equation: str
    cite: str


_DECLARED: dict[Callable[..., Value], _Declared] = {}


def formula(equation: str, *, cite: str) -> Callable[[AnyFormula], AnyFormula]:
    """Register a function under its printed equation and return it untouched.

    Args:
        equation: ``symbol = expression``, with the symbols of the docstring
        cite: where the equation is published, or "definition" / "common practice, no source"
    """

    def register(function: AnyFormula) -> AnyFormula:
        _DECLARED[function] = _Declared(equation, cite)
        return function

    return register


@cache
def describe(function: Callable[..., Value]) -> Formula:
    """What is known of a formula.

    Raises:
        LookupError: When the function was not registered with ``@formula``.
        ValueError: When its docstring does not declare every argument and the result.
    """
    declared = _DECLARED.get(function)
    name = f"{function.__module__.rpartition('.')[2]}.{function.__name__}"
    if declared is None:
        raise LookupError(f"{name} is not a formula: only functions marked @formula have a working")
    parameters, result = _terms(function, name, declared.equation.split(" = ", 1)[0])
    return Formula(name, function, declared.equation, declared.cite, parameters, result)


def _terms(function: Callable[..., Value], name: str, result_symbol: str) -> tuple[tuple[Term, ...], Term]:
    lines = (inspect.getdoc(function) or "").splitlines()
    declared = {match[1]: (match[2], match[3]) for line in lines if (match := _PARAMETER.match(line))}
    terms = []
    for argument in inspect.signature(function).parameters.values():
        if argument.name not in declared:
            raise ValueError(
                f"{name}: the docstring does not declare {argument.name}; write `{argument.name}: X [unit].`"
            )
        default = None if argument.default is inspect.Parameter.empty else float(argument.default)
        terms.append(Term(argument.name, *declared[argument.name], default))
    if "Returns:" in lines and (match := _RESULT.match(lines[lines.index("Returns:") + 1])):
        return tuple(terms), Term(name, result_symbol, match[2])
    raise ValueError(f"{name}: the docstring does not declare its result; write `{result_symbol} [unit].` in Returns")


def substitute(expression: str, texts: dict[str, str]) -> str:
    """The printed expression with each symbol replaced by its text; symbols without one (``exp``, ``π``) stay."""
    return SYMBOL.sub(lambda match: texts.get(match[0], match[0]), expression)
