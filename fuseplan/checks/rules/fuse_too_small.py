"""The fuse rating is too small for the load current at the temperature of the holder.

A fuse at its rated current runs hot and blows in the end. A continuous load may use only a share of the rating, less
in a hot place; a load of up to five minutes may use the rating itself, derated for temperature.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.fixes import another_insulation, carries_nothing
from fuseplan.checks.protected import rating_unknown, unjudged
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, Unjudged, over_limit
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.checks.unlisted import holder_unlisted
from fuseplan.engine.fusing import ladder
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.fuse import FuseRange, FuseResult


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    fusing = results.fusing
    judged = over_limit(fusing.low_a, fusing.rating_a, True)
    for index in judged.unknown:
        row = results.network.fuses[index]
        words = rating_unknown(results, index) if np.isnan(fusing.rating_a[index]) else \
            holder_unlisted(row) if np.isnan(fusing.ambient_k[index]) else "the current through it"
        yield from unjudged(rule, results, index, words)
    for index, corner in judged.fails:
        row = results.network.fuses[index]
        rating, need = float(fusing.rating_a[index]), float(fusing.low_a[corner, index])
        share = float(fusing.share[corner, index])
        k = float(fusing.ambient_k[index])
        allowed = results.limit_set.fuse.continuous_share * k
        used, may_use = writing.against(share, allowed, "share")
        message = (f"{writing.burden(fusing.continuous_a[corner, index], 'A')} continuous is {used} of "
                   f"{writing.rating(rating)}; at {writing.burden(row.ambient_c, '°C')} a continuous load may use "
                   f"{may_use}")
        if share <= allowed:
            message = (f"{writing.burden(fusing.short_a[corner, index], 'A')} for up to five minutes is more than "
                       f"{writing.rating(rating)} carries at {writing.burden(row.ambient_c, '°C')}")
        high = float(fusing.high_a[index])
        fits = [step for step in ladder(row.fuse.kind) if need <= step <= high]
        binding = int(fusing.binding[index])
        hopeless = another_insulation(results, binding) if carries_nothing(results, binding) else None
        yield rule.finding(results, fuse_subject(row), (MEASURE_WORDS if corner else "") + message, figure=need,
                           limit=rating, unit="A", fix=_fix(need, high, fits, hopeless),
                           source=results.limit_set.fuse.continuous_source, measure=bool(corner),
                           fields=(fuse_path(row, "rating"),))


def _fix(need_a: float, high_a: float, fits: list[float], hopeless: str | None) -> str:
    if hopeless is not None:
        return f"smallest fuse for the load: {writing.SMALLEST_FUSE(need_a)}; none protects this wire: {hopeless}"
    if math.isfinite(high_a):
        return (f"fit {writing.rating(fits[0])}: the wire allows up to {writing.LARGEST_FUSE(high_a)}" if fits else
                f"smallest fuse for the load: {writing.SMALLEST_FUSE(need_a)}, largest for the wire: "
                f"{writing.LARGEST_FUSE(high_a)}. Fit the larger fuse and a thicker wire, or two fuses and two wires")
    unlisted = "the wire's ampacity is not on file"
    return (f"fit {writing.rating(fits[0])} once you know that the wire is rated for it: {unlisted}" if fits else
            f"smallest fuse for the load: {writing.SMALLEST_FUSE(need_a)}. Fit a larger type of fuse, or two fuses "
            f"and two wires; {unlisted}")


RULE = Rule(
    level="danger",
    title="Fuse too small",
    source="75 % of rating at 25 °C for a continuous load: L. Lundy, The fuse-selection checklist, EDN, 26 "
           "September 1996",
    caution="Never fit a bigger fuse to stop it blowing: the wire becomes the fuse.",
    fix="a larger fuse, only together with a wire rated for it",
    example="fails: 7.5 A continuous on a 7.5 A fuse; passes: on a 15 A fuse",
    find=find,
    figures=((FuseRange.low, FuseResult.rating_a),),
)
