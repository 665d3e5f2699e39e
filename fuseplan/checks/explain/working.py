"""The working of one figure of the result.

A module under ``chapters/`` that calls `works_out` says how declared figures are worked out; being there is being
registered. The work runs the formulas the engine ran, with recording on, and returns where it arrived: the engine's own
figure, or it is a fault of this program.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from functools import lru_cache
from typing import Any, NamedTuple

from fuseplan.checks.assessment import Assessment
from fuseplan.formulas.working import Step, note, recording
from fuseplan.records import dataclass
from fuseplan.results.address import FigureSpot, Value
from fuseplan.results.part import Declaration
from fuseplan.results.search import figure_at

Answer = float | str
NOT_KNOWN = "not known: something it depends on is missing or not on file"


class _Work(NamedTuple):
    run: Callable[..., Answer]
    unknown: Callable[[Any], str]


_WORKS: dict[Declaration[Any], _Work] = {}


def works_out(declaration: Declaration[Any], run: Callable[..., Answer],
              unknown: str | Callable[[Any], str] = NOT_KNOWN) -> None:
    """Say how a declared figure is worked out.

    Args:
        run: from the part, and for a list the number in it, to the figure; it notes its steps
        unknown: why it is not known where it is not; a callable takes the part
    """
    assert declaration not in _WORKS, f"{declaration} is worked out twice"
    _WORKS[declaration] = _Work(run, unknown if callable(unknown) else lambda _: unknown)


@lru_cache(maxsize=1)
def workings() -> dict[Declaration[Any], _Work]:
    """How every figure is worked out, from all chapters."""
    package = importlib.import_module("fuseplan.checks.explain.chapters")
    for entry in sorted(pkgutil.iter_modules(package.__path__), key=lambda each: each.name):
        importlib.import_module(f"{package.__name__}.{entry.name}")
    return _WORKS


@dataclass(frozen=True)
class Working:
    """The working of one figure: its steps in order, and the sources they cite, numbered from 1."""

    figure: FigureSpot
    value: Value
    limit_set: str
    steps: tuple[Step, ...]
    sources: tuple[str, ...]

    def source_number(self, step: Step) -> int:
        """Number of a step's source at the foot."""
        return self.sources.index(step.cite) + 1

    @property
    def from_memory(self) -> bool:
        """A step rests on a figure that was not read in its document."""
        return any("from memory" in source for source in self.sources)

    def to_dict(self) -> dict[str, Any]:
        """The working as plain dictionaries, lists, strings and numbers."""
        return {
            "address": self.figure.address, "words": self.figure.whole_words, "limits": self.limit_set,
            "value": self.value, "unit": self.figure.unit,
            "steps": [{"symbol": step.symbol, "equation": step.equation, "numbers": step.numbers,
                       "result": step.result, "unit": step.unit, "source": self.source_number(step)}
                      for step in self.steps],
            "sources": list(self.sources),
        }


def explain(assessment: Assessment, figure: str | FigureSpot) -> Working:
    """The working of one figure, by its address or found already; without steps for what is no figure.

    Raises:
        FigureError: There is no figure at that address.
    """
    if isinstance(figure, str):
        figure = figure_at(assessment.whole, figure)
    assert figure.declaration is not None
    work, value = workings().get(figure.declaration), figure.value
    with recording() as steps:
        if work is None:
            pass
        elif value is None:
            note("?", work.unknown(figure.part) or NOT_KNOWN, "unknown", "-", "the plan and the tables on file")
        elif figure.number < 0:
            work.run(figure.part)
        else:
            work.run(figure.part, figure.number)
    cites = tuple(dict.fromkeys(step.cite for step in steps))
    return Working(figure, value, assessment.limit_set.name, tuple(steps), cites)
