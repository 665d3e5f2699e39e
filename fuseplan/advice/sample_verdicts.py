"""The limits that checks hold currents and voltages against, for many samples of the currents at once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.limit import LimitRows
from fuseplan.checks.rule import all_rules
from fuseplan.engine.sampling import Sampler

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


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

        Parameters
        ----------
        reference_a : array (n, L)
            Reference current of every consumer [A].
        """
        if not self.judged:
            return Verdicts(np.zeros((len(reference_a), 0), dtype=bool), np.zeros((len(reference_a), 0)))
        sampled = self._sampler.of(reference_a)
        figures = [rows.figure(sampled) for rows in self._rows]
        fails = np.concatenate([rows.fails(figure) for rows, figure in zip(self._rows, figures, strict=True)], axis=1)
        times = np.concatenate([rows.times_limit(figure) for rows, figure in zip(self._rows, figures, strict=True)],
                               axis=1)
        times = np.where(np.isnan(times), -np.inf, times)
        return Verdicts(np.asarray(np.logical_or.reduceat(fails[:, self._order], self._first, axis=1)),
                        np.asarray(np.maximum.reduceat(times[:, self._order], self._first, axis=1)))
