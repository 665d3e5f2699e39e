"""Steps that are no formula: a figure taken from the plan or a table, a sum, a choice, a solved value."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fuseplan.engine.ambient import Place
from fuseplan.engine.passes import SETTLED_V
from fuseplan.engine.solve import Solution
from fuseplan.formulas.working import note
from fuseplan.quantities import writing

Parts = Sequence[tuple[str, float]]

KIRCHHOFF_CURRENT = "Kirchhoff's current law"
KIRCHHOFF_VOLTAGE = "Kirchhoff's voltage law"
CHOICE = "choice: the worse of the answers above"


def given(symbol: str, words: str, value: float, unit: str, cite: str) -> float:
    """A figure that is taken, not computed: from the plan, a table row, a rule."""
    note(symbol, words, float(value), unit, cite)
    return float(value)


def entered(symbol: str, words: str, value: float, unit: str, path: str) -> float:
    """A figure the user typed."""
    return given(symbol, words, value, unit, f"the plan, {path}")


def ambient_of(words: str, place: Place, path: str) -> float:
    """Ambient of a part in °C: its zone's, or the assumed one and that it is."""
    if place.zone is None:
        return given("Tₐ", f"{words}: no zone is stated, this is assumed", place.ambient_c, "°C",
                     "common practice, no source")
    return entered("Tₐ", f"{words}, zone {place.zone}", place.ambient_c, "°C", f"{path} and zone.{place.zone}")


def solved(symbol: str, words: str, value: float, unit: str, solution: Solution) -> float:
    """A figure of the solved network."""
    return given(symbol, words, value, unit, solved_cite(solution))


def solved_cite(solution: Solution) -> str:
    """How the network was solved."""
    how = (f"no voltage moved by more than {writing.stated(SETTLED_V * 1e3, 'mV')} in the last"
           if solution.settled else "not settled: the figures are the last pass's")
    return ("solved for all nodes at once: currents summed from the loads to the battery, drops back out again, "
            "wires at "
            f"their own temperature; {solution.passes} passes, {how}")


def total(symbol: str, words: str, parts: Parts, unit: str, cite: str = KIRCHHOFF_CURRENT) -> float:
    """A sum; each part is named and shown."""
    value = math.fsum(value for _, value in parts)
    shown = " + ".join(f"{figure(value)} ({name})" for name, value in parts) or "nothing"
    note(symbol, f"{words}: {shown}", value, unit, cite)
    return value


def larger(symbol: str, words: str, values: Sequence[float], unit: str) -> float:
    """The largest of some answers."""
    return _pick(symbol, words, "largest", max(values), values, unit)


def smaller(symbol: str, words: str, values: Sequence[float], unit: str) -> float:
    """The smallest of some answers."""
    return _pick(symbol, words, "smallest", min(values), values, unit)


def _pick(symbol: str, words: str, which: str, value: float, values: Sequence[float], unit: str) -> float:
    note(symbol, f"{words}: the {which} of {', '.join(map(figure, values))}", value, unit, CHOICE)
    return value


def figure(value: float) -> str:
    """A number inside a sentence."""
    text = writing.worked(value)
    return f"({text})" if text.startswith("-") else text
