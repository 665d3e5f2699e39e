"""What every formula must satisfy, whichever it is."""

from __future__ import annotations

import doctest
import importlib
import inspect
import math
from functools import cache

import numpy as np
import pint
import pytest

import tests.formulas.cross_checks  # noqa: F401 - registers them
from fuseplan.formulas import registry
from fuseplan.formulas.registry import SYMBOL, Formula, Term, describe, substitute
from tests.formulas.all_formulas import load_all

FORMULAS = load_all()
MODULES = sorted({entry.function.__module__ for entry in FORMULAS.values()})


@cache
def units() -> pint.UnitRegistry[float]:
    """Those of pint alone, made by the first test that calculates with them."""
    return pint.UnitRegistry()


def pint_unit(term: Term) -> str:
    """The unit as pint reads it.

    A Celsius reading is a difference from the ice point, hence ``delta_degC``: sums and ratios of it are then lawful. A
    percentage is a plain number of hundredths.
    """
    if term.unit in ("-", "%"):
        return "dimensionless"
    return term.unit.replace("°C", "delta_degC").replace("·", " * ").replace("²", "**2").replace("³", "**3")


# Ranges that keep every root and logarithm real; any argument not named here is drawn from 1.1 to 2.
RANGES = {
    "max_c": (100.0, 120.0),
    "ambient_c": (10.0, 50.0),
    "final_c": (150.0, 250.0),
    "initial_c": (30.0, 90.0),
    "beta": (220.0, 240.0),
    "surface_c": (60.0, 100.0),
    "film_k": (250.0, 400.0),
    "gauge": (0.0, 20.0),
    "outside_d_m": (2.5, 4.0),
    "adiabatic_temperature.current_a": (200.0, 300.0),
}


def drawn(entry: Formula, seed: int) -> dict[str, float]:
    random = np.random.default_rng(seed)
    inputs = {}
    for term in entry.parameters:
        low, high = RANGES.get(f"{entry.function.__name__}.{term.name}", RANGES.get(term.name, (1.1, 2.0)))
        if term.default is not None and term.name not in RANGES:
            low, high = sorted((0.9 * term.default, 1.1 * term.default))
        inputs[term.name] = float(random.uniform(low, high))
    return inputs


def evaluated(entry: Formula, inputs: dict[str, float]) -> float:
    """The printed right-hand side, worked out as a reader would."""
    text = substitute(entry.right_hand_side, {term.symbol: f"_{term.name}" for term in entry.parameters})
    for printed, python in (("·", "*"), ("√", "sqrt"), ("²", "**2"), ("³", "**3"), ("^", "**"), ("ln(", "log(")):
        text = text.replace(printed, python)
    names = {"sqrt": math.sqrt, "log": math.log, "log10": math.log10, "exp": math.exp, "π": math.pi}
    return float(eval(text, {"__builtins__": {}}, names | {f"_{name}": value for name, value in inputs.items()}))


def test_there_are_formulas() -> None:
    assert len(FORMULAS) >= 90
    assert len(MODULES) >= 12


@pytest.mark.parametrize("name", FORMULAS)
def test_printed_equation_is_what_is_computed(name: str) -> None:
    entry = FORMULAS[name]
    for seed in range(5):
        inputs = drawn(entry, seed)
        assert evaluated(entry, inputs) == pytest.approx(float(entry.function(**inputs)), rel=1e-12)


@pytest.mark.parametrize("name", FORMULAS)
def test_symbols_of_equation_and_docstring_agree(name: str) -> None:
    entry = FORMULAS[name]
    symbols = [term.symbol for term in entry.parameters]
    assert len(set(symbols)) == len(symbols)
    used = set(SYMBOL.findall(entry.right_hand_side)) - {"π", "ln", "log10", "exp"}
    assert used == set(symbols)
    documented = inspect.getdoc(entry.function) or ""
    assert f"\nReturns:\n    {entry.result.symbol} [{entry.result.unit}]. " in documented


@pytest.mark.parametrize("name", FORMULAS)
def test_quantities_give_the_declared_dimension_and_the_same_figure(name: str) -> None:
    entry = FORMULAS[name]
    inputs = drawn(entry, 7)
    quantities = {term.name: units().Quantity(inputs[term.name], pint_unit(term)) for term in entry.parameters}
    expected = float(entry.function(**inputs))
    for given in (quantities, {key: value.to_base_units() for key, value in quantities.items()}):
        result = units().Quantity(entry.function(**given))
        assert result.to(pint_unit(entry.result)).magnitude == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("name", FORMULAS)
def test_a_wrong_dimension_cannot_pass(name: str) -> None:
    entry = FORMULAS[name]
    inputs = drawn(entry, 7)
    quantities = {term.name: units().Quantity(inputs[term.name], pint_unit(term)) for term in entry.parameters}
    for term in entry.parameters:
        spoilt = quantities | {term.name: quantities[term.name] * units().candela}
        with pytest.raises(pint.DimensionalityError):
            units().Quantity(entry.function(**spoilt)).to(pint_unit(entry.result))


@pytest.mark.parametrize("name", FORMULAS)
def test_arrays_give_what_each_element_gives(name: str) -> None:
    entry = FORMULAS[name]
    rows = [drawn(entry, seed) for seed in range(4)]
    columns = {key: np.array([row[key] for row in rows]) for key in rows[0]}
    expected = [float(entry.function(**row)) for row in rows]
    result = entry.function(**columns)
    assert result.shape == (4,)
    assert result == pytest.approx(expected, rel=1e-12)
    first = entry.parameters[0].name
    mixed = entry.function(**(rows[0] | {first: np.full((2, 1), rows[0][first])}))
    assert mixed.shape == (2, 1)
    assert mixed == pytest.approx(np.full((2, 1), expected[0]), rel=1e-12)


@pytest.mark.parametrize("name", FORMULAS)
def test_docstring_has_its_parts(name: str) -> None:
    lines = (inspect.getdoc(FORMULAS[name].function) or "").splitlines()
    assert lines[0].endswith(".")
    wanted = ["Args:", "Returns:"]
    assert [line for line in lines if line in wanted] == wanted
    assert any(line.startswith(">>> ") for line in lines)
    assert FORMULAS[name].cite


@pytest.mark.parametrize("module", MODULES)
def test_examples_in_the_docstrings(module: str) -> None:
    outcome = doctest.testmod(importlib.import_module(module))
    assert outcome.attempted > 0
    assert outcome.failed == 0


def test_a_function_that_is_no_formula_is_refused() -> None:
    with pytest.raises(LookupError, match="marked @formula"):
        describe(math.sqrt)


@pytest.fixture
def scratch_registry(monkeypatch: pytest.MonkeyPatch) -> None:
    """Formulas made up by a test stay out of the package's list."""
    monkeypatch.setattr(registry, "_DECLARED", dict(registry._DECLARED))


@pytest.mark.usefixtures("scratch_registry")
def test_the_decorator_returns_the_function_itself() -> None:
    def plain(current_a: float) -> float:
        return current_a

    assert registry.formula("I = I", cite="definition")(plain) is plain


@pytest.mark.usefixtures("scratch_registry")
def test_an_undeclared_argument_is_refused() -> None:
    @registry.formula("I = 2 · I", cite="definition")
    def undeclared(current_a: float) -> float:
        """Nothing declared."""
        return 2 * current_a

    with pytest.raises(ValueError, match="does not declare current_a"):
        describe(undeclared)
