"""The output of the alternator, as checks hold what is drawn against it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.rule import Rule, Unjudged
from fuseplan.checks.subjects import running_conditions
from fuseplan.engine.case_figures import CaseFigures
from fuseplan.engine.results import Results
from fuseplan.tables.load import Floats


def output_unknown(rule: Rule, results: Results) -> Iterator[Unjudged]:
    """That a check could not be made for want of the output; nothing for a plan without an alternator."""
    if results.plan.alternator is not None:
        yield rule.unjudged(("alternator", "alternator"), "the alternator's output")


def share_rows(results: Results, share: float, drawn: Callable[[CaseFigures], Floats]) -> LimitRows:
    """What is drawn in each condition with the engine running [A], of shape (cases, conditions), against a share of the
    rated output."""
    parts = running_conditions(results)
    return rows_of(lambda: [("alternator", "alternator")] * len(parts), parts, share * results.source.rated_a,
                   lambda figures: drawn(figures)[:, parts])
