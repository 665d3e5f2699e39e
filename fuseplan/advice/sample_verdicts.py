"""The limits that checks hold currents and voltages against, for many samples of the currents at once."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.limit import LimitRows
from fuseplan.checks.rule import all_rules
from fuseplan.engine.sampling import Sampler


class Judged(NamedTuple):
    """One verdict: a check on a subject. The subject of ``discharge-while-running`` is a condition."""

    check: str
    kind: str
    subject: str


class Verdicts(NamedTuple):
    """What the checks say of n samples, arrays (n, V) by `SampleVerdicts.judged`."""

    fails: Flags
    ratios: Floats
    """Figure over limit of the worst part of the subject, or limit over figure where less is worse; -inf where nothing
    limits it."""


class SampleVerdicts:
    """The verdicts of a plan, ready to be asked of many samples."""

    def __init__(self, assessment: Assessment) -> None:
        self._sampler = Sampler(assessment.results)
        self.at_once = self._sampler.at_once
        """How many samples to ask for at once."""
        self._rows: list[LimitRows] = []
        columns: list[Judged] = []
        for rule in all_rules().values():
            for rows in (limit(assessment.results) for limit in rule.limits):
                if len(rows.subjects):
                    self._rows.append(rows)
                    columns += [Judged(rule.name, *subject) for subject in rows.subjects]
        self.judged = tuple(dict.fromkeys(columns))
        number = {each: place for place, each in enumerate(self.judged)}
        place = np.array([number[each] for each in columns], dtype=np.int64)
        self._order = np.argsort(place, kind="stable")
        self._first = np.searchsorted(place[self._order], np.arange(len(self.judged)))

    def of(self, reference_a: Floats) -> Verdicts:
        """The verdicts on samples.

        Args:
            reference_a: reference current of every consumer [A] (n, L)
        """
        figures = self._figures(reference_a)
        times = [rows.times_limit(figure) for rows, figure in figures]
        nothing = np.zeros((len(reference_a), 0))
        return Verdicts(self._failing(figures, len(reference_a)), self._worst(
            np.maximum, [nothing, *(np.where(np.isnan(each), -np.inf, each) for each in times)]))

    def fails(self, reference_a: Floats) -> Flags:
        """Where the checks fail in samples, as `of` has it, which asks for more and takes longer."""
        return self._failing(self._figures(reference_a), len(reference_a))

    def _figures(self, reference_a: Floats) -> list[tuple[LimitRows, Floats]]:
        if not self._rows:
            return []
        sampled = self._sampler.of(reference_a)
        return [(rows, rows.figure(sampled)) for rows in self._rows]

    def _failing(self, figures: list[tuple[LimitRows, Floats]], count: int) -> Flags:
        nothing = np.zeros((count, 0), dtype=bool)
        return np.asarray(self._worst(np.logical_or, [nothing, *(rows.fails(figure) for rows, figure in figures)]))

    def _worst(self, worst: np.ufunc, values: list[Any]) -> Any:
        """The worst of the rows of each verdict (n, V), from values (n, rows) of each limit."""
        rows = np.concatenate([each.T for each in values]).take(self._order, axis=0)
        return worst.reduceat(rows, self._first, axis=0).T
