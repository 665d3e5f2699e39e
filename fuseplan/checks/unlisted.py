"""Where a set of limits has nothing on file: what rests on it is then unknown, never ok."""

from __future__ import annotations

from collections import defaultdict

import numpy as np

from fuseplan.engine.names import place_words
from fuseplan.engine.network import FuseRow
from fuseplan.engine.results import Results
from fuseplan.quantities import writing

Owner = tuple[str, str]


def unlisted(results: Results) -> dict[Owner, tuple[str, ...]]:
    """For each circuit, feed, earth and the alternator, what the set of limits has nothing on file for, in words.

    Wires of known size without a published current, and fuses hotter than the published curve goes. Owners without
    such are left out.
    """
    network = results.network
    found: dict[Owner, list[str]] = defaultdict(list)
    segments = network.segments
    for index in np.flatnonzero(np.isnan(results.segment_limit_a) & ~np.isnan(segments.area_mm2)).tolist():
        found[segments.owner[index]].append(segment_unlisted(results, index))
    for index in np.flatnonzero(np.isnan(results.fusing.ambient_k)).tolist():
        found[network.fuses[index].owner].append(holder_unlisted(network.fuses[index]))
    return {owner: tuple(words) for owner, words in found.items()}


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
