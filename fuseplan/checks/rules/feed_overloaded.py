"""A feed must bear the sum of everything that hangs on it: its wire, its stud or bus, its relay and its switch.

Each circuit alone may be right and the feed they share still melt. The share of the feed's fuse is judged as that of
every fuse.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.contacts import larger_contact
from fuseplan.checks.feed_limits import feed_limits
from fuseplan.checks.overload import overloaded
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, Unjudged, over_limit
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN
from fuseplan.engine.results import Results
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    yield from overloaded(rule, results, lambda kind: kind == "feed")
    node = results.network.feed_node
    lasting = np.maximum(results.demands.supply[:, FIVE_MIN], results.demands.supply[:, CONTINUOUS])
    limits = feed_limits(results)
    figure = lasting[:, [node[each.feed] for each in limits]]
    judged = over_limit(figure, np.array([each.limit_a for each in limits]), True)
    failing = {index for index, _ in judged.fails}
    for index, each in enumerate(limits):
        if index in judged.unknown or (not each.is_printed and index not in failing):
            yield rule.unjudged(("feed", each.feed), f"what {each.words} may carry")
    for index, corner in judged.fails:
        each = limits[index]
        better = None if each.relay is None else larger_contact(
            float(figure[corner, index]), each.relay.contact.ambient_c, each.relay.kinds)
        yield rule.finding(
            results, ("feed", each.feed),
            f"{MEASURE_WORDS if corner else ''}{writing.burden(figure[corner, index], 'A')} together; {each.words} "
            f"bears {writing.limit(each.limit_a, 'A')}", figure=float(figure[corner, index]), limit=each.limit_a,
            unit="A", measure=bool(corner), source=each.source,
            fix=f"{f'a {better} contact, or ' if better else ''}a second feed for part of its circuits",
            fields=(each.path,))


RULE = Rule(
    level="danger",
    title="Feed overloaded",
    source="limits of the part",
    caution="A feed melts where it is hidden, behind the fuse box; its own fuse does not see a hot stud or relay "
            "socket.",
    fix="a second feed for part of its circuits",
    find=find,
)
