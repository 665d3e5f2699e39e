"""How the figures of relay coils are worked out: current, voltage, short circuit, the fuse its wires allow."""

from __future__ import annotations

from fuseplan.checks.explain.traced import NO_WAY, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.results.coil import CoilResult, CoilWires

UNKNOWN = "a resistance on the way is not known, or it is driven in no condition"

works_out(CoilResult.current_a, traced(lambda part, results: results.solution.consumer_a[
    part.rows, part.consumer].max(), "A", "I"), UNKNOWN)
works_out(CoilResult.volts, traced(lambda part, results: results.solution.across_v[
    part.rows, part.consumer].min(), "V"), UNKNOWN)
works_out(CoilWires.far_end_a, traced(lambda part, results: results.far_ends.load_a[part.coil.consumer], "A"),
          NO_WAY)
works_out(CoilWires.largest_fuse_a, traced(lambda part, results: results.largest_fuse_a[part.weakest], "A"),
          "nothing is on file for one of its wires")
