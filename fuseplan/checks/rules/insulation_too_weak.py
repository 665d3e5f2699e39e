"""The insulation's temperature class is too low for the place the wire lies in.

At an ambient temperature at or above its class the insulation hardens and cracks even without current; less than 20 K
below it leaves no margin for the heat of the current or a hotter day. No fuse changes that. Beyond that, a vehicle
maker asks for 150 °C insulation near the exhaust; that is advice here, given once for each such zone.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.fixes import SPARE_K, better_insulation, for_all_alike, insulated_alike, insulation_class_c
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import segment_path, segment_subject, segment_words, zone_paths
from fuseplan.engine.at_limit import exceeds
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.results.segment import SegmentResult
from fuseplan.tables.insulations import INSULATIONS

ASKED_C = 150.0
HOT_WORDS = ("exhaust", "turbo", "manifold")
"""Zones whose name holds one of these are near the exhaust."""
PATHS_SHOWN = 20


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    segments = results.network.segments
    class_c = {name: insulation_class_c(name) for name in set(segments.insulation)}
    rated_c = np.array([class_c[name] for name in segments.insulation])
    close = exceeds(segments.hottest_c, rated_c - SPARE_K)
    spare = writing.stated(SPARE_K, "K")
    assumed = set(segments.marked.get("assumed_place", ()))
    for index in np.flatnonzero(close).tolist():
        place_c, name, own = float(segments.hottest_c[index]), segments.insulation[index], float(rated_c[index])
        too_hot = place_c >= own
        is_given = segments.segment[index].insulation is not None
        given = "" if is_given else ", assumed as none is stated,"
        state = "" if is_given else f"state its insulation (taken as {name}); if it is that, "
        better, where = better_insulation(results, index), for_all_alike(results, index)
        paths = [segment_path(results, each, "insulation") for each in insulated_alike(results, index)]
        yield rule.finding(
            results, segment_subject(results, index),
            f"{segment_words(results, index)}: {name}{given} is rated for {writing.limit(own, '°C')}, its zone has "
            f"{writing.burden(place_c, '°C')}"
            f"{' (assumed: no zone stated)' if index in assumed else ''}"
            f"{'' if too_hot else f', less than {spare} below it'}",
            figure=place_c, limit=own if too_hot else own - SPARE_K, unit="°C",
            consequence=None if too_hot else "damages_a_part",
            fix=f"{state}{f'insulation {better}{where}, or ' if better else ''}move the wire to a cooler place; a "
                "smaller fuse or a thicker wire does not help"
                f"{'; state the zone it lies in' if index in assumed else ''}",
            source=f"{INSULATIONS[name].source.line()}"
                   f"{'' if too_hot else f'; {spare} to spare: common practice, no source'}",
            values=tuple((path, better) for path in paths) if better else (),
            fields=(*paths, *zone_paths(results, index)), part=segments.place[index])
    yield from _below_asked(rule, results, (rated_c < ASKED_C) & (segments.hottest_c < rated_c))


def _below_asked(rule: Rule, results: Results, low: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> Iterator[Finding]:
    plan, segments = results.plan, results.network.segments
    hot = {zone for zone in plan.zone if any(word in zone.lower() for word in HOT_WORDS)}
    if not hot:
        return
    hot_runs = {name: run.zone for name, run in plan.run.items() if run.zone in hot}
    found: dict[str, list[int]] = {}
    for index in np.flatnonzero(low).tolist():
        segment = segments.segment[index]
        zone = segment.zone if segment.zone in hot else None
        if segment.along:
            zone = next((hot_runs[name] for name in segment.along if name in hot_runs), None)
        if zone is not None:
            found.setdefault(zone, []).append(index)
    for zone, indexes in found.items():
        lengths = "1 length of wire has" if len(indexes) == 1 else f"{len(indexes)} lengths of wire have"
        yield rule.finding(
            results, ("plan", "plan"), f"in {in_words(results.plan, 'zone', zone)} {lengths} insulation below the "
            f"{writing.stated(ASKED_C, '°C')} a vehicle maker asks for there", consequence="good_practice",
            limit=ASKED_C, unit="°C",
            source="150 °C near the exhaust: a vehicle maker's "
                   "body-builder manual, 2015",
            fix="insulation etfe150, or sleeve and keep clear of the exhaust",
            fields=tuple(segment_path(results, index, "insulation") for index in indexes[:PATHS_SHOWN]))


RULE = Rule(
    consequence="burns",
    title="Insulation too weak for the zone",
    source="ISO 6722 temperature classes",
    caution="Overheated insulation cracks off: the bare wire then touches the engine or the body.",
    fix="insulation of a higher class, or a cooler route",
    example="fails: pvc70 in an engine bay of 85 °C; passes: etfe150",
    find=find,
    ambient=True,
    figures=((SegmentResult.ambient_c, None),),
)
