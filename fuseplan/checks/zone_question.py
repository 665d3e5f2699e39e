"""Where a run or a wire without a zone lies, if a wire passes where it counts and would not in the hottest zone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

import numpy as np

from fuseplan.array_types import Flags, Floats
from fuseplan.checks.fixes import insulation_class_c
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.overload import for_seconds
from fuseplan.checks.subjects import segment_subject, segment_words, zone_paths
from fuseplan.checks.unlisted import segment_unlisted
from fuseplan.engine.at_limit import exceeds, within
from fuseplan.engine.changes import Change, apply
from fuseplan.engine.clearing import OPEN_WITHIN_S
from fuseplan.engine.computing import compute
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words
from fuseplan.plan.putting import steps_of
from fuseplan.plan.references import Path
from fuseplan.quantities import writing
from fuseplan.trace import bare

_BRIEF = for_seconds("circuit", "alternator", "feed", "earth")


def zones_asked(results: Results) -> Iterator[NotSaid]:
    """The zone of each run without one, and of each part's wires in no run, that pass at the zones they are joined to
    and would not in the hottest zone of the plan: a wire leads away from what it is joined to."""
    plan, segments = results.plan, results.network.segments
    hottest = max(plan.zone, key=lambda name: float(plan.zone[name].ambient), default="")
    taken = segments.marked.get("taken_place", ())
    cooler = [index for index in taken if segments.hottest_c[index] < float(plan.zone[hottest].ambient)]
    if not cooler:
        return
    rating_a = bare(results.fusing.rating_a)
    passes = ~np.any([fails for fails, _ in _faults(results, rating_a)], axis=0)
    paths = dict.fromkeys(path for index in taken for path in zone_paths(results, index))
    there = compute(_with_all_in(plan, [steps_of(plan, path) for path in paths], hottest), results.limit_set)
    faults = _faults(there, rating_a)
    unlisted = np.isnan(bare(there.segment_limit_a)) & ~np.isnan(bare(results.segment_limit_a))
    faults.append((unlisted, lambda index: f"there is {segment_unlisted(there, index)}"))
    asked: set[tuple[str, str, str]] = set()
    for index in cooler:
        kind, name = segment_subject(results, index)
        key = zone_paths(results, index)[0]
        about = kind, name, key if segments.segment[index].along else "wires"
        words = next((words for fails, words in faults if fails[index] and passes[index]), None)
        if words is not None and about not in asked:
            asked.add(about)
            yield NotSaid(
                kind, name, "the zone of each of its wires, or of the run it lies in (zone)",
                "without one a wire counts at the hottest zone it is joined to: past an exhaust it may burn",
                "wire_zone", key, True, f"in {in_words(plan, 'zone', hottest)} {words(index)}")


def _with_all_in(plan: Plan, paths: Iterable[Path], zone: str) -> Plan:
    """The plan with its runs and wires in this zone, of those at these paths that have none."""
    return apply(plan, [Change(path, zone) for path in paths
                        if path[0] != "run" or plan.run[str(path[1])].zone is None])


def _faults(results: Results, rating_a: Floats) -> list[tuple[Flags, Callable[[int], str]]]:
    """The segments (S,) that burn by each of the checks that the heat of their place decides, with fuses of these
    ratings (J,), and what is wrong with one of them."""
    network, segments, fusing, faults = results.network, results.network.segments, results.fusing, results.faults
    class_c = np.array([insulation_class_c(name) for name in segments.insulation])
    ampacity_a = _known_or(results.segment_limit_a, results.ceilings.ampacity_a)
    largest_a = _known_or(results.largest_fuse_a, results.ceilings.fuse_a)
    guard, fuse_a = network.segment_guard, np.full(segments.count, np.nan)
    guarded = np.flatnonzero((guard >= 0) & ~fusing.short_branches)
    guarded = guarded[~fusing.against_shorts[guard[guarded]]]
    fuse_a[guarded] = rating_a[guard[guarded]]
    brief, rows = np.zeros(segments.count, dtype=bool), _BRIEF(results)
    brief[rows.parts] = rows.fails(rows.figure(results.at_bounds))[0]
    short = exceeds(faults.segment_end_c, faults.segment_limit_c) & within(faults.segment_opens_s, OPEN_WITHIN_S)

    def wire(index: int) -> str:
        return segment_words(results, index)

    return [
        (segments.hottest_c >= class_c, lambda index:
            f"the insulation of {wire(index)} is too weak: {writing.burden(segments.hottest_c[index], '°C')}"),
        (exceeds(fuse_a, largest_a), lambda index:
            f"{wire(index)} is rated for a fuse of {writing.LARGEST_FUSE(float(largest_a[index]))}, less than its fuse "
            f"of {writing.rating(float(fuse_a[index]))}"),
        (exceeds(bare(results.demands.lasting)[0], ampacity_a), lambda index:
            f"{wire(index)} is rated for {writing.limit(ampacity_a[index], 'A')}, less than its load"),
        (brief, lambda index: f"its loads take {wire(index)} in seconds past what its insulation is rated for"),
        (short & ~np.isnan(fuse_a), lambda index:
            f"a short takes {wire(index)} past what its insulation withstands before its fuse has cleared it"),
    ]


def _known_or(limit_a: Floats, bound_a: Floats) -> Floats:
    """Limits of segments, where they are not on file what bounds them (S,)."""
    return np.where(np.isnan(bare(limit_a)), bound_a, bare(limit_a))
