"""Figures of every stretch of wire, of circuits, feeds, earths and the alternator cable."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.explain.traced import Cell, traced
from fuseplan.checks.views import SegmentView, segment_views
from fuseplan.engine.names import part_address

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Figures of every segment."""
    for owner in assessment.segments_of:
        for view in segment_views(assessment, owner):
            yield from _segment(assessment, part_address(owner, view.place), view)


def _segment(assessment: Assessment, at: str, view: SegmentView) -> Iterator[Figure]:
    index, conditions = view.index, len(assessment.results.network.conditions)
    silent = "size not given" if view.size_mm2 is None else \
        f"limits {assessment.limit_set.name} has no current on file for this size and insulation at this ambient"

    def figure(key: str, words: str, unit: str, value: float | None, cell: Cell, why: str = "") -> Figure:
        return Figure(f"{at}.{key}", words, unit, value, traced(assessment, cell, unit=unit), why_unknown=why)

    no_wire = "size or length not given"
    yield figure("ampacity", f"what {at} may carry", "A", view.ampacity_a,
                 lambda results: results.segment_limit_a[index], silent)
    yield figure("resistance", f"resistance of {at}, hottest", "ohm", view.resistance_ohm,
                 lambda results: results.solution.segment_ohm[:conditions, index].max(), no_wire)
    yield figure("length", f"length of {at}", "m", view.length_m,
                 lambda results: results.network.segments.length_m[index], "length not given")
    yield figure("size", f"cross-section of {at}", "mm²", view.size_mm2,
                 lambda results: results.network.segments.area_mm2[index], "size not given")
    yield figure("current", f"what heats {at} for minutes", "A", view.current_a,
                 lambda results: results.demands.lasting[0, index])
    yield figure("conductors", f"conductors counted beside {at}", "-", float(view.conductors),
                 lambda results: results.conductors[index])
    yield figure("table_temperature", f"temperature of {at} by its printed current, in its hottest condition", "°C",
                 view.table_temperature_c, lambda results: results.solution.segment_c[:conditions, index].max())
    yield figure("temperature", f"temperature of {at} by a heat balance", "°C", view.temperature_c,
                 lambda results: results.steady_c[index], no_wire)
    yield figure("table_alone", f"printed current of {at}, alone at its worst ambient", "A", view.table_alone_a,
                 lambda results: results.table_ampacity_a[index], silent)
    yield figure("balance_ampacity", f"what a heat balance would let {at} carry alone", "A", view.balance_ampacity_a,
                 lambda results: results.balance_ampacity_a[index], no_wire)
