"""The fuse rating is too small for the load current at the temperature of the holder.

A fuse at its rated current runs hot and blows in the end. A continuous load may use only a share of the rating, less
in a hot place; a load of up to five minutes may use the rating itself, derated for temperature.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import COOLER, LEAVE_OUT, fuse_words, insulation_without_current, or_split
from fuseplan.checks.fuse_to_fit import carrying, larger_type_words, over_makers_limit, rating_to_fit, too_slow_words
from fuseplan.checks.fuse_with_wire import fuse_with_wire, insulation_and_wires, sizes_on_file
from fuseplan.checks.limit import LimitRows, rows_of
from fuseplan.checks.protected import rating_unknown, unjudged
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import charging_words, fuse_path, fuse_subject
from fuseplan.checks.too_large_fuse import thicker_with, what_else_needs
from fuseplan.checks.unlisted import holder_unlisted
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.fusing import smallest_rating
from fuseplan.engine.proposed_ratings import seat_limit_a
from fuseplan.engine.results import Results
from fuseplan.engine.stock import ratings_between
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseRange, FuseResult
from fuseplan.tables.fuses import hottest_c


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    fusing = results.fusing
    judged = load_of_fuses(results).judged(results)
    for index in judged.unknown:
        row = results.network.fuses[index]
        hotter = _past_the_curve(rule, results, index)
        if hotter is not None:
            yield hotter
            continue
        words = rating_unknown(results, index) if np.isnan(fusing.rating_a[index]) else \
            holder_unlisted(row) if np.isnan(fusing.ambient_k[index]) else "the current through it"
        yield from unjudged(rule, results, index, words)
    for index, bound, need, rating in judged.failing:
        row = results.network.fuses[index]
        share = float(fusing.share[bound, index])
        k = float(fusing.ambient_k[index])
        allowed = results.limit_set.fuse.continuous_share * k
        lasting_a, brief_a = float(fusing.continuous_a[bound, index]), float(fusing.short_a[bound, index])
        if exceeds(need, lasting_a / allowed):  # what flows for a while asks for more
            message = (f"{writing.burden(brief_a, 'A')} for up to five minutes"
                       f"{charging_words(results, fuse_subject(row), brief_a)} is more than its "
                       f"{writing.rating(rating)} fuse carries at {writing.burden(row.ambient_c, '°C')}")
        else:
            used, may_use = writing.against(share, allowed, "share")
            message = (f"{writing.burden(lasting_a, 'A')} continuous"
                       f"{charging_words(results, fuse_subject(row), lasting_a)} is {used} of its "
                       f"{writing.rating(rating)} fuse; at {writing.burden(row.ambient_c, '°C')} a continuous load may "
                       f"use {may_use}")
        binding = int(fusing.binding[index])
        hopeless = insulation_without_current(results, binding)
        over = over_makers_limit(results, index, need)
        fix = _fix(results, index, need, bool(fusing.silent[index]), hopeless) if over is None else \
            Fix(over, (fuse_path(row, "rating"),))
        yield rule.finding(
            results, fuse_subject(row), message, figure=need, limit=rating, unit="A", fix=fix, bound=bound,
            caution=_SHORTS_ONLY if results.fusing.against_shorts[index] else None,
            source=results.limit_set.fuse.continuous_source)


def _past_the_curve(rule: Rule, results: Results, index: int) -> Finding | None:
    """A fuse hotter than the published curve goes that is too small for its load even where the curve ends."""
    fusing, row = results.fusing, results.network.fuses[index]
    rating, top_c = float(fusing.rating_a[index]), hottest_c()
    if not np.isnan(fusing.ambient_k[index]) or np.isnan(rating):
        return None
    node = int(results.network.fuse_node[index])
    needs = smallest_rating(results.limit_set, results.demands.supply[:, :, [node]],
                            results.limit_set.fuse_k(np.array([top_c])))
    for bound, need in enumerate(needs[:, 0].tolist()):
        lasting, brief = float(fusing.continuous_a[bound, index]), float(fusing.short_a[bound, index])
        if exceeds(need, rating):
            return rule.finding(
                results, fuse_subject(row),
                f"{writing.burden(max(lasting, brief), 'A')} through {writing.rating(rating)} at "
                f"{writing.burden(row.ambient_c, '°C')}: at {writing.stated(top_c, '°C')}, the hottest on file, it "
                f"takes {writing.SMALLEST_FUSE(need)}, and here it takes more", figure=need, limit=rating, unit="A",
                bound=bound, source=results.limit_set.fuse.continuous_source, fix=COOLER,
                fields=(fuse_path(row, "zone"), fuse_path(row, "rating")))
    return None


_SHORTS_ONLY = ("This fuse protects against shorts only. If it blows under load, a starter stops, glow plugs stay "
                "cold, and an alternator is cut off from the battery while it charges.")


def load_of_fuses(results: Results) -> LimitRows:
    """The smallest fuse each load needs, against the rating in force."""
    network = results.network
    return rows_of(lambda: [fuse_subject(row) for row in network.fuses], np.arange(len(network.fuses)),
                   results.fusing.rating_a, lambda figures: figures.smallest_fuse_a)


def _fix(results: Results, index: int, need_a: float, is_silent: bool, hopeless: str | None) -> Fix:
    """What to fit for a need; `is_silent` says that of some wire it protects no ampacity is on file."""
    high_a = float(results.fusing.high_a[index])
    rating_a, fuse = _fuse(results, index, need_a, is_silent)
    smallest = f"smallest fuse for the load: {writing.SMALLEST_FUSE(need_a)}"
    fuse = fuse or larger_type_words(results.network.fuses[index].fuse, need_a)
    apart = f"{or_split(results, index, 'two fuses and two wires')}; {smallest}, largest for the wire: " \
            f"{writing.LARGEST_FUSE(high_a)}"
    rating, is_too_thin = fuse_path(results.network.fuses[index], "rating"), (rating_a or need_a) > high_a
    if hopeless is not None:
        binding = int(results.fusing.binding[index])
        others = what_else_needs(results, index, rating_a or need_a, results.network.segments.owner[binding])
        first, sizes = insulation_and_wires(results, index, binding, rating_a or need_a)
        return Fix(f"{first}; then {fuse}{others.words}", (*others.fields, rating),
                   sizes=(*sizes_on_file(sizes), *others.sizes))
    if results.fusing.against_shorts[index] and not is_silent:
        words = f"fit {fuse}, or {LEAVE_OUT}; {smallest}"
    elif is_silent or not math.isfinite(high_a):
        wire = " and a thicker wire" if is_too_thin else ""
        words = f"fit {fuse}{wire} once you know what the wire is rated for: its ampacity is not on file; {smallest}"
    elif is_too_thin and rating_a is not None:
        wired = thicker_with(results, index, need_a, rating_a, fuse)
        # Without a size that is known to do, no thicker wire removes it: it is the fuse's own.
        is_of_wire = bool(wired.sizes) and not wired.lacks_size and \
            results.network.segments.owner[wired.sizes[0][0]] == results.network.fuses[index].owner
        slow = too_slow_words(results, index, rating_a, wired.sizes)
        return wired._replace(words=f"{wired.words}{apart}{slow}",
                              fields=wired.fields if is_of_wire else tuple(dict.fromkeys((rating, *wired.fields))))
    elif is_too_thin:
        words = f"fit {fuse} and a thicker wire{apart}"
    elif rating_a is None:
        words = f"fit {fuse}{apart}"
    else:
        words = f"fit {fuse}: the wire allows up to {writing.LARGEST_FUSE(high_a)}" \
                f"{too_slow_words(results, index, rating_a)}"
        # Another type or holder is more than a rating to be entered.
        if fuse == results.network.stock.fuse_words(results.network.fuse_kinds[index], rating_a):
            return Fix(words, (rating,), ((rating, writing.rating(rating_a)),))
    return Fix(words, (rating,))


def _fuse(results: Results, index: int, need_a: float, is_silent: bool) -> tuple[float | None, str]:
    """The fuse to fit for a need, its rating and words: one that the wire allows, else the one that goes with a thicker
    wire; None and nothing where none is sold."""
    kind, high_a = results.network.fuse_kinds[index], float(results.fusing.high_a[index])
    if is_silent:
        # Of a wire nothing is known of, no more is asked than the load needs, whatever is at hand.
        rating = next(iter(ratings_between(kind, need_a)), None)
        return rating, "" if rating is None else fuse_words(results, index, rating)
    rating = rating_to_fit(results, index, need_a, min(high_a, seat_limit_a(results.network, index)))
    if rating is not None and results.network.stock.instead(results.network.fuses[index].fuse, need_a) is None:
        return rating, fuse_words(results, index, rating)
    found, binding = carrying(results, index, need_a), int(results.fusing.binding[index])
    if found is None or binding < 0 or at_most(found.rating_a, high_a):
        return (None, "") if found is None else (found.rating_a, found.words)
    wired = fuse_with_wire(results, index, binding, need_a, float(results.fusing.rating_a[index]))
    return wired.rating_a, wired.words


RULE = Rule(
    consequence="fails_in_use",
    title="Fuse too small",
    source="75 % of rating at 25 °C for a continuous load: L. Lundy, The fuse-selection checklist, EDN, 26 "
           "September 1996",
    caution="Never fit a bigger fuse to stop it blowing: the wire becomes the fuse.",
    fix="a larger fuse, only together with a wire rated for it",
    example="fails: 7.5 A continuous on a 7.5 A fuse; passes: on a 15 A fuse",
    find=find,
    ambient=True,
    limits=(load_of_fuses,),
    figures=((FuseRange.low, FuseResult.rating_a),),
)
