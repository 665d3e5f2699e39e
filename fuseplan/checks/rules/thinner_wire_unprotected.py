"""A wire gets thinner without a fuse, and the fuse before it is too large for the thinner part.

A fuse for the thick wire does not protect the thin one. It is the commonest mistake where a new wire is joined to an
old one, or a thin branch is taken from a thick feed.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.coil_fuses import coil_fields, coil_fuse_fix
from fuseplan.checks.fixes import insulation_without_current, wire_fields
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import segment_path, segment_subject, segment_words
from fuseplan.checks.too_large_fuse import Fix, fix_for, own_carries
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.results import Results
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
        fix = fix_for(results, device, index) if device >= 0 else _fix(results, index, float(allowed[index]))
        behind = f"on a {writing.rating(rating[index])} fuse" if device >= 0 else "without any fuse"
        yield rule.finding(
            results, segment_subject(results, index),
            f"{segment_words(results, thick)} continues as {segment_words(results, index)} {behind}; largest fuse for "
            f"the thinner: {writing.LARGEST_FUSE(allowed[index])}",
            figure=float(rating[index]) if device >= 0 else None, limit=float(allowed[index]), unit="A",
            fix=fix.words, fields=fix.fields, values=fix.values, sizes=fix.sizes)


def _no_fuse(results: Results, index: int) -> tuple[str, ...]:
    """The fuse that the part of a wire without any lacks where it starts, one that protects its thinnest piece; empty
    where that would not carry what flows there."""
    kind, name = results.network.segments.owner[index]
    if kind not in ("circuit", "feed") or not own_carries(results, index):
        return ()
    return (f"{kind}.{name}.fuse.rating",)


def _fix(results: Results, index: int, allowed_a: float) -> Fix:
    """For a wire without any fuse before it: one for the thinner part, but for an earth wire and for one that would not
    carry what flows there; a coil wire gets one of its own."""
    size = segment_path(results, index, "size")
    coil = coil_fuse_fix(results, index)
    if coil is not None:
        return Fix(coil, (*coil_fields(results, index), *_no_fuse(results, index), size))
    fields = (*_no_fuse(results, index), size)
    hopeless = insulation_without_current(results, index)
    if hopeless is not None:
        return Fix(f"{hopeless}; then the same size all the way", (*wire_fields(results, index), *fields))
    if results.network.segments.returns[index]:
        return Fix("the same size all the way", fields)
    carried = float(results.demands.segment[0, :, index].max())
    fuse = f"a fuse of at most {writing.LARGEST_FUSE(allowed_a)}"
    if not own_carries(results, index):
        return Fix(f"the same size all the way: {fuse} does not carry the {writing.burden(carried, 'A')} that it "
                   "takes", fields)
    return Fix(f"{fuse} where it gets thinner, or the same size all the way", fields)


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
