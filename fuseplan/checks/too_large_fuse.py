"""What to do about a wire that the fuse before it does not protect: said alike by all checks that find it, so that what
they find is one entry."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from fuseplan.checks.coil_fuses import coil_fields, coil_fuse_fix
from fuseplan.checks.fixes import (
    another_insulation,
    fuse_words,
    insulation_before_copper,
    insulation_first,
    size_that_carries,
    smaller_fuse,
    wire_field,
    wire_fields,
)
from fuseplan.checks.fuse_to_fit import Named, carrying, fitting, suiting, withstanding
from fuseplan.checks.own_fuse import unprotected_by_feed
from fuseplan.checks.subjects import fuse_path, owner_words, segment_path, segment_words
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.proposed_ratings import seat_limit_a
from fuseplan.engine.results import Results
from fuseplan.plan.coils import is_coil_wire
from fuseplan.quantities import writing


class Fix(NamedTuple):
    """What to do, the keys it changes, that first which it names first, and what to enter at them."""

    words: str
    fields: tuple[str, ...]
    values: tuple[tuple[str, str], ...] = ()


def is_too_large(results: Results, device: int, segment: int) -> bool:
    """Whether the rating of a device exceeds what a wire behind it is rated for."""
    return bool(exceeds(results.fusing.rating_a[device], results.largest_fuse_a[segment]))


def fix_for(results: Results, device: int, segment: int) -> Fix:
    """For a wire that a device is too large for: a smaller rating that carries the load, a fuse of its own, or a
    thicker wire with the smallest rating that carries the load; another insulation first where its place asks for
    one."""
    rating, wires = fuse_path(results.network.fuses[device], "rating"), wire_fields(results, segment)
    wire = wires[0]
    feeds = unprotected_by_feed(results, device, segment)
    if feeds is not None:
        return Fix(feeds.words, tuple(dict.fromkeys((feeds.field, rating, wire))))
    low, now = float(results.fusing.low_a[0, device]), float(results.fusing.rating_a[device])
    fits = fitting(results, device, low, min(float(results.fusing.wire_a[device]),
                                             float(results.fusing.high_a[device])))
    if fits:
        row, owner = results.network.fuses[device], results.network.segments.owner[segment]
        where = "" if row.owner == owner else f" at {owner_words(results, row.owner)}"
        smaller = suiting(results, device, fits)
        words = smaller_fuse(results, device, smaller, where)
        if another_insulation(results, segment) is None:
            return Fix(words, (rating, wire), ((rating, writing.rating(smaller)),))
        return Fix(insulation_first(results, segment, now, words, fuse=True), (*wires, rating))
    coil = coil_fuse_fix(results, segment)
    if coil is not None:
        return Fix(insulation_first(results, segment, now, coil, fuse=True),
                   (*coil_fields(results, segment), wire, rating))
    if _is_bare_branch(results, segment):
        words = f"a fuse of at most {writing.LARGEST_FUSE(float(results.fusing.wire_a[device]))} where " \
                f"{segment_words(results, segment)} starts, or a thicker wire there"
        return Fix(insulation_first(results, segment, now, words, fuse=True), ("alternator.fuse", wire, rating))
    if results.network.fuses[device].owner != results.network.segments.owner[segment]:
        fix = own_fuse_or_wire(results, segment)
        return fix._replace(words=insulation_first(results, segment, now, fix.words, fuse=True))
    thicker = _thicker(results, device, segment, low, now)
    words = insulation_first(results, segment, now, thicker.words, fuse=True)
    return thicker if words == thicker.words else Fix(words, (*wires, rating))


def own_fuse_or_wire(results: Results, segment: int) -> Fix:
    """For a wire behind the fuse of another part."""
    words = segment_words(results, segment)
    starts = "its supply wire" if results.network.segments.returns[segment] else words
    return Fix(f"a fuse of its own of at most {writing.LARGEST_FUSE(float(results.largest_fuse_a[segment]))} where "
               f"{starts} starts, or a thicker wire in place of {words}", (wire_field(results, segment),))


def _is_bare_branch(results: Results, segment: int) -> bool:
    """Whether a wire is the alternator cable, without a fuse of its own, on a feed whose fuse is for more than the
    alternator."""
    alternator = results.plan.alternator
    return results.network.segments.owner[segment] == ("alternator", "") and alternator is not None \
        and alternator.fuse is None


def _thicker(results: Results, device: int, segment: int, low_a: float, now_a: float) -> Fix:
    """A thicker wire in place of this one and of the others of its part that are too thin for the same fuse."""
    network, fuse = results.network, results.network.fuses[device]
    # One that blows on what is switched on behind it is no fix: the fuse then stays, and the wire suits it.
    smaller = [] if math.isnan(low_a) else fitting(results, device, low_a, now_a)
    fitted = withstanding(results, device, smaller) or now_a
    larger = _larger(results, device, low_a, now_a)
    needed = larger.rating_a if larger is not None else fitted if math.isnan(low_a) else max(fitted, low_a)
    segments, fit = network.segments, network.stock.wire_words
    # No fuse goes into an earth: with it blown the load is live and looks dead. Where the first wire starts is one.
    or_fuse = "" if segments.returns[segment] or segments.place[segment] in ("wire.0", "cable.0") else \
        ", or a fuse where it starts"
    own = _too_thin(results, device, segment, needed)
    sizes = [(index, size_that_carries(results, index, needed, fuse=True)) for index in own]
    of = f" of {owner_words(results, segments.owner[segment])}"
    named = [words if place == 0 else words.replace(of, "") for place, words in enumerate(
        segment_words(results, index) for index in own)]
    known = [(index, size) for index, size in sizes if size is not None]
    if len(known) < len(sizes):
        words = f"a thicker wire in place of {' and '.join(named)}"
    else:
        words, last = "fit ", ""
        for place, (_, size) in enumerate(known):
            words += f"{' and ' if place else ''}{'' if size == last else f'{fit(size)} in place '}of {named[place]}"
            last = size
    better = insulation_before_copper(results, own[0], needed) if len(own) == 1 else None
    insulated: tuple[tuple[str, str], ...] = ()
    if better is not None:
        name, size = better
        known = [(own[0], size)]
        insulated = ((segment_path(results, own[0], "insulation"), name),)
        words = f"fit {fit(size)} with {name} insulation in place of {segment_words(results, own[0])}"
    words += or_fuse if len(own) == 1 else ""
    if larger is not None:
        words += f", and then {larger.words}{larger.may_blow}"
        # Another type is more than a rating to be entered.
        fitted = larger.rating_a if larger.kind == fuse.fuse.kind else now_a
    elif fitted < now_a:
        words += f", and then {fuse_words(results, device, fitted)}"
    elif not math.isnan(low_a):
        words += f"; smallest fuse for the load: {writing.SMALLEST_FUSE(low_a)}"
    rating = fuse_path(fuse, "rating")
    fields = tuple(segment_path(results, index, "size") for index in own)
    values = () if len(known) < len(sizes) else (
        *insulated, *((segment_path(results, index, "size"), size) for index, size in known),
        *(((rating, writing.rating(fitted)),) if fitted < now_a or fitted > now_a else ()))
    return Fix(words, (*fields, rating), values)


def _larger(results: Results, device: int, low_a: float, now_a: float) -> Named | None:
    """The fuse that carries the load where the one fitted is too small for it as well: the wire then suits that. None
    where it is not, none is sold, or a maker or the seat allows none so large."""
    found = carrying(results, device, low_a) if exceeds(low_a, now_a) else None
    if found is None or exceeds(found.rating_a, results.fusing.maker_a[device]):
        return None
    is_other = found.kind != results.network.fuse_kinds[device]
    return found if is_other or at_most(found.rating_a, seat_limit_a(results.network, device)) else None


def _too_thin(results: Results, device: int, segment: int, needed_a: float) -> list[int]:
    """A wire and the others of its part that a fuse of `needed_a` does not protect either: a thicker wire there is none
    without the wire back, and each of them names the same first."""
    segments = results.network.segments
    return sorted({segment, *(
        index for index in np.flatnonzero(results.network.segment_guard == device).tolist()
        if segments.owner[index] == segments.owner[segment] and not is_coil_wire(segments.place[index])
        and another_insulation(results, index) is None and exceeds(needed_a, results.largest_fuse_a[index]))})
