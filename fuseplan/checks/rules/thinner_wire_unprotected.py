"""A wire gets thinner without a fuse, and the fuse before it is too large for the thinner part.

A fuse for the thick wire does not protect the thin one. It is the commonest mistake where a new wire is joined to an
old one, or a thin branch is taken from a thick feed.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.coil_fuses import coil_fields, coil_fuse_fix
from fuseplan.checks.fix import NO_FIX, Fix
from fuseplan.checks.fixes import insulation_without_current, wire_fields
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.rules.no_fuse import feeds_to_fuse, fuse_for_both
from fuseplan.checks.subjects import segment_path, segment_subject, segment_words
from fuseplan.checks.too_large_fuse import fix_for, own_carries, own_least_a
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.results import Results
from fuseplan.engine.unfused import Unfused
from fuseplan.plan.coils import is_coil_wire
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseResult

SAME = 1.05
"""Sizes of two systems within this ratio count as the same."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, segments = results.network, results.network.segments
    if not segments.count:
        return
    guard = network.segment_guard
    rating = np.where(guard >= 0, results.fusing.rating_a[guard], np.inf) if len(network.fuses) else \
        np.full(segments.count, np.inf)
    allowed = results.largest_fuse_a
    unguarded = exceeds(rating, allowed) & ~results.fusing.short_branches
    if not unguarded.any():
        return
    before = network.goes_on_from
    for index in np.flatnonzero(unguarded & (before >= 0)).tolist():
        thick = int(before[index])
        if guard[thick] != guard[index] or not segments.area_mm2[thick] > segments.area_mm2[index] * SAME:
            continue
        device = int(guard[index])
        if device < 0 and _excused(results, index):
            continue
        fix = fix_for(results, device, index) if device >= 0 else _fix(results, index, float(allowed[index]))
        behind = f"on {writing.an(writing.rating(rating[index]))} fuse" if device >= 0 else "without any fuse"
        yield rule.finding(
            results, segment_subject(results, index),
            f"{segment_words(results, thick)} continues as {segment_words(results, index)} {behind}; largest fuse for "
            f"the thinner: {writing.LARGEST_FUSE(allowed[index])}",
            figure=float(rating[index]) if device >= 0 else None, limit=float(allowed[index]), unit="A",
            fix=fix, part=segments.place[index])


def _excused(results: Results, index: int) -> bool:
    """Whether a wire without any fuse before it is a cable that may go without one: thicker before it, it is no worse
    off than alone."""
    segments = results.network.segments
    return not segments.returns[index] and not is_coil_wire(segments.place[index]) and \
        Unfused(results.network).of(segments.owner[index]).holds


def _lacks_fuse(results: Results, index: int) -> bool:
    """Whether a wire without any fuse before it is of a circuit or feed that may not go without one."""
    owner = results.network.segments.owner[index]
    return owner[0] in ("circuit", "feed") and not Unfused(results.network).of(owner).holds


def _fix(results: Results, index: int, allowed_a: float) -> Fix:
    """For a wire without any fuse before it: one for the thinner part, but for an earth wire and for one that would not
    carry what flows there; a coil wire gets one of its own. Where the fuse is missing altogether that leads, as in
    `no-fuse`."""
    kind, name = results.network.segments.owner[index]
    size, carries, coil = segment_path(results, index, "size"), own_carries(results, index), \
        coil_fuse_fix(results, index)
    lacks = coil is None and _lacks_fuse(results, index)
    fuse_key = (f"{kind}.{name}.fuse.rating",) if kind in ("circuit", "feed") and (carries or lacks) else ()
    if coil is not None:
        return Fix(coil, (*coil_fields(results, index), *fuse_key, size))
    fields = (*fuse_key, size)
    same = "the same size all the way"
    if not carries and lacks:
        same += ", and a fuse where it starts"
    hopeless = insulation_without_current(results, index)
    if hopeless is not None:
        return Fix(f"{hopeless}; then {same}", (*wire_fields(results, index), *fields))
    if results.network.segments.returns[index]:
        return Fix(same, fields)
    both = fuse_for_both(results.plan, Unfused(results.network), segment_subject(results, index),
                         feeds_to_fuse(results)) if lacks else NO_FIX
    fields = (*both.fields, *fields)
    if not carries:
        least_a = own_least_a(results, index)
        return Fix(f"{both.words}{same}; no fuse that is sold carries the load, which needs "
                   f"{writing.SMALLEST_FUSE(least_a)} or more, and protects the thinner wire, which allows "
                   f"{writing.LARGEST_FUSE(allowed_a)}", fields)
    return Fix(f"{both.words}a fuse of at most {writing.LARGEST_FUSE(allowed_a)} where it gets thinner, or {same}",
               fields)


RULE = Rule(
    consequence="burns",
    title="Thinner wire unprotected",
    source="fuse at most 100 % of the continuous rating of everything it protects: Formula SAE Rules 2014, EV6.1; a "
           "device wherever the conductor gets smaller, unless the one before protects it: common practice, no source",
    caution="The thin wire glows while the fuse of the thick wire does not blow.",
    fix="a fuse where it gets thinner",
    example="fails: 4 mm² that goes on as 0.75 mm² behind a 20 A fuse; passes: that goes on as 2.5 mm²",
    find=find,
    ambient=True,
    figures=((FuseResult.rating_a, FuseResult.largest_for_wire_a),),
)
