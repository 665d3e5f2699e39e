"""Joints of neighbouring wires lie side by side, or close to a connector.

Splices at one spot make a lump that does not bend and chafes, with the bare metal of several wires close together.
Workshop manuals ask for 40 to 51 mm between them, and as much to connectors and branches.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from fuseplan.checks.pins import connector_subject, pin_path
from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import segment_path, segment_subject, segment_words
from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import PinId
from fuseplan.plan.part_names import pin_words
from fuseplan.plan.parts import Segment
from fuseplan.quantities import writing

STAGGER_M = 0.051
LEAST_M = 0.040


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    segments = results.network.segments
    at: dict[object, list[tuple[float, int]]] = defaultdict(list)
    for index in segments.marked.get("joint", ()):
        segment = segments.segment[index]
        for joint in (segment.joint, *segment.splice):
            if joint is not None and joint.place is not None:
                run, place = _where(results.plan, segment, float(joint.place))
                at[run or index].append((place, index))
    for joints in at.values():
        joints.sort()
        for (near, one), (far, other) in pairwise(joints):
            gap = far - near
            if falls_short(gap, STAGGER_M):
                least = writing.stated(LEAST_M * 1000, "mm")
                below = "" if not falls_short(gap, LEAST_M) else f", and less than the {least} of the most lenient one"
                yield rule.finding(
                    results, segment_subject(results, other),
                    f"joints of {segment_words(results, one)} and {segment_words(results, other)} are "
                    f"{writing.limit(gap * 1000, 'mm')} apart; workshop manuals ask for up to "
                    f"{writing.stated(STAGGER_M * 1000, 'mm')}{below}",
                    figure=gap, figure_side="limit", limit=STAGGER_M, unit="m",
                    fields=tuple(dict.fromkeys((segment_path(results, other, "joint.place"),
                                                segment_path(results, one, "joint.place")))))
    yield from _added(rule, results)


def _added(rule: Rule, results: Results) -> Iterator[Finding]:
    """Splices of the wires made longer at each connector: from the connector, and from one another."""
    for name, connector in results.plan.connector.items():
        joints = sorted((float(pin.extension.length), number) for number, pin in connector.pin.items()
                        if pin.extension is not None)
        for (near, before), (far, number) in pairwise([(0.0, ""), *joints]):
            gap = far - near
            at = PinId(name, number)
            if falls_short(gap, STAGGER_M):
                words = f"the splice of {pin_words(results.plan, at)} is {writing.limit(gap * 1000, 'mm')} from " + (
                    f"that of pin {before}" if before else "the connector")
                yield rule.finding(
                    results, connector_subject(at), f"{words}; workshop manuals ask for up to "
                    f"{writing.stated(STAGGER_M * 1000, 'mm')}", figure=gap, figure_side="limit", limit=STAGGER_M,
                    unit="m", fields=(pin_path(at, "extension.length"),))


def _where(plan: Plan, segment: Segment, place_m: float) -> tuple[str | None, float]:
    """The run a joint lies in and its distance from where that run begins; no run for a segment of its own.

    A segment along one run is taken to start where the run starts; along several, the way they join tells the
    direction of each.
    """
    runs = [plan.run[name] for name in segment.along or () if name in plan.run]
    if not runs or any(run.length is None for run in runs):
        return None, place_m
    end = None
    if len(runs) > 1:
        end = runs[0].start if runs[0].end in (runs[1].start, runs[1].end) else runs[0].end
    here = end if end is not None else runs[0].start
    for name, run in zip(segment.along or (), runs, strict=True):
        length = float(run.length or 0.0)
        forward = here == run.start
        if place_m <= length or run is runs[-1]:
            return name, place_m if forward else length - place_m
        place_m -= length
        here = run.end if forward else run.start
    return None, place_m


RULE = Rule(
    consequence="good_practice",
    title="Joints side by side",
    source="40 mm: a car maker's workshop manual, 2007; 50 and 51 mm: two others, 1996 and 2001",
    caution="Joints that touch chafe through and short where nobody looks.",
    fix="move one joint along the loom by 51 mm or more",
    example="fails: joints 30 mm apart; passes: 60 mm apart",
    find=find,
)
