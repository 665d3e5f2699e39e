"""Where a guidance has nothing on file: what rests on it is then unknown, never ok."""

from __future__ import annotations

from collections import defaultdict

import numpy as np

from fuseplan.checks.subjects import stretch_words
from fuseplan.engine.results import Results
from fuseplan.quantities import writing

Owner = tuple[str, str]


def unlisted(results: Results) -> dict[Owner, tuple[str, ...]]:
    """For each circuit, feed, earth and the alternator, what the guidance has nothing on file for, in words.

    Wires of known size without a published current, and fuses hotter than the published curve goes. Owners without
    such are left out.
    """
    network = results.network
    found: dict[Owner, list[str]] = defaultdict(list)
    segments = network.segments
    for index in np.flatnonzero(np.isnan(results.segment_limit_a) & ~np.isnan(segments.area_mm2)).tolist():
        found[segments.owner[index]].append(
            f"no current printed for {segments.segment[index].size} with {segments.insulation[index]} at "
            f"{writing.burden(segments.ambient_c[index], '°C')} ({stretch_words(segments.place[index])})")
    for index in np.flatnonzero(np.isnan(results.fusing.ambient_k)).tolist():
        row = network.fuses[index]
        found[row.owner].append(f"no fuse curve printed for a holder at {writing.burden(row.ambient_c, '°C')}")
    return {owner: tuple(words) for owner, words in found.items()}
