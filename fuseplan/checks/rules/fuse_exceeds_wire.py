"""The fuse rating exceeds the ampacity of a wire the fuse protects, down to the next fuse, earth wires too.

A cable that may go without a fuse, by its role, its length and its cover, is none the worse for one that is too large:
that protects against shorts only, and is advice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.array_types import Ints
from fuseplan.checks.fixes import wire_field
from fuseplan.checks.limit import over_limit
from fuseplan.checks.protected import FUSE_SOURCE, rating_unknown, unjudged
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import fuse_path, fuse_subject, owner_words, segment_subject, segment_words
from fuseplan.checks.too_large_fuse import behind_another, fix_for, past_the_tables
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.clearing import OPEN_WITHIN_S
from fuseplan.engine.results import Results
from fuseplan.engine.unfused import CABLE_SOURCE
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseResult
from fuseplan.tables.distinct import distinct


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    fusing, network = results.fusing, results.network
    judged = over_limit(np.stack([fusing.rating_a, fusing.rating_a]), fusing.wire_a)
    unlimited = np.flatnonzero(fusing.silent & ~np.isnan(fusing.rating_a) & ~exceeds(fusing.rating_a, fusing.wire_a))
    for index in judged.unknown:
        yield from unjudged(rule, results, index, rating_unknown(results, index))
    for index in unlimited.tolist():
        yield from unjudged(rule, results, index, "ampacity of a wire it protects")
    yield from _past_the_tables(rule, results)
    for index, _, rating, high in judged.failing:
        row, binding = network.fuses[index], int(fusing.binding[index])
        if fusing.against_shorts[index]:
            yield _shorts_only(rule, results, index, rating, high)
            continue
        fix = fix_for(results, index, binding)
        yield rule.finding(
            results, fuse_subject(row),
            f"fuse rating {writing.rating(rating)} exceeds the {writing.LARGEST_FUSE(high)} that "
            f"{segment_words(results, binding)} is rated for",
            figure=rating, limit=high, unit="A", source=results.limit_set.fuse.wire_source, fix=fix)
    behind = network.guarded_by_others
    guard = network.segment_guard[behind]
    weak = exceeds(fusing.rating_a[guard], results.largest_fuse_a[behind]) & ~fusing.against_shorts[guard]
    for index in distinct(guard[weak]).tolist():
        yield from _behind(rule, results, index, behind[weak & (guard == index)])


def _past_the_tables(rule: Rule, results: Results) -> Iterator[Finding]:
    """Wires of which nothing is on file, but whose fuse is too large even for the next wire that is: the worst of each
    part and device."""
    fusing, network, bounds = results.fusing, results.network, results.ceilings
    guard = network.segment_guard
    weak = np.flatnonzero((guard >= 0) & exceeds(fusing.rating_a[guard], bounds.fuse_a)) if len(network.fuses) else ()
    worst: dict[tuple[tuple[str, str], int], int] = {}
    for segment in map(int, weak):
        key = (network.segments.owner[segment], int(guard[segment]))
        if key not in worst or bounds.fuse_a[segment] < bounds.fuse_a[worst[key]]:
            worst[key] = segment
    for (_, device), segment in worst.items():
        row, rating, most = network.fuses[device], float(fusing.rating_a[device]), float(bounds.fuse_a[segment])
        at_feed = "" if row.owner == network.segments.owner[segment] else f" of {owner_words(results, row.owner)}"
        is_only_more = bool(fusing.against_shorts[device] or fusing.short_branches[segment])
        yield rule.finding(
            results, segment_subject(results, segment),
            f"fuse rating {writing.rating(rating)}{at_feed} exceeds the {writing.LARGEST_FUSE(most)} that the nearest "
            f"wire on file is rated for ({bounds.words[segment]}); {segment_words(results, segment)} is no better, its "
            "own limit is not on file", figure=rating, limit=most, unit="A",
            source=CABLE_SOURCE if is_only_more else results.limit_set.fuse.wire_source,
            consequence="good_practice" if is_only_more else None,
            fix=past_the_tables(results, device, segment))


def _shorts_only(rule: Rule, results: Results, index: int, rating: float, high: float) -> Finding:
    row, opens_s = results.network.fuses[index], float(results.faults.fuse_opens_s[index])
    words = segment_words(results, int(results.fusing.binding[index]))
    does = "it protects against shorts only" if at_most(opens_s, OPEN_WITHIN_S) else \
        "it protects against shorts at most, and whether it blows on one is not known" if math.isnan(opens_s) else \
        "it may not blow on a short, so it counts as no fuse"
    return rule.finding(
        results, fuse_subject(row),
        f"fuse rating {writing.rating(rating)} exceeds the {writing.LARGEST_FUSE(high)} that {words} is rated for: "
        f"{does}; the role, length and cover of the cable allow it to go without one",
        figure=rating, limit=high, unit="A", source=CABLE_SOURCE, consequence="good_practice",
        caution="An overload does not blow this fuse: keep the cable as short and as well covered as one without a "
                "fuse.",
        fix=f"a fuse of at most {writing.LARGEST_FUSE(high)}, where that carries the load, protects against an "
            "overload too; otherwise leave it as it is",
        fields=(fuse_path(row, "rating"), wire_field(results, int(results.fusing.binding[index]))))


def _behind(rule: Rule, results: Results, index: int, weak: Ints) -> Iterator[Finding]:
    """The same for circuits without a fuse of their own whose wires the device does not protect, the weakest of each:
    none of them is ok because the device is a feed's. Where such a branch could itself go without a fuse, advice.
    `weak` are the wires of others that it is too large for."""
    row, rating = results.network.fuses[index], float(results.fusing.rating_a[index])
    weakest: dict[tuple[str, str], tuple[float, int]] = {}
    for segment in weak.tolist():
        owner, allowed = results.network.segments.owner[segment], float(results.largest_fuse_a[segment])
        if owner[0] == "circuit" or results.fusing.short_branches[segment]:
            weakest[owner] = min(weakest.get(owner, (math.inf, segment)), (allowed, segment))
    for allowed, segment in weakest.values():
        words, is_short = segment_words(results, segment), bool(results.fusing.short_branches[segment])
        fix = (behind_another if is_short else fix_for)(results, index, segment)
        yield rule.finding(
            results, segment_subject(results, segment),
            f"fuse rating {writing.rating(rating)} of {owner_words(results, row.owner)} exceeds the "
            f"{writing.LARGEST_FUSE(allowed)} that {words} is rated for"
            + ("; the role, length and cover of the cable allow it to go without a fuse, so it need only blow on a "
               "short" if is_short else ""),
            figure=rating, limit=allowed, unit="A",
            source=CABLE_SOURCE if is_short else results.limit_set.fuse.wire_source,
            consequence="good_practice" if is_short else None, fix=fix)


RULE = Rule(
    consequence="burns",
    title="Fuse rating exceeds wire ampacity",
    source=FUSE_SOURCE,
    caution="A wire not protected by its fuse can glow inside the loom for minutes before the fuse blows.",
    fix="a smaller fuse or a thicker wire",
    example="fails: 25 A on 1 mm² thin-wall wire at 45 °C; passes: 7.5 A",
    find=find,
    ambient=True,
    figures=((FuseResult.rating_a, FuseResult.largest_for_wire_a),),
)
