"""What to do about a wire that the fuse before it does not protect: said alike by all checks that find it, so that what
they find is one entry."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.checks.coil_fuses import coil_fields, coil_fuse_fix
from fuseplan.checks.fix import NO_FIX, Fix
from fuseplan.checks.fixes import (
    another_insulation,
    insulation_asked,
    insulation_first,
    insulation_without_current,
    past_the_tables_fix,
    size_that_carries,
    smaller_fuse,
    wire_field,
    wire_fields,
)
from fuseplan.checks.fuse_to_fit import rating_to_fit
from fuseplan.checks.fuse_with_wire import fuse_with_wire, insulation_and_wires, sizes_on_file, wires_words
from fuseplan.checks.one_size import asked_too
from fuseplan.checks.own_fuse import fuse_of_its_own, is_sold, unprotected_by_feed
from fuseplan.checks.subjects import fuse_path, owner_words, segment_path, segment_words
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.fusing import smallest_rating
from fuseplan.engine.results import Results
from fuseplan.plan.coils import is_coil_wire
from fuseplan.quantities import writing


def is_too_large(results: Results, device: int, segment: int) -> bool:
    """Whether the rating of a device exceeds what a wire behind it is rated for."""
    return bool(exceeds(results.fusing.rating_a[device], results.largest_fuse_a[segment]))


def fix_for(results: Results, device: int, segment: int) -> Fix:
    """For a wire that a device is too large for: a smaller rating that carries the load, a fuse of its own, or a
    thicker wire with the smallest rating that carries the load; another insulation first where its place asks for
    one."""
    rating, wires = fuse_path(results.network.fuses[device], "rating"), wire_fields(results, segment)
    wire = wires[0]
    low, now = float(results.fusing.low_a[0, device]), float(results.fusing.rating_a[device])
    anew = insulation_asked(results, segment) is not None
    feeds = unprotected_by_feed(results, device, segment, anew=anew)
    if feeds is not None:
        # Where the wire gets another size, its insulation is named with that.
        words = feeds.words if segment in dict(feeds.sizes) else insulation_first(
            results, segment, now, feeds.words, fuse=True)
        fields = (*wires, *feeds.fields, rating) if anew else (*feeds.fields, rating, wire)
        return Fix(words, tuple(dict.fromkeys(fields)), feeds.values if feeds.words == words else (),
                   feeds.sizes if feeds.words in words else ())
    smaller = rating_to_fit(results, device, low, min(float(results.fusing.wire_a[device]),
                                                      float(results.fusing.high_a[device])))
    if smaller is not None:
        row, owner = results.network.fuses[device], results.network.segments.owner[segment]
        where = "" if row.owner == owner else f" at {owner_words(results, row.owner)}"
        words = smaller_fuse(results, device, smaller, where)
        if another_insulation(results, segment) is None:
            return Fix(words, (rating, wire), ((rating, writing.rating(smaller)),))
        return Fix(insulation_first(results, segment, now, words, fuse=True), (*wires, rating))
    coil = coil_fuse_fix(results, segment)
    if coil is not None:
        return Fix(insulation_first(results, segment, now, coil, fuse=True),
                   (*coil_fields(results, segment), wire, rating))
    if _is_bare_branch(results, segment) and not exceeds(results.demands.lasting[0, segment],
                                                         results.segment_limit_a[segment]):
        words = f"a fuse of at most {writing.LARGEST_FUSE(float(results.fusing.wire_a[device]))} where " \
                f"{segment_words(results, segment)} starts, or a thicker wire there"
        return Fix(insulation_first(results, segment, now, words, fuse=True), ("alternator.fuse", wire, rating))
    if results.network.fuses[device].owner != results.network.segments.owner[segment]:
        return behind_another(results, device, segment)
    fix = thicker(results, device, segment, told=segment)
    words = insulation_first(results, segment, now, fix.words, fuse=True)
    return fix if words == fix.words else Fix(words, (*wires, rating), sizes=fix.sizes if fix.words in words else ())


def past_the_tables(results: Results, device: int, segment: int) -> Fix | None:
    """For a wire of which nothing is on file where a device is too large even for the next one that is, with the others
    of its part that are so; None where it is not."""
    bounds, rating = results.ceilings, float(results.fusing.rating_a[device])
    if not exceeds(rating, bounds.fuse_a[segment]):
        return None
    is_only_more = results.fusing.against_shorts[device] or results.fusing.short_branches[segment]
    smaller = "" if is_only_more or results.network.segments.returns[segment] else ", or a smaller fuse where it starts"
    alike = [each for each in results.network.segments_of_part[results.network.segments.owner[segment]]
             if results.network.segment_guard[each] == device and exceeds(rating, bounds.fuse_a[each])]
    return Fix(past_the_tables_fix(results, segment) + smaller, (*dict.fromkeys(
        segment_path(results, each, bounds.key[each]) for each in (segment, *alike)),
        fuse_path(results.network.fuses[device], "rating")))


def behind_another(results: Results, device: int, segment: int) -> Fix:
    """For a wire behind the fuse of another part: another insulation first where its place asks for one."""
    fix = own_fuse_or_wire(results, device, segment)
    rating_a = float(results.fusing.rating_a[device])
    return fix._replace(words=insulation_first(results, segment, rating_a, fix.words, fuse=True))


def own_fuse_or_wire(results: Results, device: int, segment: int) -> Fix:
    """For a wire behind the fuse of another part: a fuse where it starts, if one carries what it does, or a thicker
    wire."""
    words = segment_words(results, segment)
    if not own_carries(results, segment):
        size = size_that_carries(results, segment, float(results.fusing.rating_a[device]), True,
                                 insulation_asked(results, segment))
        size = None if size is None else asked_too(results, segment, size)
        return Fix(f"{'a thicker wire' if size is None else f'fit {results.network.stock.wire_words(size)}'} in place "
                   f"of {words}", (wire_field(results, segment),), sizes=sizes_on_file([(segment, size)]))
    starts = "its supply wire" if results.network.segments.returns[segment] else words
    return Fix(f"a fuse of its own of at most {writing.LARGEST_FUSE(float(results.largest_fuse_a[segment]))} where "
               f"{starts} starts, or a thicker wire in place of {words}", (wire_field(results, segment),))


def what_else_needs(results: Results, device: int, rating_a: float, named: tuple[str, str] | None = None) -> Fix:
    """What the wires behind a device that do not allow a fuse of `rating_a` need besides that, the thinnest first, as
    the end of a sentence; those of the part `named` are left out."""
    fusing, segments = results.fusing, results.network.segments
    weak = np.flatnonzero((results.network.segment_guard == device) & ~fusing.short_branches
                          & ~fusing.against_shorts[device] & exceeds(rating_a, results.largest_fuse_a))
    needs: dict[str, Fix] = {}
    done = {(named, False)}
    for index in weak[np.argsort(results.largest_fuse_a[weak], kind="stable")].tolist():
        part = segments.owner[index], is_coil_wire(segments.place[index])
        if part not in done:
            done.add(part)
            fix = _own_fuse_carrying(results, device, index, rating_a)
            needs.setdefault(fix.words, fix)
    return Fix("".join(f"{'; and' if place else ' and'} {words}" for place, words in enumerate(needs)),
               tuple(dict.fromkeys(path for each in needs.values() for path in each.fields)),
               sizes=tuple(size for each in needs.values() for size in each.sizes))


def _own_fuse_carrying(results: Results, device: int, segment: int, rating_a: float) -> Fix:
    """For a wire too thin for a fuse of `rating_a`: a fuse where its part starts, or, for the device's own part and
    where the wire allows no fuse for what it carries itself, thicker wires."""
    coil = coil_fuse_fix(results, segment)
    if coil is not None:
        return Fix(coil, coil_fields(results, segment))
    if results.network.segments.owner[segment] == results.network.fuses[device].owner \
            or insulation_without_current(results, segment) is not None or not own_carries(results, segment):
        words, wires = insulation_and_wires(results, device, segment, rating_a)
        return Fix(words.removeprefix("fit "), (*wire_fields(results, segment), *(
            segment_path(results, index, "size") for index, _ in wires if index != segment)),
            sizes=sizes_on_file(wires))
    wired, own = own_fuse_or_wire(results, device, segment), fuse_of_its_own(results, device, segment, rating_a)
    return wired if own is None else Fix(own.words, (*wired.fields, *own.fields), sizes=own.sizes)


def own_carries(results: Results, segment: int) -> bool:
    """Whether a fuse where a wire starts is sold that carries what the wire does and that the wire allows."""
    return is_sold(own_least_a(results, segment), float(results.largest_fuse_a[segment]))


def own_least_a(results: Results, segment: int) -> float:
    """The smallest fuse where a wire starts that carries what the wire does [A]; NaN where that is not known."""
    demand = results.demands.segment[:1, :, segment:segment + 1]
    k = results.limit_set.fuse_k(results.network.segments.ambient_c[segment:segment + 1])
    return float(smallest_rating(results.limit_set, demand, k)[0, 0])


def _is_bare_branch(results: Results, segment: int) -> bool:
    """Whether a wire is the alternator cable, without a fuse of its own, on a feed whose fuse is for more than the
    alternator."""
    alternator = results.plan.alternator
    return results.network.segments.owner[segment] == ("alternator", "") and alternator is not None \
        and alternator.fuse is None


def thicker_with(results: Results, device: int, low_a: float, rating_a: float, fuse: str) -> Fix:
    """To fit a larger fuse with the wires it needs, for a load that asks for one of `low_a`; `fuse` names that of
    `rating_a` where it is a wire of another part that allows no such fuse."""
    row, binding = results.network.fuses[device], int(results.fusing.binding[device])
    segments = results.network.segments
    if binding >= 0 and segments.owner[binding] == row.owner and not is_coil_wire(segments.place[binding]):
        return thicker(results, device, binding, or_fuse=False, low_a=low_a)
    needs = what_else_needs(results, device, rating_a)
    return Fix(f"fit {fuse}{needs.words or ' and a thicker wire'}", (*needs.fields, fuse_path(row, "rating")),
               sizes=needs.sizes)


def thicker(results: Results, device: int, segment: int, *, or_fuse: bool = True, low_a: float | None = None,
            told: int = -1) -> Fix:
    """A thicker wire in place of this one and of the others of its part that are too thin for the fuse that carries the
    load, as entered or one that asks for `low_a`, with that fuse; with `or_fuse`, or a fuse where the wire starts. Of a
    wire `told` the insulation is said before."""
    network, fuse = results.network, results.network.fuses[device]
    segments = network.segments
    low_a = float(results.fusing.low_a[0, device]) if low_a is None else low_a
    now_a = float(results.fusing.rating_a[device])
    found = fuse_with_wire(results, device, segment, low_a, now_a)
    own = [index for index, _ in found.sizes]
    known = sizes_on_file(found.sizes)
    anew = {index: found.insulation or insulation_asked(results, index) for index in own}
    is_hopeless = any(anew[index] is None and another_insulation(results, index) is not None for index in own)
    words = wires_words(results, found.sizes, found.insulation, told)
    # No fuse goes into an earth: with it blown the load is live and looks dead. Where the first wire starts is one.
    if or_fuse and len(own) == 1 and not segments.returns[segment] \
            and segments.place[segment] not in ("wire.0", "cable.0"):
        words += ", or a fuse where it starts"
    is_other = not found.fits_there or found.rating_a != now_a
    others = what_else_needs(results, device, found.rating_a, fuse.owner) if is_other else NO_FIX
    if is_other:
        words += f", and then {found.words}{others.words}{found.may_blow}"
    elif not math.isnan(low_a):
        words += f"; smallest fuse for the load: {writing.SMALLEST_FUSE(low_a)}"
    rating = fuse_path(fuse, "rating")
    fields = tuple(segment_path(results, index, "size") for index in own)
    # Another type or holder, or a fuse of another part, is more than a rating to be entered.
    values = () if len(known) < len(own) or not found.fits_there or others.words or is_hopeless else (
        *((segment_path(results, index, "insulation"), each) for index, each in anew.items() if each is not None),
        *((segment_path(results, index, "size"), size) for index, size in known),
        *(((rating, writing.rating(found.rating_a)),) if is_other else ()))
    return Fix(words, (*fields, *others.fields, rating), values, (*known, *others.sizes), found.insulation,
               len(known) < len(own))
