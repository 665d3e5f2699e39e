"""Findings cured by a wire: the next size, the cheapest sizes on a way, another insulation."""

from __future__ import annotations

import numpy as np

from fuseplan.advice.draft import OUT_OF_SCOPE
from fuseplan.advice.edit import owner_key, segment_key
from fuseplan.advice.look import Look
from fuseplan.advice.sizes import steps_up
from fuseplan.checks.cheapest_sizes import Path, cheapest
from fuseplan.checks.fixes import better_insulation
from fuseplan.checks.rule import Finding
from fuseplan.checks.subjects import segment_words
from fuseplan.engine.at_limit import within
from fuseplan.engine.unprinted_times import least_fault_of

MARGIN = 1.001
"""A path is thinned out by this much more than asked, since a wire with less resistance carries a little more."""
LEAST_GAIN = 0.01
"""A size that does not change a figure by this share of it does not lie where the loss is."""
A_JOINT = ("a joint, contact or earth point", "more of it is lost there than in any wire")
NO_SIZE = ("the largest sizes that may be fitted", "no size that may be fitted fixes it")
"""Why no wire is fitted for a drop: what it collides with, and in words."""


def size(look: Look, finding: Finding) -> None:
    """The next size for the wire the finding names first, of a strap the size it names; or another insulation, where
    it names that."""
    draft, results = look.draft, look.results
    first = next((each for each in finding.fields if each in look.segment_at), "")
    index = look.segment_at.get(first)
    if index is None or first.endswith(".insulation"):
        insulation(look, finding)
        return
    guard = int(results.network.segment_guard[index])
    owner = results.network.fuses[guard].owner if guard >= 0 else None
    if finding.check == "wire-damaged-by-short" and owner is not None and owner not in draft.managed | draft.stuck \
            and draft.in_scope(owner_key(owner)):
        draft.managed.add(owner)
        draft.reasons[owner] = finding
        return
    named = dict(finding.sizes).get(index)
    if named is not None and results.network.segments.owner[index][0] == "earth" and draft.may_grow(results, index):
        draft.resize(results, index, named, finding.check, finding.message)
    elif not draft.step(results, index, finding.check, finding.message):
        draft.give_up_on(finding, _why_fixed(look, index), f"that wire {_why_fixed(look, index)}")


def _why_fixed(look: Look, index: int) -> str:
    if look.results.network.segments.segment[index].origin == "existing":
        return "is kept"
    if not look.draft.in_scope(segment_key(look.results, index)):
        return OUT_OF_SCOPE
    return "has no next size with a current on file"


def insulation(look: Look, finding: Finding) -> None:
    """The lowest class that stands the place."""
    segments = look.results.network.segments
    named = [look.segment_at[each] for each in finding.fields if each in look.segment_at]
    if finding.figure is None or all(segments.segment[index].origin == "existing" for index in named):
        look.draft.give_up_on(finding, "an existing wire", "no other insulation can go there")
    elif not reinsulate(look, finding):
        look.draft.give_up_on(finding, "the end of the insulations on file",
                              "no insulation on file is rated for that place")


def reinsulate(look: Look, finding: Finding) -> bool:
    """Whether the wires a finding names get another insulation: those whose insulation it names, else the first."""
    draft, segments = look.draft, look.results.network.segments
    named = [each for each in finding.fields if each in look.segment_at]
    changed = False
    for place in [each for each in named if each.endswith(".insulation")] or named[:1]:
        index = look.segment_at[place]
        path = (*segment_key(look.results, index), "insulation")
        better = better_insulation(look.results, index)
        if better is None or better == segments.insulation[index] or not draft.in_scope(path) \
                or segments.segment[index].origin == "existing":
            continue
        draft.put(path, segments.segment[index].insulation, better, finding.check, finding.message)
        changed = True
    return changed


def far_short(look: Look, finding: Finding) -> None:
    """The strap that the check names; else the smallest rating, then less resistance in the wires the device guards."""
    results, draft = look.results, look.draft
    strap = [each for each in finding.sizes if results.network.segments.owner[each[0]][0] == "earth"]
    if strap and all(draft.may_grow(results, each) for each, _ in strap):
        for each, words in strap:
            draft.resize(results, each, words, finding.check, finding.message)
        return
    index = look.manage(finding)
    if index is None:
        return
    row = results.network.fuses[index]
    if row.owner not in draft.settled and row.owner not in draft.stuck and draft.in_scope(owner_key(row.owner)):
        return
    current = float(results.faults.fuse_far_a[index])
    enough_a = least_fault_of(row.fuse, float(results.fusing.rating_a[index]))
    if np.isnan(enough_a):
        draft.give_up_on(finding, "what is printed of this type", "no published current blows it in time")
        return
    emf = float(results.source.open_circuit_v[0])
    fault = results.faults.segment_fault_a
    on_way = np.flatnonzero((results.network.segment_guard == index) & within(fault, current))
    hot, per_m = results.solution.segment_ohm.max(axis=0), results.network.segments.r20_ohm_per_m
    ladders = {each: steps_up(results, each) if draft.may_grow(results, each) else () for each in on_way.tolist()}
    parts = {each: [float(hot[each]), *(float(hot[each]) * min(size.ohm_per_m / per_m[each], 1.0) for size in sizes)]
             for each, sizes in ladders.items()}
    sizes = cheapest(results, [Path(parts, hot[on_way].sum() - (emf / current - emf / enough_a) * MARGIN)], ladders)
    if sizes is None:
        draft.give_up_on(finding, "the resistance that cannot be changed",
                         "the wires that may be replaced hold too little of the loop's resistance")
        return
    for each, words in sizes.items():
        draft.resize(results, each, words, finding.check, finding.message)


def drop(look: Look, finding: Finding) -> None:
    """The sizes the check names, the cause of the drop first; where it names none, or one of them may not be fitted, no
    other wire is made thicker instead."""
    draft, results = look.draft, look.results
    wanted = {look.segment_at[path]: size for path, size in finding.values if path in look.segment_at}
    if not wanted or len(wanted) < len(finding.values):
        draft.give_up_on(finding, *(A_JOINT if finding.fields[:1] and finding.fields[0].endswith("resistance") else
                                    NO_SIZE))
        return
    for index in wanted:
        if not draft.may_grow(results, index):
            draft.give_up_on(finding, "a wire that stays", f"{segment_words(results, index)} {_why_fixed(look, index)}")
            return
    for index, words in wanted.items():
        draft.resize(results, index, words, finding.check, finding.message)


def lead(look: Look, finding: Finding) -> None:
    """The next size for the wires the finding names, as long as that helps; else they stay as they were."""
    draft, figure = look.draft, float(finding.figure or 0.0)
    key = finding.identity
    places = [look.segment_at[each] for each in finding.fields if each.endswith(".size") and each in look.segment_at]
    last, held = draft.climbed.get(key, (None, {}))
    helps = last is None or abs(figure - last) >= LEAST_GAIN * abs(figure)
    paths = {index: (*segment_key(look.results, index), "size") for index in places}
    before = {path: draft.changes.get(path) for path in paths.values()}
    if not helps or not [index for index in places
                         if draft.step(look.results, index, finding.check, finding.message)]:
        for path, change in held.items():
            if change is None:
                draft.changes.pop(path, None)
            else:
                draft.changes[path] = change
        draft.give_up_on(finding, "what is not this wire, or may not be replaced",
                         "a thicker wire there does not fix it")
        return
    draft.climbed[key] = (figure, {**before, **held})
