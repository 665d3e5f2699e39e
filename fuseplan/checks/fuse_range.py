"""The fuse range in words: what sets its low end, what its high end, and which ratings sold lie inside."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fuseplan.checks.subjects import maker_words, segment_words
from fuseplan.engine.missing import Unknown, leaves_unknown
from fuseplan.engine.stock import ratings_between
from fuseplan.quantities import writing
from fuseplan.records import dataclass

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


@dataclass(frozen=True)
class FuseRangeFacts:
    """From the smallest fuse the load allows to the largest that the wires and the makers of the equipment allow."""

    low_a: float
    low_upper_a: float
    """The low end at the upper bound of the evidence."""
    high_a: float
    """Infinite where nothing on file limits it."""
    low_words: str
    high_words: str
    steps: tuple[float, ...]
    """Ratings sold in the device's type that lie inside for the currents as entered."""

    @property
    def is_empty(self) -> bool:
        """No rating sold lies inside."""
        return not self.steps


def fuse_range_facts(assessment: Assessment, owner: tuple[str, str]) -> FuseRangeFacts | None:
    """The fuse range of the device of an owner, ``("circuit", id)``, ``("feed", id)`` or ``("alternator", "")``; None
    without a device, or where its load is not known."""
    index = assessment.fuse_of.get(owner)
    if index is None:
        return None
    results = assessment.results
    fusing, rule = results.fusing, results.limit_set.fuse
    low, upper = (float(value) for value in fusing.low_a[:, index])
    if math.isnan(low) or (
            owner[0] == "circuit" and leaves_unknown(assessment.lacks(owner[1]), Unknown.CURRENT)):
        return None
    row, high, k = results.network.fuses[index], float(fusing.high_a[index]), float(fusing.ambient_k[index])
    lasting, short = float(fusing.continuous_a[0, index]), float(fusing.short_a[0, index])
    heat = f" × {writing.limit(k, 'factor')} for {writing.burden(row.ambient_c, '°C')}" if k < 1.0 else ""
    if lasting / rule.continuous_share >= short / rule.intermittent_share:
        words = (f"{writing.burden(lasting, 'A')} continuous; a fuse carries "
                 f"{writing.stated(rule.continuous_share, 'share')}{heat}")
    else:
        words = (f"{writing.burden(short, 'A')} for up to five minutes, of which a fuse carries "
                 f"{writing.stated(rule.intermittent_share, 'share')}{heat}")
    binding = int(fusing.binding[index])
    maker = maker_words(results, index)
    if maker is not None:
        wire = f"{maker} allows {writing.LARGEST_FUSE(high)}"
    elif binding < 0:
        wire = "no published limit for any wire it protects"
    else:
        wire = f"{segment_words(results, binding)} is rated for {writing.limit(results.segment_limit_a[binding], 'A')}"
        if rule.wire_table is not None:
            wire += f"; the set of limits lists a fuse of {writing.LARGEST_FUSE(high)} for it"
        elif rule.wire_multiple is not None and rule.wire_multiple != 1.0:
            wire += f", and a fuse may be {writing.stated(rule.wire_multiple, 'share')} of that"
    steps = ratings_between(row.fuse.kind, low, high)
    return FuseRangeFacts(low, upper, high, words, wire, steps)
