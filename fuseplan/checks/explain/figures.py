"""Every figure that can be explained, by its address, and the working of one of them.

A module under ``chapters/`` that defines ``chapter(assessment) -> Iterator[Figure]`` adds figures; being there is
being registered. The work of a figure runs the formulas the engine ran, with recording on, and returns where it
arrived: the engine's own figure, or it is a fault of this program.
"""

from __future__ import annotations

import difflib
import importlib
import math
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from fuseplan.checks.explain.kinds import kind_of
from fuseplan.errors import FigureError
from fuseplan.formulas.working import Step, note, recording

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment

Answer = float | str
EXACT = 1e-9
"""Relative difference that is noise of floating point."""
SOLVED = 1e-4
"""Relative difference that a chain through the solved network may show: a load's current and a wire's warmth there are
those of the last pass but one."""
MILLI = 1e-3


@dataclass(frozen=True)
class Figure:
    """One figure: its address, what it is, the engine's own number, and the work that leads there."""

    address: str
    words: str
    unit: str
    value: Answer | None
    """None where it is not known or nothing is on file; a number that is not finite becomes None."""
    work: Callable[[], Answer]
    solved: bool = False
    """It rests on the solved network: the chain closes to within `SOLVED`, or `MILLI` of a volt or an ampere."""
    why_unknown: str = ""

    def __post_init__(self) -> None:
        if isinstance(self.value, float) and not math.isfinite(self.value):
            object.__setattr__(self, "value", None)

    @property
    def kind(self) -> Callable[[float], str]:
        """How it is written."""
        return kind_of(self.address, self.unit)

    def agrees(self, found: Answer) -> bool:
        """Whether a working arrived at the engine's figure."""
        if isinstance(self.value, str) or isinstance(found, str) or self.value is None:
            return self.value == found
        near = MILLI if self.solved and self.unit in ("A", "V") else 1e-12
        return math.isclose(self.value, found, rel_tol=SOLVED if self.solved else EXACT, abs_tol=near)


@dataclass(frozen=True)
class Working:
    """The working of one figure: its steps in order, and the sources they cite, numbered from 1."""

    figure: Figure
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
            "figure": self.figure.address, "words": self.figure.words, "limits": self.limit_set,
            "value": self.figure.value, "unit": self.figure.unit,
            "steps": [{"symbol": step.symbol, "equation": step.equation, "numbers": step.numbers,
                       "result": step.result, "unit": step.unit, "source": self.source_number(step)}
                      for step in self.steps],
            "sources": list(self.sources),
        }


@lru_cache(maxsize=1)
def chapters() -> tuple[Callable[[Assessment], Iterator[Figure]], ...]:
    """The functions that list figures, one a module of ``chapters/``, in the order of their names."""
    package = importlib.import_module("fuseplan.checks.explain.chapters")
    names = sorted(entry.name for entry in pkgutil.iter_modules(package.__path__))
    return tuple(importlib.import_module(f"{package.__name__}.{name}").chapter for name in names)


def figures(assessment: Assessment) -> dict[str, Figure]:
    """Every figure of an assessment that has a working, by its address.

    The same circuit, feed and earth id may occur; a figure's address begins with the bare id, and where two share one,
    the second keeps only its long address, such as ``feed.lamps.resistance``.
    """
    found: dict[str, Figure] = {}
    for chapter in chapters():
        for figure in chapter(assessment):
            short = _short(figure.address)
            found.setdefault(short, figure)
            if found[short] is not figure:
                found[figure.address] = figure
    return found


_KINDS = ("circuit.", "feed.", "earth.")


def _short(address: str) -> str:
    return next((address.removeprefix(kind) for kind in _KINDS if address.startswith(kind)), address)


def find(assessment: Assessment, address: str) -> Figure:
    """The figure of an address, short or long.

    Raises
    ------
    FigureError
        There is none; the message names near ones.
    """
    known = figures(assessment)
    if address in known:
        return known[address]
    for figure in known.values():
        if figure.address == address:
            return figure
    near = difflib.get_close_matches(address, known, n=3, cutoff=0.5) or \
        [each for each in known if each.startswith(address.partition(".")[0] + ".")][:3]
    hint = f"near are {', '.join(near)}" if near else "`fuseplan explain PLAN` lists what can be explained"
    raise FigureError(f"there is no figure '{address}'; {hint}")


def explain(assessment: Assessment, figure: str | Figure) -> Working:
    """The working of one figure.

    Raises
    ------
    FigureError
        There is no such figure.
    """
    found = find(assessment, figure) if isinstance(figure, str) else figure
    with recording() as steps:
        if found.value is None:
            note("?", found.why_unknown or "not known: something it rests on is missing or not on file", "unknown", "-",
                 "the plan and the tables on file")
        else:
            found.work()
    cites = tuple(dict.fromkeys(step.cite for step in steps))
    return Working(found, assessment.limit_set.name, tuple(steps), cites)
