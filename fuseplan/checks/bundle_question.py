"""Which wires lie bundled with others: one in no run of the plan counts as lying by itself."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.subjects import segment_path, segment_words
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.neighbours import loaded_beside
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few
from fuseplan.trace import bare

LEAST_M = 0.5
"""A wire shorter than this is taken to be a lead from a box or to a stud, not part of a bundle."""
NAMED = 3


def bundles_asked(results: Results) -> Iterator[NotSaid]:
    """The run of each wire that its fuse would not protect in a bundle with the other wires of its zone; one question
    for all of them, the one that would fail by most first."""
    exposed = _exposed(results)
    if not exposed:
        return
    names = first_few(exposed, NAMED, lambda each: segment_words(results, each[0]))
    index, others, limit_a, rating_a = exposed[0]
    yield NotSaid(
        "plan", "plan", f"whether these wires lie bundled with others (their runs): {names}",
        f"a wire in no run counts as lying by itself: bundled with the loaded wires of its zone ({others} more), "
        f"{segment_words(results, index)} is rated for {writing.limit(limit_a, 'A')} and its fuse for "
        f"{writing.rating(rating_a)}", "bundle",
        segment_path(results, index, "along"), False)


def _exposed(results: Results) -> list[tuple[int, int, float, float]]:
    """(segment, other wires of its zone in no run that count in a bundle by the limits, ampacity beside them in A,
    rating of its fuse in A)."""
    network, segments = results.network, results.network.segments
    alone = np.zeros(segments.count, dtype=bool)
    alone[segments.pair_segment[segments.pair_run < 0]] = True
    asked = np.flatnonzero(alone & (segments.length_m >= LEAST_M) & (network.segment_guard >= 0)).tolist()
    single_a, carried_a = results.segment_limit_a, bare(results.demands.lasting)[0]
    zones = {zone: number for number, zone in enumerate(dict.fromkeys(segments.segment[each].zone for each in asked))}
    bunch = np.array([zones[segments.segment[each].zone] for each in asked], dtype=np.int64)
    loaded, shared = loaded_beside(carried_a[None, asked], bare(single_a)[asked], bunch, len(zones), results.limit_set)
    found = []
    for index, others in zip(asked, (shared[0] - loaded[0]).tolist(), strict=True):
        limit_a = float(single_a[index]) * float(results.limit_set.group_factor(np.array([1 + others]))[0])
        rating_a = float(results.fusing.rating_a[network.segment_guard[index]])
        if others and not np.isnan(limit_a) and not np.isnan(rating_a) and not at_most(rating_a, limit_a):
            found.append((index, others, limit_a, rating_a))
    return sorted(found, key=lambda each: each[2] / each[3])
