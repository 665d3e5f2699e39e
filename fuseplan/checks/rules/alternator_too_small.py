"""The continuous loads draw more than 80 % of the alternator's rated output.

The rest charges the battery and supplies what is switched on and off. An alternator at its limit for hours runs hot and
fails early.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.alternator_output import larger_alternator_why, output_unknown, share_rows, worst
from fuseplan.checks.limit import LimitRows
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import condition_words
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.condition import ConditionResult


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    source, share = results.source, results.limit_set.alternator.continuous_share
    if not source.alternator_known:
        yield from output_unknown(rule, results)
        return
    failing = lasting_load(results).judged(results).failing
    if not failing:
        return
    index, bound, current, limit = worst(failing)
    also = [condition_words(results, other) for other, *_ in failing if other != index]
    yield rule.finding(
        results, ("alternator", "alternator"),
        f"{writing.burden(current, 'A')} continuous in {condition_words(results, index)} is "
        f"{writing.burden(current / source.rated_a, 'share')} of the {writing.rating(source.rated_a)} it is rated for; "
        f"the limit is {writing.stated(share, 'share')}, {writing.limit(limit, 'A')}"
        f"{'; also in ' + ', '.join(also) if also else ''}", figure=current, limit=limit, unit="A", bound=bound,
        source=results.limit_set.alternator.continuous_source,
        fix="; or ".join([*filter(None, [larger_alternator_why(results)]), "fewer loads on at a time"]),
        fields=("alternator.rated",))


def lasting_load(results: Results) -> LimitRows:
    """The loads in continuous and prolonged use in each condition with the engine running, against the alternator's
    share for them."""
    return share_rows(results, results.limit_set.alternator.continuous_share, lambda figures: figures.continuous_a)


RULE = Rule(
    consequence="stops_the_car",
    title="Alternator too small",
    source="continuous load at most 80 % of the machine's output: FAA AC 43.13-1B CHG 1, 27 September 2001, par. 11-35",
    caution="A bigger alternator needs a bigger alternator cable, and a dash ammeter in that cable must be rated for "
            "its whole current.",
    fix="a larger alternator, or less load",
    example="fails: 80 A continuous on a 90 A alternator; passes: 25 A",
    find=find,
    limits=(lasting_load,),
    figures=((ConditionResult.continuous_a, None),),
)
