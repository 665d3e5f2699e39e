"""All loads on together draw more than 95 % of the alternator's rated output.

Above that the battery supplies every peak. Loads that are on for seconds only, such as a horn or a starter, are
left out: the battery supplies them.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.alternator_output import larger_alternator_why, output_unknown, share_rows, worst
from fuseplan.checks.limit import LimitRows
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import condition_words
from fuseplan.engine.power import together_demand
from fuseplan.engine.results import Results
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    source = results.source
    if not source.alternator_known:
        yield from output_unknown(rule, results)
        return
    failing = all_together(results).judged(results).failing
    if not failing:
        return
    share = results.limit_set.alternator.peak_share
    index, bound, current, limit = worst(failing)
    yield rule.finding(
        results, ("alternator", "alternator"),
        f"{writing.burden(current, 'A')} with all loads of {condition_words(results, index)} on, momentary ones left "
        f"out, is {writing.burden(current / source.rated_a, 'share')} of the {writing.rating(source.rated_a)} it is "
        f"rated for; the limit is {writing.stated(share, 'share')}, {writing.limit(limit, 'A')}",
        figure=current, limit=limit, unit="A", bound=bound,
        source=results.limit_set.alternator.peak_source,
        fix="; or ".join(["have fewer loads on together", *filter(None, [larger_alternator_why(results)])]),
        fields=("alternator.rated",))


def all_together(results: Results) -> LimitRows:
    """All loads on together in each condition with the engine running, momentary ones left out, against the
    alternator's share for them."""
    return share_rows(results, results.limit_set.alternator.peak_share,
                      lambda figures: together_demand(figures.solution))


RULE = Rule(
    consequence="good_practice",
    title="Alternator overloaded at peak",
    source="peak at most 95 %: avionics installation manual 190-00734-17, p. 3-24",
    caution="Written for aircraft; in a car it shows how often the battery has to supply the rest.",
    fix="have fewer loads on together, or a larger alternator",
    example="fails: 100 A on a 90 A alternator; passes: 25 A",
    find=find,
    limits=(all_together,),
)
