"""How the figures of protective devices are worked out: both ends of the fuse range, rating, share."""

from __future__ import annotations

from fuseplan.checks.explain.traced import traced
from fuseplan.checks.explain.working import works_out
from fuseplan.checks.rejected import rejected_words
from fuseplan.results.fuse import FuseRange, FuseResult


def _silent(part: FuseRange | FuseResult) -> str:
    return f"limits {part.solved.limit_set.name} has nothing on file for it or for a wire behind it"


works_out(FuseRange.low, traced(lambda part, results: results.fusing.low_a[0, part.index], "A"), _silent)
works_out(FuseRange.high, traced(lambda part, results: results.fusing.high_a[part.index], "A"), _silent)
works_out(FuseResult.largest_for_wire_a, traced(lambda part, results: results.fusing.wire_a[part.index], "A"), _silent)
works_out(FuseResult.max_fuse_a, traced(lambda part, results: results.fusing.maker_a[part.index], "A"),
          "no max_fuse is stated for what it supplies")
works_out(FuseResult.rating_a, traced(lambda part, results: results.fusing.rating_a[part.index], "A"),
          "none is given, and none is proposed")
works_out(FuseResult.proposed_a, traced(lambda part, results: results.proposals.proposed_a[part.index], "A"),
          lambda part: rejected_words(part.solved.results, part.index)
          or "no standard rating lies between load and wire")
works_out(FuseResult.share, traced(lambda part, results: results.fusing.share[0, part.index], "-"),
          "no rating is in force")
works_out(FuseResult.ambient_c, traced(lambda part, results: results.network.holder_c[part.index], "°C"))
