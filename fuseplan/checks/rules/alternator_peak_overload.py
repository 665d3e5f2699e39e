"""Everything on together should stay within 95 % of the alternator's rated output.

More than that and the battery fills every peak. Loads that are on for seconds only, such as a horn or a starter, are
left out: the battery is there for them.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.fixes import larger_alternator
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, Unjudged, over_limit
from fuseplan.checks.subjects import condition_words
from fuseplan.engine.consumers import ALTERNATOR, MOMENTARY
from fuseplan.engine.results import Results
from fuseplan.engine.solve import CORNERS
from fuseplan.engine.states import STATE_INDEX
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network, source = results.network, results.source
    if not source.alternator_known:
        if results.plan.alternator is not None:
            yield rule.unjudged(("alternator", "alternator"), "the alternator's output")
        return
    share = results.limit_set.alternator.peak_share
    consumers = network.consumers
    counted = (consumers.kind != ALTERNATOR) & (consumers.use < MOMENTARY)
    peak = results.solution.consumer_a[:, counted].sum(axis=1).reshape(CORNERS, len(network.conditions))
    failing = over_limit(peak, share * source.rated_a, network.state == STATE_INDEX["running"]).fails
    if not failing:
        return
    worst, corner = min(failing, key=lambda entry: (entry[1], -peak[entry[1], entry[0]]))
    current = float(peak[corner, worst])
    yield rule.finding(
        results, ("alternator", "alternator"),
        f"{MEASURE_WORDS if corner else ''}{writing.burden(current, 'A')} when everything of "
        f"{condition_words(results, worst)} but momentary loads is on is "
        f"{writing.burden(current / source.rated_a, 'share')} of {writing.rating(source.rated_a)} rated; "
        f"{writing.stated(share, 'share')} is {writing.limit(share * source.rated_a, 'A')}",
        figure=current, limit=share * source.rated_a, unit="A", measure=bool(corner),
        source=results.limit_set.alternator.peak_source,
        fix="; or ".join(["loads that are not on together", *filter(None, [larger_alternator(results)])]),
        fields=("alternator.rated",))


RULE = Rule(
    level="advice",
    title="Alternator overloaded at peak",
    source="peak at most 95 %: avionics installation manual 190-00734-17, p. 3-24",
    caution="Written for aircraft; for a car it tells how often the battery has to help.",
    fix="fewer loads on together, or a larger alternator",
    find=find,
)
