"""In a short the fuse nearer the battery may blow before the one below it.

The published time-current bands are wide. Two fuses are selective only where the maximum clearing time of the lower is
shorter than the minimum of the upper, or its let-through too small to melt the upper, at every possible fault current.
It is reported once for the upper fuse, whose blowing takes out everything it feeds. The fuse of a feed with nothing on
it is left out of the car, and is not asked to blow first.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from functools import partial

import numpy as np

from fuseplan.checks.feed_limits import feed_limits
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.stated_resistances import mended_first
from fuseplan.checks.subjects import fuse_path, fuse_subject, owner_words
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.clearing import limits
from fuseplan.engine.equipment import limit_words, strictest
from fuseplan.engine.fault import FarEnds
from fuseplan.engine.inrush import withstands
from fuseplan.engine.proposed_ratings import seat_limits_a
from fuseplan.engine.results import Results
from fuseplan.engine.selectivity import ASSURED, NOT_ASSURED, Pair, compare_types
from fuseplan.engine.stock import NOT_IN_STOCK, may_change_type, ratings_between
from fuseplan.plan.idle_feeds import idle_feeds
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few
from fuseplan.results.short_circuit import ShortCircuit
from fuseplan.tables.fuses import kind_words

Device = tuple[str, float]
QUICK, SLOW = "mini", "maxi"
"""The quickest and the slowest type with printed opening times."""
NAMED = 3
"""So many of the devices below are named in one finding."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    groups: dict[int, list[Pair]] = defaultdict(list)
    for pair in not_assured(results):
        groups[pair.upper].append(pair)
    for upper, pairs in groups.items():
        pairs.sort(key=lambda pair: pair.from_a)
        row, device = network.fuses[upper], device_of(results, upper)
        types = dict.fromkeys([device, *(device_of(results, pair.lower) for pair in pairs)])
        sources = dict.fromkeys(each.line() for kind in types if (found := limits(*kind)) is not None
                                for each in found.sources)
        below = first_few(pairs, NAMED, lambda pair: f"the {_words(device_of(results, pair.lower))} of "
                          f"{_owner(results, pair.lower)} (above {writing.limit(pair.from_a, 'A')})")
        cause = mended_first(results, partial(_not_assured, results, pairs))
        words, fields = _fix(results, upper, pairs)
        yield rule.finding(
            results, fuse_subject(row),
            f"in a short this {_words(device)} may blow before {below} below it",
            figure=pairs[0].from_a, figure_side="limit", unit="A", source="; ".join(sources),
            fix=words if cause is None else cause.words,
            fields=(*(() if cause is None else (cause.path,)), *fields),
        )


def not_assured(results: Results) -> list[Pair]:
    """The pairs that are not selective, but for those below which nothing is on yet."""
    found = [pair for pair in results.pairs if pair.answer == "not assured"]
    idle = {("feed", name) for name in idle_feeds(results.plan)} if found else set[tuple[str, str]]()
    return [pair for pair in found if results.network.fuses[pair.lower].owner not in idle]


def _not_assured(results: Results, pairs: list[Pair], far: FarEnds) -> bool:
    """Whether any of some pairs is not selective with the smallest short-circuit currents given."""
    lower = np.array([pair.lower for pair in pairs])
    answers, _ = compare_types([device_of(results, pair.lower) for pair in pairs],
                               [device_of(results, pair.upper) for pair in pairs],
                               far.fuse_a[lower], results.faults.prospective_a[lower])
    return bool((answers == NOT_ASSURED).any())


def device_of(results: Results, index: int) -> Device:
    """Type and rating of a protective device."""
    return results.network.fuses[index].fuse.kind, float(results.fusing.rating_a[index])


def _owner(results: Results, index: int) -> str:
    return owner_words(results, results.network.fuses[index].owner)


def _words(device: Device) -> str:
    return f"{writing.rating(device[1])} {kind_words(device[0])}"


def _stocked(results: Results, device: Device) -> str:
    """A device to be fitted, with the words that it is not in stock where it is not."""
    return _words(device) + ("" if results.network.stock.has_fuse(*device) else NOT_IN_STOCK)


def _types(results: Results, index: int, other: str) -> list[str]:
    """The type of a device, and another one where its holder or position takes one."""
    own = device_of(results, index)[0]
    return [own, other] if other != own and may_change_type(results.network.fuses[index].fuse) else [own]


def _larger(results: Results, index: int, most_a: float) -> list[Device]:
    """Ratings from its own to one, those in stock first, of the device's own type before those of the slowest."""
    own, low = device_of(results, index), float(results.fusing.low_a[0, index])
    found = [(each, rating) for each in _types(results, index, SLOW) for rating in ratings_between(each, low, most_a)
             if rating >= own[1]]
    return sorted(found, key=lambda device: not results.network.stock.has_fuse(*device))


def _limits(results: Results, upper: int) -> list[tuple[float, str]]:
    """The largest fuse that may stand in a place because of selectivity alone [A], by where it sits, what it feeds
    through, which the one there may exceed, and last by its wires; each with what is said against a larger one."""
    network, fusing = results.network, results.fusing
    holder_a, position_a = seat_limits_a(network, upper)
    found = [(holder_a, f"its holder takes {writing.LARGEST_FUSE(holder_a)}"),
             (position_a, f"its position takes {writing.LARGEST_FUSE(position_a)}")]
    found += [(each.most_a, f"{limit_words(network, each)} allows {writing.LARGEST_FUSE(each.most_a)}")
              for index, each in strictest(network).items() if index == upper]
    found += [(max(each.limit_a, float(fusing.rating_a[upper])), f"{each.words} is rated for "
               f"{writing.limit(each.limit_a, 'A')}") for each in feed_limits(results)
              if network.guard[network.feed_node[each.feed]] == upper and each.limit_a > 0 and not each.of_shunt]
    return [*found, (math.nan if fusing.silent[upper] else float(fusing.high_a[upper]),
                     "its wire is not rated for it, and this alone is no reason for a thicker one")]


def _smaller(results: Results, index: int) -> list[Device]:
    """Ratings up to its own that carry the worst-case load and withstand its surge, those in stock first, of the
    device's own type before those of the quickest, the smallest first, as a proposal fits them."""
    own, fusing = device_of(results, index), results.fusing
    low, high = float(fusing.low_a[1, index]), float(fusing.high_a[index])
    found = [(each, rating) for each in _types(results, index, QUICK) for rating in ratings_between(each, low, high)
             if rating <= own[1] and withstands(results.inrush, results.surges.starts, index, each, rating)]
    return sorted(found, key=lambda step: (not results.network.stock.has_fuse(*step), step[0] != own[0], step[1]))


def _fix(results: Results, upper: int, pairs: list[Pair]) -> tuple[str, tuple[str, ...]]:
    """What makes them selective, and the keys it changes: another upper fuse for all, else another lower one for each,
    else an upper one with a thicker wire. A lower one that blows on its load's surge instead is none."""
    if not results.fixes_wanted:
        return "", ()
    rows = results.network.fuses
    own = fuse_path(rows[upper], "rating")
    below = tuple(fuse_path(rows[pair.lower], "rating") for pair in pairs[:NAMED])
    step = upper_to_fit(results, upper, pairs)
    if step is not None:
        return (f"fit {writing.an(_stocked(results, step))} here: its wire is rated for it, and the fuses are then "
                "selective",
                (own, *below))
    found = [_lower_fix(results, upper, pair.lower) for pair in pairs]
    if all(found):
        return first_few(found, NAMED, between="; and ", last="; and so on for "), (*below, own)
    step = upper_to_fit(results, upper, pairs, as_far_as_printed=True)
    if step is not None:
        return (f"fit {writing.an(_stocked(results, step))} here: its wire is rated for it, and the fuses are then "
                "selective, as far as anything is on file; smaller fuses below are not, or do not carry their load",
                (own, *below))
    kind, name = rows[pairs[0].lower].owner
    return (f"{_none_fits(results, upper, pairs)}: feed the circuit below from the feed above through a fuse of its "
            "own, or split its load", (f"{kind}.{name}.{'from' if kind == 'feed' else 'feed'}", own, *below))


def _none_fits(results: Results, upper: int, pairs: list[Pair]) -> str:
    """That no fuse here or below makes them selective, and what a larger one here has against it where it would."""
    step = _for_all(results, _larger(results, upper, math.inf), pairs, as_far_as_printed=True)
    if step is None:
        return "no pair on file is selective here"
    against = next(words for most_a, words in _limits(results, upper) if not at_most(step[1], most_a))
    return ("no fuse that fits here is selective, nor a smaller one below that carries its load "
            f"({writing.an(_words(step))} here is, as far as anything is on file, but {against})")


def upper_to_fit(results: Results, upper: int, pairs: list[Pair], *, as_far_as_printed: bool = False,
                 thicker_wire: bool = False) -> Device | None:
    """The upper fuse that its seat and what it feeds through are rated for, and its wires unless they become thicker,
    and that is selective with all those below it; None where none is."""
    limits_a = [most_a for most_a, _ in _limits(results, upper)]
    most_a = float(np.min(limits_a[:-1] if thicker_wire else limits_a))
    return _for_all(results, _larger(results, upper, most_a), pairs, as_far_as_printed=as_far_as_printed)


def _for_all(results: Results, steps: list[Device], pairs: list[Pair], *, as_far_as_printed: bool = False
             ) -> Device | None:
    """The first upper fuse that is selective with all those below it; None where none is."""
    lower, faults = np.array([pair.lower for pair in pairs]), results.faults
    answers, _ = compare_types(
        [device_of(results, index) for index in lower.tolist()] * len(steps),
        [step for step in steps for _ in pairs], np.tile(faults.fuse_far_a[lower], len(steps)),
        np.tile(faults.prospective_a[lower], len(steps)))
    found = answers.reshape(-1, len(pairs))
    assured = (found != NOT_ASSURED if as_far_as_printed else found == ASSURED).all(axis=1)
    return next((step for step, cures in zip(steps, assured, strict=True) if cures), None)


def _lower_fix(results: Results, upper: int, lower: int) -> str:
    """To fit the lower fuse that makes them selective; empty where none does."""
    found = lower_to_fit(results, upper, lower)
    if found is None:
        return ""
    step, known_to_a = found
    return f"fit {writing.an(_stocked(results, step))} at {_owner(results, lower)}: then selective" + (
        "" if known_to_a is None else f" up to {writing.limit(known_to_a, 'A')}, above that nothing is on file")


def lower_to_fit(results: Results, upper: int, lower: int) -> tuple[Device, float | None] | None:
    """The first lower fuse that makes them selective, else one that does as far as anything is printed, with the
    current up to which that is known, None for all; None where none does."""
    steps = _smaller(results, lower)
    count = len(steps)
    answers, starts = compare_types(steps, [device_of(results, upper)] * count,
                                    np.repeat(results.faults.fuse_far_a[lower], count),
                                    np.repeat(results.faults.prospective_a[lower], count))
    for step, answer in zip(steps, answers.tolist(), strict=True):
        if answer == ASSURED:
            return step, None
    return next(((step, start) for step, answer, start in zip(steps, answers.tolist(), starts.tolist(), strict=True)
                 if answer != NOT_ASSURED), None)


RULE = Rule(
    consequence="stops_the_car",
    title="Fuses not selective",
    source="selective when the lower fuse has cleared before the upper one melts, at every fault current: general "
    "practice of fuse coordination",
    caution="When the main fuse blows first, lamps and engine go off with it.",
    fix="a smaller fuse below or a slower one above",
    example="fails: a 20 A mini fuse below a 40 A blade fuse; passes: a 10 A mini fuse below a 40 A maxi fuse",
    find=find,
    figures=((ShortCircuit.selective_up_to_a, None),),
    resistance=True,
)
