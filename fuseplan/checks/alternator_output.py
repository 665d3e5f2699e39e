"""The output of the alternator, as checks hold what is drawn against it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.checks.limit import Failing, LimitRows, rows_of
from fuseplan.checks.rule import Rule, Unjudged
from fuseplan.checks.subjects import condition_words, running_conditions
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.case_figures import CaseFigures
from fuseplan.engine.results import Results
from fuseplan.quantities import writing


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


def worst(failing: list[Failing]) -> Failing:
    """The largest figure of those that fail as entered, else of those that fail at the upper bound."""
    return min(failing, key=lambda each: (each[1], -each[2]))


def larger_alternator(results: Results) -> str | None:
    """The alternator recommended for the plan, the same in every fix: ``an alternator rated 110 A``, with what else it
    asks for; None where none that is sold is enough, and for a dynamo."""
    size = results.power.alternator_size
    return None if size is None else _rated(size.rated_a) + _with_it(results, size.rated_a)


def _rated(rated_a: float) -> str:
    return f"an alternator rated {writing.rating(rated_a)}"


def _with_it(results: Results, rated_a: float) -> str:
    """The fuse and the cable that a larger alternator asks for, where those fitted are too small for it: its fuse
    carries its whole output, as that of the one fitted does."""
    network, cable = results.network, ("alternator", "")
    index = next((index for index, row in enumerate(network.fuses) if row.owner == cable), None)
    fuse_a, parts = 0.0, []
    if index is not None:
        fuse_a = rated_a * float(results.fusing.low_a[0, index]) / results.source.rated_a
        if exceeds(fuse_a, float(results.fusing.rating_a[index])):
            parts.append(f"a fuse for it ({writing.SMALLEST_FUSE(fuse_a)} or more)")
    own = np.array([owner == cable for owner in network.segments.owner], dtype=bool)
    if (own & (exceeds(rated_a, results.segment_limit_a) | exceeds(fuse_a, results.largest_fuse_a))).any():
        parts.append("a cable rated for that" if parts else "a cable rated for it")
    return f", with {' and '.join(parts)}" if parts else ""


def larger_alternator_why(results: Results) -> str | None:
    """The same, with what a smaller one lacks whose rated output would do: hot and at low speed it delivers less."""
    size = results.power.alternator_size
    if size is None or size.instead_of is None:
        return larger_alternator(results)
    less = size.instead_of
    return f"{_rated(size.rated_a)} (by its rated output {writing.rating(less.rated_a)} would do, but hot in " \
           f"{condition_words(results, less.condition)} that one delivers {writing.limit(less.delivers_a, 'A')} of " \
           f"the {writing.burden(less.drawn_a, 'A')} drawn){_with_it(results, size.rated_a)}"


def regulator_too_low(results: Results, index: int) -> bool:
    """Whether it is down to the regulator voltage that the battery's post has less than a battery at rest in a
    condition: a cable and a strap that lose no more than they may would leave it less, too."""
    source, lead = results.source, results.power.alternator_cable
    lost_v = 0.0
    if lead is not None:
        cable_v = lead.limit_ohm.value * lead.rated_a if lead.limit_v is None else lead.limit_v.value
        lost_v = (cable_v + lead.return_limit_v.value) * float(results.balance.demand_a[0, index]) / lead.rated_a
    return at_most(source.regulator_v - lost_v, float(source.open_circuit_v[index]))
