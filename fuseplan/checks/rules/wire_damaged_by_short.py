"""A short heats the wire beyond what its insulation withstands before the fuse blows.

What the fuse lets through until it has cleared heats the copper. From its service temperature the wire must not exceed
the final temperature its insulation withstands for up to five seconds. Where the cable may go without a fuse, by its
role, length and cover, one that is too large for this is advice.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import smaller_fuse
from fuseplan.checks.fuse_to_fit import blowing_in_time, holding, suiting
from fuseplan.checks.overload import fix_for_load
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, segment_path, segment_subject, segment_words
from fuseplan.checks.too_large_fuse import fix_for, is_too_large, past_the_tables
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.clearing import OPEN_WITHIN_S
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.results.segment import SegmentResult
from fuseplan.tables import insulations


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    faults, network = results.faults, results.network
    lost = np.flatnonzero(exceeds(faults.segment_end_c, faults.segment_limit_c))
    for index in lost.tolist():
        if not at_most(faults.segment_opens_s[index], OPEN_WITHIN_S):
            continue  # The device is too slow for this calculation to hold: that is a finding of its own.
        guard = int(network.segment_guard[index])
        is_only_more = bool(results.fusing.against_shorts[guard])
        end_c, limit_c = float(faults.segment_end_c[index]), float(faults.segment_limit_c[index])
        covering = insulations.insulation(network.segments.insulation[index])
        source = rule.source if covering.short_source is None else f"{rule.source}; {covering.short_source.line()}"
        carried_a = float(results.demands.lasting[0, index])
        if is_too_large(results, guard, index) and not is_only_more:
            fix = fix_for(results, guard, index)
        elif exceeds(carried_a, results.segment_limit_a[index]):
            fix = fix_for_load(results, index, carried_a)  # Its load alone makes it so hot: that is mended first.
        else:
            fix = past_the_tables(results, guard, index) or _fix(results, guard, index)
        yield rule.finding(
            results, segment_subject(results, index),
            f"a short of {writing.limit(faults.segment_fault_a[index], 'A')} takes {segment_words(results, index)} "
            f"from {writing.burden(faults.start_c[index], '°C')} to {writing.burden(end_c, '°C')} before "
            f"the {writing.rating(results.fusing.rating_a[guard])} fuse has cleared it; its insulation withstands "
            f"{writing.limit(limit_c, '°C')}",
            figure=end_c, limit=limit_c, unit="°C", source=source,
            fix=fix, part=results.network.segments.place[index],
            consequence="good_practice" if is_only_more else None,
        )


def _fix(results: Results, device: int, segment: int) -> Fix:
    """For a wire that the device protects against an overload, but not in a short."""
    row, fusing = results.network.fuses[device], results.fusing
    size, rating = segment_path(results, segment, "size"), fuse_path(row, "rating")
    low, now = float(fusing.low_a[0, device]), float(fusing.rating_a[device])
    fits = blowing_in_time(results, device, [each for each in holding(results, device, low, now) if each < now])
    if not fits:
        return Fix(RULE.fix, (size, rating))
    fits = results.network.stock.preferred(row.fuse.kind, fits)
    return Fix(f"{smaller_fuse(results, device, suiting(results, device, fits))}; or a thicker wire", (rating, size))


RULE = Rule(
    consequence="burns",
    title="Wire damaged by a short",
    source="adiabatic heating with K = 226 A·√s/mm² for copper, IEC 60949, from memory",
    caution="A wire that glows before its fuse blows sets fire to the wires beside it in the loom.",
    fix="a thicker wire or a smaller fuse",
    example="fails: 30 A on 0.5 mm²; passes: 3 A",
    find=find,
    figures=((SegmentResult.fault_temperature_c, None),),
    resistance=True,
    ambient=True,
)
