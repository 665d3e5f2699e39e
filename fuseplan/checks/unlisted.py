"""Where a set of limits has nothing on file: what rests on it is then unknown, never ok."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

import numpy as np

from fuseplan.checks.isolators import earth_way, earths_of
from fuseplan.checks.subjects import segment_words
from fuseplan.engine.compiled_plan import FuseRow
from fuseplan.engine.names import place_words
from fuseplan.engine.results import Results
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Plan
from fuseplan.quantities import writing

Owner = tuple[str, str]


def unlisted(results: Results) -> dict[Owner, tuple[str, ...]]:
    """For each circuit, feed, earth and the alternator, what the set of limits has nothing on file for, in words.

    Wires of known size without a published current, and fuses hotter than the published curve goes. Owners without
    such are left out.
    """
    network = results.network
    found: dict[Owner, list[str]] = defaultdict(list)
    for index in _wires(results):
        found[network.segments.owner[index]].append(segment_unlisted(results, index))
    for index in np.flatnonzero(np.isnan(results.fusing.ambient_k)).tolist():
        found[network.fuses[index].owner].append(holder_unlisted(network.fuses[index]))
    return {owner: tuple(words) for owner, words in found.items()}


def _wires(results: Results) -> list[int]:
    """Segments of known size without a published current."""
    found: list[int] = np.flatnonzero(np.isnan(results.segment_limit_a)
                                      & ~np.isnan(results.network.segments.area_mm2)).tolist()
    return found


def shared_unlisted(results: Results) -> dict[Owner, tuple[str, ...]]:
    """For feeds and earth points what is lost in which of their wires is not known, in words: how warm a wire gets is
    said by its ampacity, and without one it is counted at its ambient, the least that can be lost in it."""
    found: dict[Owner, list[str]] = defaultdict(list)
    for index in _wires(results):
        owner = results.network.segments.owner[index]
        if owner[0] in ("feed", "earth"):
            found[owner].append(f"what is lost in {segment_words(results, index)}: {segment_unlisted(results, index)}")
    return {owner: tuple(words) for owner, words in found.items()}


def unlisted_before(plan: Plan, shared: Mapping[Owner, tuple[str, ...]], circuit: str) -> Iterator[str]:
    """What `shared_unlisted` says of the feeds and earth points on the ways of a circuit."""
    for name in way_to(plan, plan.circuit[circuit].feed):
        yield from shared.get(("feed", name), ())
    for earth in earths_of(plan, circuit):
        for name in earth_way(plan, earth):
            yield from shared.get(("earth", name), ())


def segment_unlisted(results: Results, index: int) -> str:
    """Why nothing says what a segment may carry."""
    segments = results.network.segments
    size, where = segments.segment[index].size, place_words(segments.place[index])
    if size is None:
        return f"wire size not given ({where})"
    if np.isnan(segments.area_mm2[index]):
        return f"{writing.wire_size(size)} is not a size on file ({where})"
    return (f"no published ampacity for {writing.wire_size(size)} with {segments.insulation[index]} at "
            f"{writing.burden(segments.ambient_c[index], '°C')} ({where})")


def holder_unlisted(row: FuseRow) -> str:
    """That no curve says what a fuse carries in so hot a place."""
    return f"no published derating of a fuse at {writing.burden(row.ambient_c, '°C')}"
