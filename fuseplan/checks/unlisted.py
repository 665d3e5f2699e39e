"""Where a guidance has nothing on file for a circuit: its verdict is then unknown, never ok."""

from __future__ import annotations

from collections import defaultdict

import numpy as np

from fuseplan.engine.results import Results


def unlisted(results: Results) -> dict[str, tuple[str, ...]]:
    """For each circuit, what the guidance has nothing on file for, in words; circuits without such are left out.

    Wires of known size without a published current, and fuses hotter than the published curve goes.
    """
    network = results.network
    found: dict[str, list[str]] = defaultdict(list)
    segments = network.segments
    for index in np.flatnonzero(np.isnan(results.segment_limit_a) & ~np.isnan(segments.area_mm2)).tolist():
        kind, owner = segments.owner[index]
        if kind == "circuit":
            found[owner].append(
                f"no current printed for {segments.segment[index].size} with {segments.insulation[index]} at "
                f"{segments.ambient_c[index]:.0f} °C ({segments.place[index]})")
    for index in np.flatnonzero(np.isnan(results.fusing.ambient_k)).tolist():
        row = network.fuses[index]
        if row.owner[0] == "circuit":
            found[row.owner[1]].append(f"no fuse curve printed for a holder at {row.ambient_c:.0f} °C")
    return {circuit: tuple(words) for circuit, words in found.items()}
