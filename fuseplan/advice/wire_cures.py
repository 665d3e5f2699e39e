"""Findings cured by a wire: the next size, the cheapest sizes on a way, another insulation."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np

from fuseplan.advice.draft import OUT_OF_SCOPE
from fuseplan.advice.edit import owner_key, segment_key
from fuseplan.advice.look import Look
from fuseplan.advice.sizes import cheapest, path_volts, steps_up
from fuseplan.checks.drop_fixes import (
    LARGEST_TIMES,
    MOST_STEPS,
    MOST_TIMES,
    SHARED_TIMES,
    counted_mm2,
    few_above,
    most_times,
)
from fuseplan.checks.fixes import better_insulation
from fuseplan.checks.rule import Finding
from fuseplan.checks.rules.low_lamp_voltage import held_volts
from fuseplan.checks.subjects import segment_words
from fuseplan.engine.at_limit import at_most, within
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.drops import counted_node
from fuseplan.engine.stock import Size
from fuseplan.engine.unprinted_times import least_fault_of
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few

MARGIN = 1.001
"""A path is thinned out by this much more than asked, since a wire with less resistance carries a little more."""
LEAST_SHARE = 0.02
"""A part of a drop below this share of it is not named."""
NAMED = 2
"""So many wires are named in one part of a drop."""
LEAST_GAIN = 0.01
"""A size that does not change a figure by this share of it does not lie where the loss is."""


def size(look: Look, finding: Finding) -> None:
    """The next size for the wire the finding names first, or another insulation, where it names that."""
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
    if not draft.step(results, index, finding.check, finding.message):
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
    """The smallest rating first; then less resistance in the wires the device guards."""
    index = look.manage(finding)
    if index is None:
        return
    results, draft = look.results, look.draft
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
    hot = results.solution.segment_ohm.max(axis=0)
    sizes = cheapest(results, {each: float(hot[each]) for each in on_way.tolist()},
                     (emf / current - emf / enough_a) * MARGIN, lambda each: draft.may_grow(results, each))
    if sizes is None:
        draft.give_up_on(finding, "the resistance that cannot be changed",
                         "the wires that may be replaced hold too little of the loop's resistance")
        return
    for each, words in sizes.items():
        draft.resize(results, each, words, finding.check, finding.message)


def _as_the_check_says(look: Look, finding: Finding, above: Callable[[int], tuple[Size, ...]]) -> bool:
    """Fit the sizes the check itself names, the cause of the drop first; False where one of them may not be fitted."""
    draft, results = look.draft, look.results
    wanted = {look.segment_at[path]: size for path, size in finding.values if path in look.segment_at}
    if not wanted or len(wanted) < len(finding.values):
        return False
    if not all(draft.may_grow(results, index) and size in [step.words for step in above(index)]
               for index, size in wanted.items()):
        return False
    _fit_for_drop(look, finding, wanted)
    return True


def _fit_for_drop(look: Look, finding: Finding, sizes: Mapping[int, str]) -> None:
    for index, words in sizes.items():
        path = (*segment_key(look.results, index), "size")
        look.draft.before_drop.setdefault(path, float(look.results.network.segments.area_mm2[index]))
        look.draft.resize(look.results, index, words, finding.check, finding.message)


class _Drop(NamedTuple):
    """A drop to be cured: the load, the part of its way that counts, and by how much it must fall."""

    consumer: int
    volts: dict[int, float]
    """What each segment on that part loses [V]."""
    lost_v: float
    """What is lost on it altogether."""
    needed_v: float


def _drop_of(look: Look, finding: Finding, figure: float, limit: float) -> _Drop:
    results = look.results
    number = look.assessment.circuit(finding.subject).index
    consumers, drops = results.network.consumers, results.drops
    members = np.flatnonzero((consumers.circuit == number) & (consumers.kind == LOAD))
    supply = returns = True
    worst, is_drop = drops.whole, finding.check == "voltage-drop"
    figures = -drops.total_v[0, members]
    if is_drop:
        needed = figure - limit
        returns = results.limit_set.drop_covers_return or finding.fields[-1].endswith(".earth")
        supply = results.limit_set.drop_covers_return or not returns
        worst = drops.out if supply else drops.back
        figures = np.abs(worst.volts[0, members] - figure)
    consumer = int(members[int(np.nanargmin(figures))])
    if not is_drop:
        needed = limit - float(held_volts(results)[int(finding.measure), consumer])
    lost = figure if is_drop else float(drops.total_v[0, consumer])
    origin = counted_node(results.network, results.network.circuits[number], int(worst.condition[0, consumer])) \
        if is_drop else 0
    return _Drop(consumer, path_volts(results, consumer, worst, supply, returns, origin), lost, needed * MARGIN)


def _parts(look: Look, volts: Mapping[int, float]) -> dict[tuple[tuple[str, str], bool], float]:
    """What the wires of each part of the way lose together [V], by owner and side."""
    segments = look.results.network.segments
    parts: dict[tuple[tuple[str, str], bool], float] = {}
    for index, lost in volts.items():
        key = (segments.owner[index], bool(segments.returns[index]))
        parts[key] = parts.get(key, 0.0) + lost
    return parts


def _is_cause(look: Look, finding: Finding, volts: Mapping[int, float]) -> bool:
    """Whether no part of the way loses more than the circuit's own wire."""
    parts = _parts(look, volts)
    own = max((lost for key, lost in parts.items() if key[0] == ("circuit", finding.subject)), default=0.0)
    return own >= max(parts.values(), default=0.0)


def _sizes_for_drop(look: Look, finding: Finding, volts: Mapping[int, float]) -> Callable[[int], tuple[Size, ...]]:
    """The sizes each wire on the way may be replaced by: no more than `LARGEST_TIMES` the copper its fuse asks for,
    without a fuse it had before, `SHARED_TIMES` for the wire to a feed or a strap; where another part of the way loses
    more than `MOST_TIMES`, a circuit's own then `MOST_STEPS` sizes above that at most.
    """
    segments, parts = look.results.network.segments, _parts(look, volts)
    most_lost = max(parts.values(), default=0.0)

    def above(index: int) -> tuple[Size, ...]:
        owner = segments.owner[index]
        path = (*segment_key(look.results, index), "size")
        base = counted_mm2(look.results, index, look.draft.before_drop.get(path))
        # What the check names may lie outside the way of the load looked at here.
        lost = parts.get((owner, bool(segments.returns[index])), 0.0)
        times = MOST_TIMES if lost < most_lost else SHARED_TIMES if owner[0] in ("feed", "earth") else LARGEST_TIMES
        most = base * (most_times(look.results, times) if owner[0] == "circuit" else times)
        if owner == ("circuit", finding.subject) and not _is_cause(look, finding, volts):
            most = few_above(look.results, index, base)
        return tuple(step for step in steps_up(look.results, index) if at_most(step.area_mm2, most))

    return above


def drop(look: Look, finding: Finding) -> None:
    """Thicker wires on the way to the load, for the least copper."""
    results, draft = look.results, look.draft
    if finding.figure is None or finding.limit is None:
        return
    found = _drop_of(look, finding, finding.figure, finding.limit)
    above = _sizes_for_drop(look, finding, found.volts)
    if _as_the_check_says(look, finding, above):
        return
    # A lamp that a strong alternator would give enough has its fault in a joint: no wire makes up for that.
    sizes = None if found.needed_v <= 0 else \
        cheapest(results, found.volts, found.needed_v, lambda each: draft.may_grow(results, each), above)
    if sizes is not None:
        _fit_for_drop(look, finding, sizes)
        return
    against, words = _where_lost(look, finding, found)
    draft.give_up_on(finding, against, words)


def _where_lost(look: Look, finding: Finding, found: _Drop) -> tuple[str, str]:
    """What a drop that cannot be cured collides with, and where it is lost: in existing wires, in what is no wire, in
    wires that may grow no further."""
    draft, results = look.draft, look.results
    segments = results.network.segments
    kept = {index: volts for index, volts in found.volts.items() if segments.segment[index].origin == "existing"}
    outside = {index: volts for index, volts in found.volts.items()
               if index not in kept and not draft.in_scope(segment_key(results, index))}
    free = {index: volts for index, volts in found.volts.items() if index not in kept and index not in outside}
    own = any(segments.owner[index] == ("circuit", finding.subject) for index in free)
    limited = f", the circuit's own to {MOST_STEPS} sizes above what its fuse asks for: most is lost elsewhere" \
        if own and not _is_cause(look, finding, found.volts) else ""
    rest = max(found.lost_v - math.fsum(found.volts.values()), 0.0)
    parts = [(math.fsum(kept.values()), f"in existing wires ({_named(look, kept)})", "existing wires"),
             (math.fsum(outside.values()), f"in wires that may not be changed here ({_named(look, outside)})",
              "wires outside this circuit"),
             (rest, "in joints, contacts, switches and fuses", "joints, contacts and fuses"),
             (math.fsum(free.values()), f"in wires that may grow ({_named(look, free)}){limited}",
              "the largest sizes that may be fitted")]
    said = sorted((part for part in parts if part[0] >= LEAST_SHARE * found.lost_v), key=lambda part: -part[0])
    words = ", ".join(f"{writing.burden(volts, 'V')} {where}" for volts, where, _ in said)
    return (said[0][2] if said else "what is no wire"), f"of the {writing.burden(found.lost_v, 'V')}: {words}"


def _named(look: Look, volts: Mapping[int, float]) -> str:
    """The wires that lose most."""
    return first_few(sorted(volts, key=lambda index: -volts[index]), NAMED,
                     lambda index: segment_words(look.results, index))


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
