"""The output of the alternator, as checks hold what is drawn against it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from fuseplan.array_types import Floats
from fuseplan.checks.limit import Failing, LimitRows, rows_of
from fuseplan.checks.rule import Rule, Unjudged
from fuseplan.checks.subjects import condition_words, running_conditions
from fuseplan.engine.at_limit import at_most
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
    """The alternator recommended for the plan, the same in every fix: ``an alternator rated 110 A``; None where none
    that is sold is enough, and for a dynamo."""
    size = results.power.alternator_size
    return None if size is None else f"an alternator rated {writing.rating(size.rated_a)}"


def larger_alternator_why(results: Results) -> str | None:
    """The same, with what a smaller one lacks whose rated output would do: hot and at low speed it delivers less."""
    words, size = larger_alternator(results), results.power.alternator_size
    if size is None or size.instead_of is None:
        return words
    less = size.instead_of
    return f"{words} (by its rated output {writing.rating(less.rated_a)} would do, but hot in " \
           f"{condition_words(results, less.condition)} that one delivers {writing.limit(less.delivers_a, 'A')} of " \
           f"the {writing.burden(less.drawn_a, 'A')} drawn)"


def regulator_too_low(results: Results, index: int) -> bool:
    """Whether it is down to the regulator voltage that the battery's post has less than a battery at rest in a
    condition: a cable and a strap that lose no more than they may would leave it less, too."""
    source, lead = results.source, results.power.alternator_cable
    lost_v = 0.0
    if lead is not None:
        cable_v = lead.limit_ohm.value * lead.rated_a if lead.limit_v is None else lead.limit_v.value
        lost_v = (cable_v + lead.return_limit_v.value) * float(results.balance.demand_a[0, index]) / lead.rated_a
    return at_most(source.regulator_v - lost_v, float(source.open_circuit_v[index]))
