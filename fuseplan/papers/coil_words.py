"""The coil of a relay in words: what feeds it, what it draws and has, and the fuse its wires allow."""

from __future__ import annotations

from fuseplan.papers.harmless import shown
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.results.coil import CoilResult


def coil_words(coil: CoilResult) -> str:
    """``fed from 'Coils 87': 0.14 A, 11.4 V across it at the lowest; largest fuse for its wires 7.7 A``."""
    feed = shown(in_words(coil.solved.results.plan, "feed", coil.feed))
    words = f"fed from {feed}: {writing.burden(coil.current_a, 'A')}, " \
            f"{writing.limit(coil.volts, 'V')} across it at the lowest"
    if coil.wires is None:
        return words
    return f"{words}; largest fuse for its wires {writing.LARGEST_FUSE(coil.wires.largest_fuse_a)}, " \
           f"a short at its terminals draws {writing.limit(coil.wires.far_end_a, 'A')}"
