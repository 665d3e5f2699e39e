"""The wire to a second battery is not protected at that battery's end.

A second battery is a second source: a short in the wire is fed from both ends, and the fuse at the feed's end stops
only one of them. The fuse at the battery must be there, small enough for the wire, near the post, and must blow on a
short at the other end of the wire it protects. What it lets through flows on into the feed the link is on: its wires
back to the first battery must be rated for one of the fuses on that way too.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import size_that_carries
from fuseplan.checks.fuse_to_fit import BOLTED_A
from fuseplan.checks.fuse_with_wire import sizes_on_file
from fuseplan.checks.one_size import asked_too
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.rules.breaking_capacity import BEYOND
from fuseplan.checks.second_battery import FarEnd, far_ends
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.checks.too_large_fuse import own_least_a
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.clearing import OPEN_WITHIN_S, OPEN_WITHIN_SOURCE
from fuseplan.engine.fusing import smallest_rating
from fuseplan.engine.results import Results
from fuseplan.engine.stock import larger_types, may_change_type, ratings_between
from fuseplan.engine.unfused import ENCLOSED_M, LENGTH_SOURCE, OPEN_M
from fuseplan.engine.unprinted_times import greatest_time_of, may_be_stated
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.parts import Fuse
from fuseplan.plan.words import OTHER_POST
from fuseplan.quantities import writing
from fuseplan.tables import fuses as fuse_tables


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    for end in far_ends(results):
        fuse = end.fitted.fuse
        if fuse is None:
            largest = _largest_a(results, end)
            live = OTHER_POST[results.plan.vehicle.earthed]
            size = f"of at most {writing.LARGEST_FUSE(largest)} " if np.isfinite(largest) else ""
            yield rule.finding(
                results, ("circuit", end.circuit), "no fuse at the second battery: it feeds a short in this wire from "
                "its own end, and the fuse at the other end does not stop that",
                fix=f"fit a fuse {size}in the wire as near to the second battery's {live} post as possible",
                fields=(f"circuit.{end.circuit}.second_battery.fuse.kind",))
        else:
            yield from _judged(rule, results, end, fuse, math.nan if fuse.rating is None else float(fuse.rating))


def _judged(rule: Rule, results: Results, end: FarEnd, fuse: Fuse, rating_a: float) -> Iterator[Finding | Unjudged]:
    """What is wrong with a fuse at the second battery, of another rating than its own, too; NaN where none is given."""
    if not may_be_stated(fuse):
        yield rule.unjudged(("circuit", end.circuit), "whether the fusible link at the second battery blows on a "
                            "short in the wire: no times are on file for links; a fuse with a rating answers it")
    elif math.isnan(rating_a):
        yield rule.unjudged(("circuit", end.circuit), "rating of the fuse at the second battery")
    else:
        yield from _fitted(rule, results, end, fuse, rating_a)
        if end.fitted.converter_before is None:
            yield from _ways(rule, results, end, rating_a)


def fuse_to_fit(results: Results, circuit: str, new: Fuse) -> tuple[str, float] | None:
    """Type and rating of the fuse at the second battery of a circuit with which nothing above advice is wrong there:
    those of the fuse at the other end before any other, then one that breaks what the battery drives and whose times
    are on file. None where none does. `new` is one that is fitted where there is none."""
    end = next(each for each in far_ends(results) if each.circuit == circuit)
    index = int(results.network.guard[results.network.circuit_node[end.number]])
    if index < 0 or not np.isfinite(largest := _largest_a(results, end)):
        return None
    fitted, stock = end.fitted.fuse or new, results.network.stock
    own, rating_a = results.network.fuse_kinds[index], float(results.fusing.rating_a[index])
    low, upper = smallest_rating(results.limit_set, results.demands.circuit[:, :, [end.number]],
                                 results.fusing.ambient_k[[index]])[:, 0].tolist()
    found = []
    for kind in dict.fromkeys((own, *larger_types(own), "maxi", "mega")) if may_change_type(fitted) else (fitted.kind,):
        fuse = fitted.model_copy(update={"kind": kind, **({} if kind == fitted.kind else {"blows_at": None})})
        breaks = fuse_tables.breaking_capacity_a(kind)
        for rating in stock.preferred(kind, ratings_between(kind, low, largest)):
            if not any(isinstance(each, Finding) and each.level != "advice"
                       for each in _judged(RULE, results, end, fuse, rating)):
                found.append(((breaks is None or not at_most(min(end.most_a, BOLTED_A), breaks.value),
                               math.isnan(greatest_time_of(fuse, rating, end.least_a)),
                               kind != own, rating != rating_a, not at_most(upper, rating), rating), kind, rating))
    return min(found)[1:] if found else None


def _ways(rule: Rule, results: Results, end: FarEnd, rating_a: float) -> Iterator[Finding]:
    """The wires of the feeds between the link and the first battery: the fuse at that battery's end of each stops
    nothing that the second battery drives into a short there."""
    network, segments = results.network, results.network.segments
    devices = {row.owner: float(results.fusing.rating_a[index]) for index, row in enumerate(network.fuses)}
    smallest = np.fmin(rating_a, devices.get(("circuit", end.circuit), np.nan))
    for name in way_to(results.plan, network.circuits[end.number].feed):
        wires = [index for index, owner in enumerate(segments.owner) if owner == ("feed", name)
                 and segments.place[index].startswith("wire.")]
        weakest = _weakest_known(results, wires)
        largest = float(_at_most_a(results)[weakest]) if weakest >= 0 else np.nan
        if exceeds(smallest, largest):
            fix = _smaller_or_thicker(
                results, end, weakest, float(smallest), largest, own_least_a(results, weakest),
                f"a fuse of at most {writing.LARGEST_FUSE(largest)} in the link, or take the link from a feed with a "
                "thicker wire")
            yield rule.finding(
                results, ("circuit", end.circuit),
                f"the second battery feeds a short in {segment_words(results, weakest)} through a fuse of "
                f"{writing.rating(float(smallest))}; that wire is rated for {writing.LARGEST_FUSE(largest)}, and its "
                "own fuse, at the first battery's end, does not stop it",
                figure=float(smallest), limit=largest, unit="A", source=results.limit_set.fuse.wire_source, fix=fix)
        smallest = np.fmin(smallest, devices.get(("feed", name), np.nan))


def _weakest(results: Results, end: FarEnd) -> int:
    """The segment that allows the smallest fuse of those the fuse protects, one that is not known before any other; -1
    without one."""
    return int(end.wires[np.argmin(results.largest_fuse_a[end.wires])]) if end.wires.size else -1


def _at_most_a(results: Results) -> Floats:
    """The most each wire allows as its fuse (S,) [A]: of one whose limit is not on file, what bounds it."""
    return np.where(np.isnan(results.largest_fuse_a), results.ceilings.fuse_a, results.largest_fuse_a)


def _weakest_known(results: Results, wires: list[int]) -> int:
    """The segment that allows the smallest fuse, by what is known of it; -1 without one."""
    most = _at_most_a(results)
    return min((index for index in wires if not np.isnan(most[index])), key=lambda index: float(most[index]),
               default=-1)


def _largest_a(results: Results, end: FarEnd) -> float:
    """Largest fuse that the wires behind it allow [A]; NaN where that is not known."""
    weakest = _weakest(results, end)
    return float(results.largest_fuse_a[weakest]) if weakest >= 0 else float("nan")


def _charging_a(results: Results, end: FarEnd) -> float:
    """The smallest fuse of the link that carries the charging current [A]; NaN where that is not known."""
    return next((float(results.fusing.low_a[0, index]) for index, row in enumerate(results.network.fuses)
                 if row.owner == ("circuit", end.circuit)), math.nan)


def _smaller_or_thicker(results: Results, end: FarEnd, weakest: int, rating_a: float, largest_a: float, load_a: float,
                        smaller: str) -> Fix:
    """What to do about a fuse above what a wire is rated for: a `smaller` one, or a thicker wire where a load that asks
    for a fuse of `load_a` needs it."""
    size_key, rating_key = segment_path(results, weakest, "size"), f"circuit.{end.circuit}.second_battery.fuse.rating"
    if not exceeds(load_a, largest_a):
        return Fix(smaller, (rating_key, size_key))
    size = size_that_carries(results, weakest, max(rating_a, load_a), fuse=True)
    size = None if size is None else asked_too(results, weakest, size)
    thicker = "a thicker wire" if size is None else f"fit {results.network.stock.wire_words(size)}"
    known = sizes_on_file([(weakest, size)])
    return Fix(f"{thicker} in place of {segment_words(results, weakest)}; smallest fuse for the load: "
               f"{writing.SMALLEST_FUSE(load_a)}", (size_key, rating_key),
               tuple((size_key, each) for _, each in known), known)


def _fitted(rule: Rule, results: Results, end: FarEnd, fuse: Fuse, rating_a: float) -> Iterator[Finding | Unjudged]:
    path = f"circuit.{end.circuit}.second_battery.fuse"
    largest, weakest = _largest_a(results, end), _weakest(results, end)
    is_known = bool(np.isfinite(largest))
    if not is_known and (weakest := _weakest_known(results, end.wires.tolist())) >= 0:
        largest = float(_at_most_a(results)[weakest])
    if not is_known and not exceeds(rating_a, largest):
        yield rule.unjudged(("circuit", end.circuit), "ampacity of the wire the fuse at the second battery protects")
    elif not at_most(rating_a, largest):
        fix = _smaller_or_thicker(results, end, weakest, rating_a, largest, _charging_a(results, end),
                                  f"a fuse of at most {writing.LARGEST_FUSE(largest)} there, or a thicker wire")
        yield rule.finding(
            results, ("circuit", end.circuit),
            f"the fuse at the second battery, {writing.rating(rating_a)}, exceeds the {writing.LARGEST_FUSE(largest)} "
            f"that {segment_words(results, weakest)} is rated for{'' if is_known else ' at most'}",
            figure=rating_a, limit=largest, unit="A",
            source=results.limit_set.fuse.wire_source, fix=fix)
    distance = None if fuse.distance is None else float(fuse.distance)
    most_m = OPEN_M if fuse.cover is None else ENCLOSED_M
    if distance is not None and not at_most(distance, most_m):
        yield rule.finding(
            results, ("circuit", end.circuit),
            f"{writing.burden(distance, 'm')} of wire between the second battery and its fuse; the boat rule allows "
            f"{writing.limit(OPEN_M, 'm')}, or {writing.limit(ENCLOSED_M, 'm')} with its cover stated",
            figure=distance, limit=most_m, unit="m", source=LENGTH_SOURCE, fields=(f"{path}.distance", f"{path}.cover"),
            fix="move the fuse to the battery's post")
    opens = greatest_time_of(fuse, rating_a, end.least_a)
    if not math.isnan(end.least_a) and exceeds(opens, OPEN_WITHIN_S):
        yield rule.finding(
            results, ("circuit", end.circuit),
            f"a short at the other end of the wire draws {writing.limit(end.least_a, 'A')} from the second battery: "
            f"its {fuse_tables.kind_words(fuse.kind)} of {writing.rating(rating_a)} "
            + ("may never blow" if np.isinf(opens) else f"may take {writing.burden(opens, 's')} to blow"),
            figure=None if np.isinf(opens) else opens, limit=OPEN_WITHIN_S, unit="s",
            source=OPEN_WITHIN_SOURCE,
            fix="a smaller fuse there, or a thicker or shorter wire",
            fields=_smaller_or_thicker(results, end, weakest, rating_a, largest, _charging_a(results, end), "").fields
            if weakest >= 0 else (f"{path}.rating",))
    breaks = fuse_tables.breaking_capacity_a(fuse.kind)
    if breaks is not None and not at_most(end.most_a, breaks.value) and not end.known:
        yield rule.unjudged(("circuit", end.circuit), "whether the breaking capacity of the fuse at the second battery "
                            "is enough: that battery's cold-cranking current is not given")
    elif breaks is not None and not at_most(end.most_a, breaks.value):
        yield rule.finding(
            results, ("circuit", end.circuit),
            f"the second battery drives up to {writing.burden(end.most_a, 'A')} into a short; the breaking capacity of "
            f"its {fuse_tables.kind_words(fuse.kind)} is {writing.limit(breaks.value, 'A')}",
            consequence="damages_a_part" if breaks.value < BOLTED_A else "good_practice",
            figure=end.most_a, limit=breaks.value, unit="A", source=breaks.source.line(), fields=(f"{path}.kind",),
            fix="a bolt-in fuse with a higher breaking capacity at the second battery" if breaks.value < BOLTED_A else
            BEYOND)


RULE = Rule(
    consequence="burns",
    title="Second battery unprotected",
    source="a fuse at both batteries, as near to each as possible: a maker of battery chargers and a seller of "
           "split-charge kits",
    caution="Disconnect both batteries before you work on this wire: with one off, the other still feeds it.",
    fix="fit a fuse in the wire at the second battery's live post",
    example="fails: a fuse at the feed's end alone; passes: a second one at the second battery",
    find=find,
    resistance=True,
    ambient=True,
)
