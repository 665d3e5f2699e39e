"""A wire that does not lie in a run is thinner than 0.5 mm².

Thinner wire carries a warning lamp's current easily, but breaks at the first tug or crimp. In a run the other wires
support it.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import segment_path, segment_subject, segment_words
from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.results import Results
from fuseplan.engine.stock import SMALLEST_MM2
from fuseplan.quantities import writing
from fuseplan.results.segment import SegmentResult


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    segments = results.network.segments
    if not segments.count:
        return
    alone = segments.pair_run[segments.first_pair] < 0
    for index in np.flatnonzero(alone & falls_short(segments.area_mm2, SMALLEST_MM2)).tolist():
        area = float(segments.area_mm2[index])
        yield rule.finding(
            results, segment_subject(results, index),
            f"{segment_words(results, index)} is thinner than {writing.stated(SMALLEST_MM2, 'mm²')} and lies in no "
            "run",
            figure=area, figure_side="limit", limit=SMALLEST_MM2, unit="mm²",
            fields=(segment_path(results, index, "size"),))


RULE = Rule(
    consequence="good_practice",
    title="Wire below the minimum size",
    source="common practice, no source; 0.5 mm² is the smallest size in a vehicle maker's body-builder table, 2015",
    caution="A wire broken inside its insulation makes and loses contact with every bump.",
    fix="fit 0.5 mm² or thicker, or lay it along a run",
    example="fails: 0.22 mm²; passes: 0.5 mm²",
    find=find,
    figures=((SegmentResult.size_mm2, None),),
)
