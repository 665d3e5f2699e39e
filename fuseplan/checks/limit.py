"""One limit of a check on arrays: figures, what each is held against, and for what. Judging, samples, headroom and
proposals read the same rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.at_limit import exceeds, falls_short, reaches, within
from fuseplan.engine.case_figures import CaseFigures
from fuseplan.engine.ratios import ratio
from fuseplan.engine.results import Results
from fuseplan.quantities.decimals import Side
from fuseplan.records import dataclass

Failing = tuple[int, int, float, float]
"""(part, bound, figure, limit) of a figure past its limit."""


class Outcome(NamedTuple):
    """Figures held against their limits; every figure that was to be judged and neither fails nor is unknown passes."""

    figure: Floats
    limit: Floats | float
    side: Side
    parts: Ints | None = None
    """Whom each figure is about; its own number where left out."""

    @property
    def failing(self) -> list[Failing]:
        """What fails: at bound 0 as entered, at bound 1 where only its upper bound does."""
        past = self._past
        if not past.any():
            return []
        rows = np.flatnonzero(past.any(axis=0))
        bounds = np.where(past[0, rows], 0, 1)
        return [*zip(self._parts(rows), bounds.tolist(), self.figure[bounds, rows].tolist(),
                     np.broadcast_to(self.limit, past.shape[1:])[rows].tolist(), strict=True)]

    @property
    def fails(self) -> list[tuple[int, int]]:
        """(part, bound) of the same."""
        return [(part, bound) for part, bound, _, _ in self.failing]

    @property
    def unknown(self) -> list[int]:
        """Parts of which figure or limit is not known, and what is known of them does not fail."""
        passes = (within if self.side == "burden" else reaches)(self.figure, self.limit)
        return [] if passes.all() else self._parts(np.flatnonzero(~(passes.all(axis=0) | self._past.any(axis=0))))

    @property
    def _past(self) -> Flags:
        return (exceeds if self.side == "burden" else falls_short)(self.figure, self.limit)

    def _parts(self, rows: Ints) -> list[int]:
        found: list[int] = (rows if self.parts is None else self.parts[rows]).tolist()
        return found


@dataclass(frozen=True)
class LimitRows:
    """One limit of a check, n rows.

    Attributes:
        named: gives kind and name of what each row is about, n: judging needs only those that fail
        parts: array (n,), number of the segment, circuit, load, device … each row is about
        limit: array (n,), NaN where not known, infinite where there is none
        figure: from the figures of some cases to the figure of each row (cases, n); NaN where it is not known, or where
            there is nothing to be judged in that case
        side: whether more of the figure is worse, or less
    """

    named: Callable[[], Sequence[tuple[str, str]]]
    parts: Ints
    limit: Floats
    figure: Callable[[CaseFigures], Floats]
    side: Side = "burden"

    @cached_property
    def subjects(self) -> Sequence[tuple[str, str]]:
        """Kind and name of what each row is about, n."""
        return self.named()

    def fails(self, figure: Floats) -> Flags:
        """Where a figure of these rows (cases, n) is past its limit."""
        return (exceeds if self.side == "burden" else falls_short)(figure, self.limit)

    def times_limit(self, figure: Floats) -> Floats:
        """How many times its limit each figure (cases, n) is, or its limit each figure where less is worse."""
        return ratio(figure, self.limit) if self.side == "burden" else ratio(self.limit, np.maximum(figure, 0.0))

    def judged(self, results: Results) -> Outcome:
        """Every row at both bounds of what is known of the currents."""
        return self.outcome(self.figure(results.at_bounds))

    def outcome(self, figure: Floats) -> Outcome:
        """Every row by its figure (2, n), as entered and at the upper bound."""
        return Outcome(figure, self.limit, self.side, self.parts)


def over_limit(figure: Floats, limit: Floats | float) -> Outcome:
    """Where a figure exceeds its limit, and where that is not known.

    Args:
        figure: as entered, and at the upper bound of the evidence; NaN where not known (2, n)
        limit: array (n,) or float. NaN where not known, infinite where there is none.
    """
    return Outcome(figure, limit, "burden")


def under_limit(figure: Floats, limit: Floats | float) -> Outcome:
    """Where a figure falls short of its limit, and where that is not known; as `over_limit`."""
    return Outcome(figure, limit, "limit")


Limit = Callable[[Results], LimitRows]
"""A limit of a check: its rows in one solved plan."""
NO_ROWS = LimitRows(tuple, np.zeros(0, dtype=np.int64), np.zeros(0), lambda figures: np.zeros(
    (figures.demands.load.shape[0], 0)))
"""Where a plan has nothing that a limit is for."""


def rows_of(named: Callable[[], Sequence[tuple[str, str]]], parts: Ints, limit: Floats | float,
            figure: Callable[[CaseFigures], Floats], side: Side = "burden") -> LimitRows:
    """Rows with one limit for all, or one each."""
    each = np.asarray(limit, dtype=float)
    return LimitRows(named, parts, each if each.shape else np.full(parts.shape, each), figure, side)
