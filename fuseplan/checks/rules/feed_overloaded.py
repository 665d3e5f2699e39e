"""The circuits on a feed together draw more than its wire, stud, bus, relay or switch is rated for.

Each circuit alone may be correct and the feed they share still overheat. The feed's fuse is checked like any other.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.contacts import contact_for_feed, unprinted_fix, unprinted_words
from fuseplan.checks.feed_limits import SHUNT_SHARE, FeedLimit, feed_limits
from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.overload import for_minutes, for_seconds, overloaded
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import charging_words
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.segment import SegmentResult
from fuseplan.results.supply import FeedInCondition

_SHARED_OUT = "a second feed for part of its circuits"
LASTING, MOMENTARY = for_minutes("feed"), for_seconds("feed")


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    yield from overloaded(rule, results, LASTING, MOMENTARY)
    limits = feed_limits(results)
    rows = _parts(results, limits)
    figure = rows.figure(results.at_bounds)
    judged = rows.outcome(figure)
    fails, unknown = judged.failing, judged.unknown
    failing = {index for index, *_ in fails}
    for index, each in enumerate(limits):
        if each.relay is not None and not each.is_printed and index not in failing:
            fix = unprinted_fix(results, (contact_for_feed(results, each.feed, bound) for bound in (1, 0)))
            yield rule.unjudged(("feed", each.feed), f"what {each.words} may carry: {fix}")
            ambient_c = each.relay.contact.ambient_c
            yield rule.finding(
                results, ("feed", each.feed), unprinted_words(ambient_c), figure=ambient_c, unit="°C",
                consequence="not_judged", source=each.source, fix=fix, fields=(each.path,))
        elif index in unknown:
            yield rule.unjudged(("feed", each.feed), f"what {each.words} may carry")
    past_scale = {(limits[index].path, bound) for index, bound, *_ in fails if not limits[index].of_shunt}
    for index, bound, current, most in fails:
        each = limits[index]
        if each.of_shunt and any((each.path, below) in past_scale for below in range(bound + 1)):
            continue
        stock, more = results.network.stock, charging_words(results, ("feed", each.feed), current).rstrip(",")
        better = None if each.relay is None else contact_for_feed(results, each.feed, bound)
        yield rule.finding(
            results, ("feed", each.feed),
            f"{writing.burden(current, 'A')}{more or ' together'}; {each.words} is rated for "
            f"{writing.limit(most, 'A')}", figure=current, limit=most, unit="A", bound=bound, source=each.source,
            consequence="not_judged" if each.of_shunt else None,
            fix=f"{f'{stock.relay_words(better)}, or ' if better else _larger(each, float(figure[1, index]))}"
                f"{'connect the alternator cable closer to the battery' if more else _SHARED_OUT}",
            fields=(each.path,), part=each.path)


def parts_of_feeds(results: Results) -> LimitRows:
    """What lasts on each feed, against the limits of its parts, in the order of `feed_limits`."""
    return _parts(results, feed_limits(results))


def _larger(limit: FeedLimit, current_a: float) -> str:
    """What else can go in the place of an ammeter, relay or switch, for the worst-case current, before an
    alternative."""
    if limit.path.endswith(".ammeter.scale"):
        scale = f"for {writing.burden(current_a / SHUNT_SHARE, 'A')} or more at full scale"
        return f"if it has a shunt, one {scale}, or " if limit.of_shunt else \
            f"an ammeter or shunt {scale} or a voltmeter in its place, or "
    if limit.path.endswith(".relay.breaks"):
        return f"a relay that may break {writing.burden(current_a, 'A')} or more at the car's voltage, or "
    if limit.path.endswith(".switch.rating"):
        rating = writing.burden(current_a, "A")
        return f"a relay in its place whose coil the switch feeds or a switch rated {rating} or more, or "
    return ""


def _parts(results: Results, limits: list[FeedLimit]) -> LimitRows:
    nodes = np.array([results.network.feed_node[each.feed] for each in limits], dtype=np.int64)
    return rows_of(lambda: [("feed", each.feed) for each in limits], np.arange(len(limits)),
                   np.array([each.limit_a for each in limits]), lambda figures: figures.demands.lasting_at(nodes))


RULE = Rule(
    consequence="burns",
    title="Feed overloaded",
    source="limits of the part",
    caution="A feed melts where nobody sees it, behind the fuse box; its fuse does not blow for a hot stud or relay "
            "socket.",
    fix="a second feed for part of its circuits",
    example="fails: an 18 A fan on a bus limited to 15 A; passes: a limit of 30 A",
    find=find,
    ambient=True,
    limits=(LASTING, MOMENTARY, parts_of_feeds),
    figures=((SegmentResult.current_a, SegmentResult.ampacity_a), (FeedInCondition.current_a, None)),
)
