"""What cures a finding: a thicker wire, another rating, another contact, a relay. One function a kind of check."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.checks.subjects import fuse_path, segment_path
from fuseplan.choose import contact_choice
from fuseplan.choose.draft import Draft
from fuseplan.choose.edit import owner_key, segment_key
from fuseplan.choose.ratings import LARGER
from fuseplan.choose.sizes import cheapest, path_volts
from fuseplan.engine.clearing import greatest_time_s
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.fault import OPEN_WITHIN_S
from fuseplan.engine.fusing import ladder
from fuseplan.engine.results import Results
from fuseplan.engine.selectivity import NOT_ASSURED, Pair, compare_many
from fuseplan.plan.references import Path
from fuseplan.tables.insulations import INSULATIONS

MARGIN = 1.001
"""A path is thinned out by this much more than asked, since a wire with less resistance carries a little more."""
ABOVE_AMBIENT_K = 20.0
"""Insulation proposed for a hot place stands this much more than the place has, as the check on it advises."""


@dataclass
class Look:
    """One assessment of the draft, with what its findings point at."""

    draft: Draft
    assessment: Assessment

    @property
    def results(self) -> Results:
        return self.assessment.results

    @cached_property
    def segment_at(self) -> dict[str, int]:
        """Number of the segment a field such as ``circuit.fan.wire.0.size`` belongs to."""
        return {segment_path(self.results, index, key): index for index in range(self.results.network.segments.count)
                for key in ("size", "insulation")}

    @cached_property
    def fuse_at(self) -> dict[str, int]:
        """Number of the device a field such as ``circuit.fan.fuse.rating`` belongs to."""
        return {fuse_path(row, key): index for index, row in enumerate(self.results.network.fuses)
                for key in ("rating", "kind")}

    def manage(self, finding: Finding) -> int | None:
        """The device a finding is about, if its rating has been chosen here already; else it will be from now on."""
        index = next((self.fuse_at[each] for each in finding.fields if each in self.fuse_at), None)
        if index is None:
            self.draft.give_up_on(finding, "no device of its own", "no rating cures it")
            return None
        owner = self.results.network.fuses[index].owner
        if owner in self.draft.managed or owner in self.draft.stuck or not self.draft.in_scope(owner_key(owner)):
            return index
        self.draft.managed.add(owner)
        self.draft.reasons[owner] = finding
        return None


def _subject_key(finding: Finding) -> Path:
    """Where the subject stands in the plan; the alternator is alone of its kind."""
    return (finding.subject_kind, finding.subject) if finding.subject_kind != "alternator" else ("alternator",)


def rating(look: Look, finding: Finding) -> None:
    """The device's rating is chosen anew."""
    index = look.manage(finding)
    if index is None:
        return
    owner = look.results.network.fuses[index].owner
    if owner in look.draft.stuck or owner in look.draft.settled or not look.draft.in_scope(owner_key(owner)):
        look.draft.give_up_on(finding, "the limits of its wire and its load", "no rating meets both")


def size(look: Look, finding: Finding) -> None:
    """The next size for the wire the finding names first, or another insulation or contact, where it names that."""
    draft, results = look.draft, look.results
    first = finding.fields[0] if finding.fields else ""
    index = look.segment_at.get(first)
    if index is None:
        (contact if first.endswith("relay.contact") else _nothing)(look, finding)
        return
    if first.endswith(".insulation"):
        insulation(look, finding)
        return
    guard = int(results.network.segment_guard[index])
    owner = results.network.fuses[guard].owner if guard >= 0 else None
    if finding.check == "wire-survives-short" and owner is not None and owner not in draft.managed | draft.stuck \
            and draft.in_scope(owner_key(owner)):
        draft.managed.add(owner)
        draft.reasons[owner] = finding
        return
    if not draft.step(results, index, finding.check, finding.message):
        draft.give_up_on(finding, _why_fixed(look, index), f"that wire {_why_fixed(look, index)}")


def _why_fixed(look: Look, index: int) -> str:
    if look.results.network.segments.segment[index].origin == "kept":
        return "is kept"
    if not look.draft.in_scope(segment_key(look.results, index)):
        return "lies outside what may be changed here"
    return "has no next size with a current on file"


def _nothing(look: Look, finding: Finding) -> None:
    look.draft.give_up_on(finding, "the limit of a part", "no size of wire and no rating cures it")


def insulation(look: Look, finding: Finding) -> None:
    """The lowest class that stands the place."""
    draft, segments = look.draft, look.results.network.segments
    index = next((look.segment_at[each] for each in finding.fields if each in look.segment_at), None)
    if index is None or segments.segment[index].origin == "kept" or finding.figure is None:
        draft.give_up_on(finding, "a kept wire", "no other insulation can go there")
        return
    path = (*segment_key(look.results, index), "insulation")
    asked_c = finding.figure + ABOVE_AMBIENT_K
    fits = sorted((entry.max_c, name) for name, entry in INSULATIONS.items() if entry.max_c > asked_c)
    if not fits or not draft.in_scope(path) or fits[0][1] == segments.insulation[index]:
        draft.give_up_on(finding, "the end of the insulations on file", "nothing on file stands that place")
        return
    draft.put(path, segments.segment[index].insulation, fits[0][1], finding.check, finding.message)


def surge(look: Look, finding: Finding) -> None:
    """The next rating up, or the next larger type."""
    index = look.manage(finding)
    if index is None:
        return
    row = look.results.network.fuses[index]
    now = float(look.results.fusing.rating_a[index])
    above = [step for step in ladder(row.fuse.kind) if step > now]
    if row.owner in look.draft.stuck or not look.draft.in_scope(owner_key(row.owner)):
        look.draft.give_up_on(finding, "fuse-guards-wire", "no larger rating can be fitted")
    elif above:
        _raise_floor(look, row.owner, above[0], finding)
    elif row.fuse.kind in LARGER and row.fuse.position is None and row.fuse.holder is None:
        look.draft.put((*owner_key(row.owner), "fuse", "kind"), row.fuse.kind, LARGER[row.fuse.kind], finding.check,
                       f"{finding.message}; the larger type needs a holder of its own")
    else:
        look.draft.give_up_on(finding, "the end of the ratings sold", "no larger rating is sold")
        look.draft.floors.pop(row.owner, None)


def _raise_floor(look: Look, owner: tuple[str, str], least_a: float, finding: Finding) -> None:
    held = look.draft.floors.get(owner)
    if held is None or held[0] < least_a:
        look.draft.floors[owner] = (least_a, finding)
        look.draft.settled.discard(owner)


def far_short(look: Look, finding: Finding) -> None:
    """The smallest rating first; then less resistance in the wires the device guards."""
    index = look.manage(finding)
    if index is None:
        return
    results, draft = look.results, look.draft
    row = results.network.fuses[index]
    if row.owner not in draft.settled and row.owner not in draft.stuck and draft.in_scope(owner_key(row.owner)):
        return
    amperes, current = float(results.fusing.rating_a[index]), float(results.faults.fuse_far_a[index])
    asked = np.linspace(1.0, 20.0, 1901) * amperes
    enough = asked[greatest_time_s(row.fuse.kind, amperes, asked) <= OPEN_WITHIN_S]
    if not enough.size:
        draft.give_up_on(finding, "what is printed of this type", "no printed current opens it in time")
        return
    emf = float(results.source.open_circuit_v[0])
    fault = results.faults.segment_fault_a
    on_way = np.flatnonzero((results.network.segment_guard == index) & (fault <= current * 1.0001))
    hot = results.solution.segment_ohm.max(axis=0)
    sizes = cheapest(results, {each: float(hot[each]) for each in on_way.tolist()},
                     (emf / current - emf / float(enough[0])) * MARGIN, lambda each: draft.may_grow(results, each))
    if sizes is None:
        draft.give_up_on(finding, "the resistance that cannot be changed",
                         "the wires that may be replaced hold too little of the loop's resistance")
        return
    for each, words in sizes.items():
        draft.resize(results, each, words, finding.check, finding.message)


def drop(look: Look, finding: Finding) -> None:
    """Thicker wires on the way to the load, for the least copper."""
    results, draft = look.results, look.draft
    if finding.figure is None or finding.limit is None:
        return
    number = look.assessment.circuit(finding.subject).index
    consumers, drops = results.network.consumers, results.drops
    members = np.flatnonzero((consumers.circuit == number) & (consumers.kind == LOAD))
    supply = returns = True
    needed = finding.limit - finding.figure
    figures = -drops.total_v[0, members]
    if finding.check == "wire-drop":
        needed = -needed
        returns = results.guidance.drop_covers_return or finding.fields[-1].endswith(".earth")
        supply = results.guidance.drop_covers_return or not returns
        side = drops.total_v if supply and returns else drops.supply_v if supply else drops.return_v
        figures = np.abs(side[0, members] - finding.figure)
    consumer = int(members[int(np.nanargmin(figures))])
    sizes = cheapest(results, path_volts(results, consumer, supply, returns), needed * MARGIN,
                     lambda each: draft.may_grow(results, each))
    if sizes is None:
        lost = float(drops.total_v[0, consumer])
        if finding.check == "lamp-voltage" and lost < needed:
            draft.give_up_on(finding, "the voltage of the battery", f"the wires lose only {lost:.2f} V; the rest is "
                             "missing at the battery post: more output at that speed, or less load")
        else:
            draft.give_up_on(finding, "what is not wire, or may not be replaced",
                             "the wires that may be replaced lose too little of it")
        return
    for each, words in sizes.items():
        draft.resize(results, each, words, finding.check, finding.message)


def order(look: Look, finding: Finding) -> None:
    """Smaller devices below where that helps; else a larger one above, wires in step."""
    results, draft = look.results, look.draft
    upper = look.assessment.fuse_of[(finding.subject_kind, finding.subject if _subject_key(finding)[1:] else "")]
    pairs = [pair for pair in results.pairs if pair.upper == upper and pair.answer == "not assured"]
    row, fusing = results.network.fuses[upper], results.fusing
    waiting = False
    for pair in pairs:
        below = results.network.fuses[pair.lower]
        if below.owner in draft.managed | draft.stuck or not draft.in_scope(owner_key(below.owner)):
            continue
        smaller = [step for step in ladder(below.fuse.kind)
                   if fusing.low_a[1, pair.lower] <= step < fusing.rating_a[pair.lower]]
        if smaller and _in_order(results, pair, (below.fuse.kind, smaller[0]), _device(results, upper)):
            draft.managed.add(below.owner)
            draft.reasons[below.owner] = finding
            waiting = True
    if waiting:
        return
    larger = [step for step in ladder(row.fuse.kind) if step > fusing.rating_a[upper]
              and all(_in_order(results, pair, _device(results, pair.lower), (row.fuse.kind, step)) for pair in pairs)]
    if not larger or row.owner in draft.stuck or not draft.in_scope(owner_key(row.owner)):
        draft.give_up_on(finding, "the published opening bands", "no larger rating here is in order with those below")
        return
    draft.managed.add(row.owner)
    _raise_floor(look, row.owner, larger[0], finding)


def _device(results: Results, index: int) -> tuple[str, float]:
    return results.network.fuses[index].fuse.kind, float(results.fusing.rating_a[index])


def _in_order(results: Results, pair: Pair, lower: tuple[str, float], upper: tuple[str, float]) -> bool:
    faults = results.faults
    answers, _ = compare_many(lower, upper, faults.fuse_far_a[[pair.lower]], faults.prospective_a[[pair.lower]])[:2]
    return int(answers[0]) != NOT_ASSURED


def contact(look: Look, finding: Finding) -> None:
    """Another relay contact, or a relay where there was a switch alone."""
    results, draft = look.results, look.draft
    key = _subject_key(finding)
    part = results.plan.circuit.get(finding.subject) if key[0] == "circuit" else results.plan.feed.get(finding.subject)
    if part is None or not draft.in_scope(key):
        draft.give_up_on(finding, "lies outside what may be changed here", "its contact may not be changed here")
        return
    if key[0] == "circuit":
        found = contact_choice.for_circuit(results, look.assessment.circuit(finding.subject).index, part.relay)
    else:
        found = contact_choice.for_feed(results, finding.subject)
    if found is None or (part.relay is not None and part.relay.contact == found):
        draft.give_up_on(finding, "the contacts on file", "no single contact on file bears it there")
    elif part.relay is not None:
        draft.put((*key, "relay", "contact"), part.relay.contact, found, finding.check, finding.message)
    elif results.plan.circuit[finding.subject].feed is None:
        draft.give_up_on(finding, "a missing feed", "a relay's coil needs a feed, and the circuit names none")
    else:
        # A resistor quenches the coil whichever way round it is wired; a diode would not.
        relay = {"contact": found, "coil_feed": str(results.plan.circuit[finding.subject].feed), "driver": "switch",
                 "suppression": "resistor"}
        draft.put((*key, "relay"), None, relay, finding.check, finding.message)


def fuse(look: Look, finding: Finding) -> None:
    """A fuse where there is none; its rating is chosen in the next round."""
    key, draft = _subject_key(finding), look.draft
    if not draft.in_scope(key):
        draft.give_up_on(finding, "lies outside what may be changed here", "no fuse can be added here")
        return
    kinds = [circuit.fuse.kind for circuit in draft.plan.circuit.values() if circuit.fuse is not None]
    usual = max(sorted(set(kinds)), key=kinds.count) if kinds else "regular"
    draft.put((*key, "fuse"), None, {"kind": "maxi" if key[0] == "feed" else usual}, finding.check, finding.message)
    draft.managed.add((str(key[0]), str(key[1])))


CURES: dict[str, Callable[[Look, Finding], None]] = {
    "fuse-carries-load": rating, "fuse-guards-wire": rating, "fuse-rating-exists": rating, "window-empty": rating,
    "fuse-rides-inrush": surge, "fuse-clears-far-short": far_short, "fuses-in-order": order, "fuse-missing": fuse,
    "wire-carries-load": size, "feed-overloaded": size, "earth-overloaded": size, "wire-survives-short": size,
    "insulation-suits-zone": insulation, "wire-drop": drop, "lamp-voltage": drop, "switch-needs-relay": contact,
    "relay-contact": contact, "relay-inrush": contact, "output-overloaded": contact,
}
"""The checks a size, a rating or a relay can cure."""
