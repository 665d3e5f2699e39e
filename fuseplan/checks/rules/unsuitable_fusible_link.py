"""The fusible link is too thick for the wire it protects, has the wrong length, or sits in the cabin."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.at_limit import exceeds, falls_short
from fuseplan.engine.results import Results
from fuseplan.errors import TableError
from fuseplan.quantities import writing
from fuseplan.tables import conductors

SIZES_THINNER = 4
SHORTEST_M, LONGEST_M = 0.1016, 0.2286


def gauge(area_mm2: float) -> float:
    """AWG number of a cross-section, by the law of ASTM B258 (1/0 is 0, 2/0 is -1)."""
    return 36.0 - 39.0 * math.log(math.sqrt(4.0 * area_mm2 / math.pi) / 0.127, 92.0)


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    for index in network.fuses_by_kind.get("link", np.zeros(0, dtype=np.int64)).tolist():
        row = network.fuses[index]
        guarded = np.flatnonzero(network.segment_guard == index)
        areas = network.segments.area_mm2[guarded]
        areas = areas[~np.isnan(areas)]
        size = row.fuse.link_size
        if size is not None and areas.size:
            try:
                link = gauge(conductors.conductor(size.system, size.name).area_mm2)
            except TableError:
                link = math.nan
            thinnest = gauge(float(areas.min()))
            if link < thinnest + SIZES_THINNER - 0.5:
                yield rule.finding(
                    results, fuse_subject(row),
                    f"a link of {size} is {writing.limit(link - thinnest, 'factor')} gauge numbers thinner than the "
                    f"thinnest wire it protects ({writing.limit(areas.min(), 'mm²')}); {SIZES_THINNER} are "
                    "required", figure=link - thinnest, figure_side="limit", limit=SIZES_THINNER,
                    unit="AWG", fields=(fuse_path(row, "link_size"),))
        length = row.fuse.link_length
        short = length is not None and bool(falls_short(float(length), SHORTEST_M))
        if length is not None and (short or exceeds(float(length), LONGEST_M)):
            yield rule.finding(
                results, fuse_subject(row),
                f"a link of {writing.stated(1000 * float(length), 'mm')}; published lengths run from "
                f"{writing.stated(1000 * SHORTEST_M)} to {writing.stated(1000 * LONGEST_M, 'mm')}",
                figure=float(length), figure_side="limit" if short else "burden",
                limit=SHORTEST_M if short else LONGEST_M, unit="m", consequence="good_practice",
                fields=(fuse_path(row, "link_length"),))
        if row.fuse.zone == "cabin":
            yield rule.finding(results, fuse_subject(row),
                               "a fusible link in the cabin: it sparks and smokes when it melts",
                               fields=(fuse_path(row, "zone"),))


RULE = Rule(
    consequence="burns",
    title="Unsuitable fusible link",
    source="four gauge numbers thinner, 10 for 6: SAE J156, second-hand; lengths of trade pages from 4 to 9 inches",
    caution="Never replace a link by ordinary wire: its insulation burns, the link's does not.",
    fix="link wire four gauge numbers thinner than the wire it protects, 100 to 230 mm long, outside the cabin",
    example="fails: AWG 12 for a wire of AWG 10; passes: AWG 14",
    find=find,
)
