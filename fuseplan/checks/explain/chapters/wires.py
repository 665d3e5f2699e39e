"""How the figures of every length of wire are worked out."""

from __future__ import annotations

from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.explain.working import works_out
from fuseplan.results.segment import SegmentResult

NO_WIRE = "size or length not given"
NO_CURRENT = "a current of its circuit is not given"


def _silent(part: SegmentResult) -> str:
    return "size not given" if part.size_mm2 is None else \
        f"limits {part.solved.limit_set.name} has no current on file for this size and insulation at this ambient"


def _hottest(array: str) -> Cell:
    """The largest over the conditions of one of the solution's arrays."""
    return lambda part, results: results.entered(getattr(results.solution, array))[:, part.index].max()


works_out(SegmentResult.ampacity_a, traced(lambda part, results: results.segment_limit_a[part.index], "A"), _silent)
works_out(SegmentResult.resistance_ohm, traced(_hottest("segment_ohm"), "ohm"), NO_WIRE)
works_out(SegmentResult.length_m, traced(lambda part, results: results.network.segments.length_m[part.index], "m"),
          "length not given")
works_out(SegmentResult.size_mm2, traced(lambda part, results: results.network.segments.area_mm2[part.index], "mm²"),
          "size not given")
works_out(SegmentResult.ambient_c, traced(lambda part, results: results.network.segments.ambient_c[part.index], "°C"))
works_out(SegmentResult.current_a, traced(lambda part, results: results.demands.lasting[0, part.index], "A"),
          NO_CURRENT)
works_out(SegmentResult.conductors, traced(lambda part, results: results.conductors[part.index], "-"))
works_out(SegmentResult.table_temperature_c, traced(_hottest("segment_c"), "°C"), NO_CURRENT)
works_out(SegmentResult.temperature_c, traced(lambda part, results: results.steady_c[part.index], "°C"),
          f"{NO_WIRE}, or {NO_CURRENT}")
works_out(SegmentResult.table_ampacity_a, traced(lambda part, results: results.table_ampacity_a[part.index], "A"),
          _silent)
works_out(SegmentResult.heat_balance_ampacity_a,
          traced(lambda part, results: results.balance_ampacity_a[part.index], "A"), NO_WIRE)
works_out(SegmentResult.fault_a, traced(lambda part, results: results.faults.segment_fault_a[part.index], "A"),
          "no device protects it")
works_out(SegmentResult.fault_temperature_c,
          traced(lambda part, results: results.faults.segment_end_c[part.index], "°C"),
          "no published limits of its device on file, or none protects it")
