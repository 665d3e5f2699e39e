"""Where a wire lies that has no zone and counts at the hottest one it is joined to, if it would burn in another."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.fixes import ampacity_at, insulation_class_c
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.subjects import segment_subject, segment_words, zone_paths
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.trace import bare


def zones_asked(results: Results) -> Iterator[NotSaid]:
    """The zone of each run without one that holds a wire which passes at the zones it is joined to, and would not in
    the hottest zone of the plan: a run leads away from what its wires are joined to."""
    plan, segments = results.plan, results.network.segments
    hottest = max(plan.zone, key=lambda name: float(plan.zone[name].ambient), default="")
    asked: set[tuple[str, str]] = set()
    for index in segments.marked.get("taken_place", ()) if hottest else ():
        kind, name = segment_subject(results, index)
        key, ambient_c = zone_paths(results, index)[0], float(plan.zone[hottest].ambient)
        if not segments.segment[index].along or (name, key) in asked:
            continue
        fault = _fault(results, index, ambient_c)
        if fault:
            asked.add((name, key))
            yield NotSaid(
                kind, name, "the zone of each run that its wires lie in (zone)",
                "a run without a zone counts at the hottest its wires are joined to: past an exhaust they may burn",
                "run_zone", key, True, f"in {in_words(plan, 'zone', hottest)} {fault}")


def _fault(results: Results, index: int, ambient_c: float) -> str:
    """What a wire would do in a place that hot and does not where it counts; empty for nothing."""
    network, segments = results.network, results.network.segments
    guard, class_c = int(network.segment_guard[index]), insulation_class_c(segments.insulation[index])
    words, now_c = segment_words(results, index), float(segments.hottest_c[index])
    if at_most(class_c, ambient_c) and not at_most(class_c, now_c):
        return f"the insulation of {words} is too weak: {writing.burden(ambient_c, '°C')}"
    carries_a = float(bare(results.demands.lasting)[0][index] if guard < 0 else results.fusing.rating_a[guard])
    there_a, now_a = ampacity_at(results, index, ambient_c), float(results.segment_limit_a[index])
    if not at_most(carries_a, now_a) or at_most(carries_a, there_a):
        return ""
    return f"{words} is rated for {writing.limit(there_a, 'A')}, less than " \
           f"{'its load' if guard < 0 else f'its fuse of {writing.rating(carries_a)}'}"
