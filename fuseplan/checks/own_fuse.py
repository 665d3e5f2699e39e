"""What to do about a circuit, or the wire to a further feed, without a fuse of its own that the fuse of its feed does
not protect: said alike by all checks that find it."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.checks.coil_fuses import coil_fields, coil_fuse_fix
from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import (
    another_insulation,
    fuse_words,
    insulated_alike,
    insulation_asked,
    largest_fuse_a,
    smaller_fuse,
)
from fuseplan.checks.fuse_to_fit import rating_to_fit
from fuseplan.checks.fuse_with_wire import insulation_and_wires, sizes_on_file, wires_words
from fuseplan.checks.subjects import fuse_path, owner_words, segment_path
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.clearing import OPEN_WITHIN_S
from fuseplan.engine.fusing import smallest_at_start
from fuseplan.engine.results import Results
from fuseplan.engine.stock import larger_types, largest_on_file_a, ratings_between
from fuseplan.plan.coils import is_coil_wire
from fuseplan.plan.feed_way import way_to
from fuseplan.quantities import writing
from fuseplan.trace import bare

Owner = tuple[str, str]

SMALLEST = "blade"
ADDED = (SMALLEST, *larger_types(SMALLEST))
"""Types of a fuse that is added, smallest first."""


def unprotected_by_feed(results: Results, device: int, segment: int, *, anew: bool = False) -> Fix | None:
    """A smaller fuse of the feed where that carries its load and protects the whole circuit, or the wire to a further
    feed, else one of its own; None for a wire of another kind of part or of a relay coil, of one that has its own, of a
    feed whose load is too much for such a fuse, and where the wire's insulation is to be changed first: not where it is
    told before that it gets the insulation its place asks for (`anew`)."""
    now_a = float(results.fusing.rating_a[device])
    start = _starts_at(results, device, segment, now_a, anew)
    if start is None:
        return None
    row, allowed_a = results.network.fuses[device], _allowed_a(results, device, start, segment if anew else -1)
    smaller = rating_to_fit(results, device, float(results.fusing.low_a[0, device]),
                            min(allowed_a, float(results.fusing.high_a[device])))
    return _of_its_own(results, device, segment, start, allowed_a) if smaller is None else Fix(
        smaller_fuse(results, device, smaller, f" at {owner_words(results, row.owner)}"), (fuse_path(row, "rating"),))


def fuse_of_its_own(results: Results, device: int, segment: int, rating_a: float) -> Fix | None:
    """A fuse where the circuit, or the wire to a further feed, starts, for a device of `rating_a`; None where
    `unprotected_by_feed` has none."""
    start = _starts_at(results, device, segment, rating_a)
    return None if start is None else _of_its_own(
        results, device, segment, start, _allowed_a(results, device, start))


def _of_its_own(results: Results, device: int, segment: int, start: Owner, allowed_a: float) -> Fix | None:
    """A fuse of at most `allowed_a` where a circuit, or the wire to a feed, starts, or the smallest that carries it
    with the wires it needs."""
    kind, name = start
    to, back = ("to", "") if kind == "feed" else ("of", " and back")
    where = f"where the wire {to} {owner_words(results, start)} starts"
    if not _carries(results, start, allowed_a):
        return _own_with_wires(results, device, segment, where)
    return Fix(f"a fuse of its own of at most {writing.LARGEST_FUSE(allowed_a)} {where}, "
               f"or a thicker wire there{back}", (f"{kind}.{name}.fuse.rating",))


def _carries(results: Results, start: Owner, allowed_a: float) -> bool:
    """Whether a fuse of at most `allowed_a` where a circuit, or the wire to a feed, starts is sold that carries its
    load; true where the load is not known."""
    return is_sold(float(smallest_at_start(results.network, results.demands.supply, start)[0]), allowed_a)


def past_the_file(results: Results, owner: Owner) -> str | None:
    """That no fuse on file carries the load of a circuit, or of the wire to a feed, without one; None where one does or
    the load is not known."""
    least_a = float(smallest_at_start(results.network, results.demands.supply, owner)[0])
    most_a = largest_on_file_a(SMALLEST)
    return f"it needs a fuse of {writing.SMALLEST_FUSE(least_a)} or more, and the largest on file is " \
           f"{writing.rating(most_a)}" if exceeds(least_a, most_a) else None


def is_sold(least_a: float, most_a: float) -> bool:
    """Whether a fuse that is added is sold for a load that asks for `least_a`, at most of `most_a`; true where the load
    is not known."""
    return math.isnan(least_a) or any(ratings_between(kind, least_a, most_a) for kind in ADDED)


def _own_with_wires(results: Results, device: int, segment: int, where: str) -> Fix | None:
    """The smallest fuse of its own that carries a circuit's load, with the wires of that circuit that it needs, or with
    these a device before it no larger than that, where it is too large for its other wires too; None where none is
    sold."""
    kind, name = owner = results.network.segments.owner[segment]
    thinnest = min(_behind(results, device, owner), key=lambda index: float(results.largest_fuse_a[index]))
    found = smallest_with_wires(results, device, thinnest)
    if found is None:
        return None
    words, rating_a, sizes = found
    fuse, wires = f"{kind}.{name}.fuse.rating", tuple(segment_path(results, index, "size") for index, _ in sizes)
    if at_most(float(results.fusing.rating_a[device]), rating_a):
        # One as large as that before it protects no more: the wires alone do.
        return Fix(words, (*wires, fuse), sizes=sizes)
    smaller_a = _for_its_other_wires(results, device, owner)
    if smaller_a is None or not at_most(smaller_a, rating_a):
        return Fix(f"{words}, and then a fuse of its own of {writing.rating(rating_a)} {where}", (fuse, *wires),
                   sizes=sizes)
    row, anew = results.network.fuses[device], any(insulation_asked(results, each) for each, _ in sizes)
    rating, is_all = fuse_path(row, "rating"), words == wires_words(results, sizes, None) and not anew
    return Fix(f"{words}, and then {fuse_words(results, device, smaller_a)} at {owner_words(results, row.owner)}",
               (rating, *wires), (*((path, size) for path, (_, size) in zip(wires, sizes, strict=True)),
                                  (rating, writing.rating(smaller_a))) if is_all else (), sizes)


def _for_its_other_wires(results: Results, device: int, owner: Owner) -> float | None:
    """The rating that a device is to have whose wires beside those of a part without a fuse of its own do not allow it
    either; None where they do, or none they allow carries the load."""
    others = set(_behind(results, device, results.network.fuses[device].owner)) - set(_behind(results, device, owner))
    most_a = min((float(results.largest_fuse_a[each]) for each in others), default=math.inf)
    return rating_to_fit(results, device, float(results.fusing.low_a[0, device]), most_a) \
        if exceeds(results.fusing.rating_a[device], most_a) else None


def smallest_with_wires(results: Results, device: int, thinnest: int
                        ) -> tuple[str, float, tuple[tuple[int, str], ...]] | None:
    """The wires that the smallest fuse needs which carries the load of a part without one, whose thinnest wire is
    given, the rating of that fuse, and the sizes of those wires; None where none is sold."""
    owner = results.network.segments.owner[thinnest]
    low_a = float(smallest_at_start(results.network, results.demands.supply, owner)[0])
    sold = [rating for kind in ADDED for rating in results.network.stock.preferred(kind, ratings_between(kind, low_a))]
    if not sold:
        return None
    words, sizes = insulation_and_wires(results, device, thinnest, sold[0])
    return words, sold[0], sizes_on_file(sizes)


def _allowed_a(results: Results, device: int, start: Owner, insulated: int = -1) -> float:
    """The largest fuse for all wires that a device protects from a circuit or the wire to a feed on [A], one of them
    `insulated` anew, and with it those that get the same."""
    allowed_a, better = bare(results.largest_fuse_a).copy(), insulation_asked(results, insulated)
    for index in insulated_alike(results, insulated) if better is not None else ():
        size = results.network.segments.segment[index].size
        allowed_a[index] = math.nan if size is None else largest_fuse_a(results, index, size, better)
    return float(np.nanmin(allowed_a[_behind(results, device, start)], initial=np.inf))


def _starts_at(results: Results, device: int, segment: int, rating_a: float, anew: bool = False) -> Owner | None:
    """Where one fuse protects the circuit or feed of a wire and what else has none there: the part nearest the device
    on the way to it whose own wire that does not protect at `rating_a`, and whose load a fuse for all behind it
    carries; a circuit itself at last, None for a feed of which that does not hold."""
    plan, network, segments = results.plan, results.network, results.network.segments
    kind, name = owner = segments.owner[segment]
    if segment < 0 or is_coil_wire(segments.place[segment]) or kind not in ("circuit", "feed") \
            or network.fuses[device].owner == owner or (another_insulation(results, segment) is not None and not anew):
        return None
    before = list(way_to(plan, plan.circuit[name].feed if kind == "circuit" else name))[::-1]
    for feed in (each for each in before if plan.feed[each].fuse is None):
        wires = [index for index in _behind(results, device, ("feed", feed))
                 if network.segments.owner[index] == ("feed", feed)]
        if not wires or not exceeds(rating_a, results.largest_fuse_a[wires]).any():
            continue
        if _carries(results, ("feed", feed), _allowed_a(results, device, ("feed", feed), segment if anew else -1)):
            return "feed", feed
    return owner if kind == "circuit" else None


def _behind(results: Results, device: int, start: Owner) -> list[int]:
    """The wires a device protects from a circuit or the wire to a feed on, those of relay coils left out."""
    network, plan = results.network, results.plan
    found = []
    for index in np.flatnonzero(network.segment_guard == device).tolist():
        kind, name = network.segments.owner[index]
        feed = plan.circuit[name].feed if kind == "circuit" else name if kind == "feed" else None
        if not is_coil_wire(network.segments.place[index]) and (
                (kind, name) == start or (start[0] == "feed" and start[1] in way_to(plan, feed))):
            found.append(index)
    return found


def slow_circuit(results: Results, device: int) -> Fix | None:
    """The same for the further feed or, where there is none, the circuit without a fuse of its own at whose far end a
    feed's device is too slow, the slowest of them; None where the device is too slow for the feed itself, or protects
    all their wires."""
    network, faults = results.network, results.faults
    kind, name = network.fuses[device].owner
    if kind != "feed" or exceeds(results.opens_s(device, faults.feed_far_a[name]), OPEN_WITHIN_S):
        return None
    feeds = [each for each, far_a in faults.feed_far_a.items() if network.guard[network.feed_node[each]] == device
             and exceeds(results.opens_s(device, far_a), OPEN_WITHIN_S)]
    for each in sorted(feeds, key=lambda each: faults.feed_far_a[each]):
        if (fix := unprotected(results, device, ("feed", each))) is not None:
            return fix
    slow = np.flatnonzero(exceeds(faults.circuit_opens_s, OPEN_WITHIN_S)
                          & (network.guard[network.circuit_node] == device))
    worst = min(slow.tolist(), key=lambda number: float(faults.circuit_far_a[number]), default=-1)
    if worst < 0:
        return _slow_coil(results, device)
    return unprotected(results, device, ("circuit", network.circuit_ids[worst]))


def _slow_coil(results: Results, device: int) -> Fix | None:
    """The same for the coil wire at whose far end least flows of those a device is too slow and too large for; None
    where there is none."""
    faults = results.faults
    slow = np.flatnonzero(exceeds(faults.segment_opens_s, OPEN_WITHIN_S) & (results.network.segment_guard == device))
    for segment in slow[np.argsort(faults.segment_fault_a[slow])].tolist():
        words = coil_fuse_fix(results, segment)
        if words is not None and exceeds(results.fusing.rating_a[device], results.largest_fuse_a[segment]):
            return Fix(words, (coil_fields(results, segment)[0], segment_path(results, segment, "size")))
    return None


def unprotected(results: Results, device: int, owner: Owner) -> Fix | None:
    """The same for one circuit or further feed, where the device is too large for one of its wires."""
    segments = results.network.segments
    weak = [index for index in results.network.segments_of_part.get(owner, ())
            if not is_coil_wire(segments.place[index])
            and exceeds(results.fusing.rating_a[device], results.largest_fuse_a[index])]
    return unprotected_by_feed(results, device, weak[0]) if weak else None
