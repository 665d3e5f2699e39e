"""Figures of every stretch of wire, of circuits, feeds, earths and the alternator cable."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from fuseplan.checks.explain import heat_work, wire_work
from fuseplan.checks.explain.demand_work import lasting_demand
from fuseplan.checks.explain.figures import Figure
from fuseplan.checks.explain.places import segment_address
from fuseplan.checks.views import SegmentView, segment_views

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment


def chapter(assessment: Assessment) -> Iterator[Figure]:
    """Figures of every segment."""
    for owner in assessment.segments_of:
        for view in segment_views(assessment, owner):
            yield from _segment(assessment, segment_address(owner, view.place), view)


def _segment(assessment: Assessment, at: str, view: SegmentView) -> Iterator[Figure]:
    results, index = assessment.results, view.index
    network, solution = results.network, results.solution
    conditions = len(network.conditions)
    row = int(solution.segment_ohm[:conditions, index].argmax())
    hottest = int(solution.segment_c[:conditions, index].argmax())
    node, returns = int(network.segments.branch[index]), bool(network.segments.returns[index])
    silent = "size not given" if view.size_mm2 is None else \
        f"limits {assessment.limit_set.name} has no current on file for this size and insulation at this ambient"
    yield Figure(f"{at}.ampacity", f"what {at} may carry", "A", view.ampacity_a,
                 lambda: wire_work.ampacity(results, wire_work.worst_condition(results, index), index),
                 why_unknown=silent)
    yield Figure(f"{at}.resistance", f"resistance of {at}, hottest", "ohm", view.resistance_ohm,
                 partial(wire_work.resistance, results, solution, row, index), why_unknown="size or length not given")
    yield Figure(f"{at}.length", f"length of {at}", "m", view.length_m, partial(wire_work.length, results, index),
                 why_unknown="length not given")
    yield Figure(f"{at}.size", f"cross-section of {at}", "mm²", view.size_mm2, partial(wire_work.area, results, index),
                 why_unknown="size not given")
    yield Figure(f"{at}.current", f"what heats {at} for minutes", "A", view.current_a,
                 partial(lasting_demand, results, returns, node))
    yield Figure(f"{at}.conductors", f"conductors counted beside {at}", "-", float(view.conductors),
                 partial(wire_work.conductors_counted, results, index))
    yield Figure(f"{at}.table_temperature", f"temperature of {at} by its printed current, in its hottest "
                                            "condition", "°C",
                 view.table_temperature_c, partial(wire_work.temperature, results, solution, hottest, index))
    yield Figure(f"{at}.temperature", f"temperature of {at} by a heat balance", "°C", view.temperature_c,
                 partial(heat_work.steady, results, index), why_unknown="size or length not given")
    yield Figure(f"{at}.table_alone", f"printed current of {at}, alone at its worst ambient", "A", view.table_alone_a,
                 partial(wire_work.table_alone, results, index), why_unknown=silent)
    yield Figure(f"{at}.balance_ampacity", f"what a heat balance would let {at} carry alone", "A",
                 view.balance_ampacity_a, partial(heat_work.ampacity, results, index),
                 why_unknown="size or length not given")
