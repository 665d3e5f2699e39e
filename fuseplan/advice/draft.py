"""A proposal as it grows: the values changed so far, what forced each, and what has been given up."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, field, fields, replace

import numpy as np

from fuseplan.advice.edit import owner_key, segment_key
from fuseplan.advice.proposal import Change, Collision, fused_part
from fuseplan.advice.sizes import steps_up, towards
from fuseplan.advice.trials import Trials
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.fixes import better_insulation, carries_nothing, insulation_before_copper
from fuseplan.checks.rule import Finding, SubjectKind
from fuseplan.checks.subjects import segment_words
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Fuse
from fuseplan.plan.putting import Plain
from fuseplan.plan.references import Path
from fuseplan.quantities import writing

Owner = tuple[str, str]


OUT_OF_SCOPE = "lies outside what may be changed here"
NO_MORE_RATINGS = "the end of the ratings sold"
OWN_HOLDER = "the larger type needs a holder of its own"
DISTANCE_MM = 100
"""How far along the wire a fuse that is added is from where it is fed, at most, so that hardly any wire lies before it.
Common practice, no source."""
DISTANCE = f"{DISTANCE_MM} mm"
WITHIN = f"fit it no more than {DISTANCE} along the wire from where it is fed"


def fuse_needs_wire(results: Results, index: int, rating_a: float) -> str:
    """Why a wire grows for a fuse."""
    return f"{writing.an(writing.rating(rating_a))} fuse needs a wire rated for it; {segment_words(results, index)} " \
           f"is rated for {writing.LARGEST_FUSE(results.largest_fuse_a[index])}"


@dataclass
class Draft:
    """Changes in the making. Sizes and floors of ratings only ever rise, so that the rounds come to an end."""

    trials: Trials
    """The assessments of the plan with changes, those of other drafts of it among them."""
    scope: frozenset[str] | None
    """The circuits whose values alone may change; None for the whole plan."""
    changes: dict[Path, Change] = field(default_factory=dict)
    for_fuse: dict[Path, Owner] = field(default_factory=dict)
    """Sizes and feeds for coils that only a fuse's rating asked for, and that go back if the rating is given up."""
    free: set[Path] = field(default_factory=set)
    """Sizes the plan leaves to be chosen."""
    managed: set[Owner] = field(default_factory=set)
    """Devices whose rating is chosen here."""
    reasons: dict[Owner, Finding] = field(default_factory=dict)
    """The finding that made a given rating subject to choice."""
    settled: set[Owner] = field(default_factory=set)
    """Managed devices that had the rating they ask for at the last look."""
    floors: dict[Owner, tuple[float, Finding]] = field(default_factory=dict)
    """Least rating, and the finding that asks for more than the load does."""
    stuck: set[Owner] = field(default_factory=set)
    climbed: dict[tuple[str, str, str], tuple[float, dict[Path, Change | None]]] = field(default_factory=dict)
    """For a finding cured size by size: its figure at the last look, and what stood in the places that were changed."""
    given_up: set[tuple[str, str, str]] = field(default_factory=set)
    collisions: list[Collision] = field(default_factory=list)
    for_worst_case: set[tuple[str, str, str]] = field(default_factory=set)
    """Findings that ask for a reading and are to be fixed as if it had shown the worst-case current."""

    @property
    def plan(self) -> Plan:
        """The plan without changes."""
        return self.trials.plan

    def copy(self) -> Draft:
        """Another draft that begins where this one stands."""
        return Draft(self.trials, **{each.name: copy(getattr(self, each.name)) for each in fields(self)
                                     if each.name != "trials"})

    def afresh(self, start: Draft | None = None) -> Draft:
        """One of the plan without changes, or with those of another draft, with the same findings given up and the same
        worst cases to be met."""
        again = Draft(self.trials, self.scope) if start is None else start.onwards()
        return replace(again, given_up=set(self.given_up), collisions=list(self.collisions),
                       for_worst_case=set(self.for_worst_case))

    def onwards(self) -> Draft:
        """One that begins with the changes of this one and has given up nothing."""
        return Draft(self.trials, self.scope, dict(self.changes), dict(self.for_fuse), set(self.free),
                     for_worst_case=set(self.for_worst_case))

    def assess(self) -> Assessment:
        """The plan as it stands with the changes made."""
        return self.trials.of({path: change.new for path, change in self.changes.items()})

    def in_scope(self, path: Path) -> bool:
        """Whether a value may be changed."""
        return self.scope is None or (path[0] == "circuit" and path[1] in self.scope)

    def concerns(self, finding: Finding) -> bool:
        """Whether a finding is about what may be changed."""
        return self.scope is None or (finding.subject_kind == "circuit" and finding.subject in self.scope)

    def put(self, path: Path, old: object, new: Plain, check: str, why: str, cause: Owner | None = None,
            aside: str = "", brief: str = "") -> None:
        """Change one value; back to what the plan says is no change, and so is one of a fuse that was added and is
        taken back. Another type of a fuse that is added is the type it is added with."""
        added = self.changes.get(path[:-1])
        if path[2 if path[0] != "alternator" else 1:-1] == ("fuse",) and self._is_taken_back(path[:-1]):
            return
        if path[-1] == "kind" and added is not None and not isinstance(added.new, str):
            self.changes[path[:-1]] = replace(added, new={**added.new, "kind": str(new)}, why=f"{added.why}; {why}")
            return
        entered = self.changes[path].old if path in self.changes else None if old is None else str(old)
        if entered is not None and new == entered:
            self.changes.pop(path, None)
            return
        self.changes[path] = Change(path, entered, new, check, f"{why}; {aside}" if aside else why, aside=aside,
                                    brief=brief)
        if cause is not None:
            self.for_fuse.setdefault(path, cause)
        else:
            self.for_fuse.pop(path, None)

    def may_grow(self, results: Results, index: int) -> bool:
        """Whether a segment may be replaced by a thicker one: not kept, in scope, and a next size is on file."""
        kept = results.network.segments.segment[index].origin == "existing"
        return not kept and self.in_scope(segment_key(results, index)) and bool(steps_up(results, index))

    def resize(self, results: Results, index: int, words: str, check: str, why: str,
               cause: Owner | None = None) -> None:
        """Give a segment another size."""
        path = (*segment_key(results, index), "size")
        self.put(path, results.network.segments.segment[index].size, words, check, why, cause)

    def step(self, results: Results, index: int, check: str, why: str, cause: Owner | None = None) -> bool:
        """Give a segment the next standard size; whether that could be done."""
        if not self.may_grow(results, index):
            return False
        self.resize(results, index, steps_up(results, index)[0].words, check, why, cause)
        return True

    def grow(self, results: Results, guard: int, rating_a: float) -> None:
        """Bring the wires a device protects nearer to what a rating of it asks for: the one with the lowest limit, and
        those whose sizes the plan leaves open by more than a step, as far as one of given size allows."""
        owner = results.network.fuses[guard].owner
        binding, guarded = int(results.fusing.binding[guard]), np.flatnonzero(results.network.segment_guard == guard)
        limits, own = results.largest_fuse_a, results.network.segments.owner
        free = {index for index in guarded.tolist() if (*segment_key(results, index), "size") in self.free}
        least = min((float(limits[index]) for index in guarded.tolist() if index not in free), default=rating_a)
        for index in sorted({binding, *(each for each in free if own[each] == owner)}):
            if index != binding and (at_most(rating_a, float(limits[index])) or not self.may_grow(results, index)):
                continue
            if self._insulate(results, index, rating_a, owner):
                continue
            size = towards(results, index, min(rating_a, least)) if index in free else steps_up(results, index)[0]
            self.resize(results, index, size.words, "fuse-exceeds-wire", fuse_needs_wire(results, index, rating_a),
                        owner)

    def _insulate(self, results: Results, index: int, rating_a: float, owner: Owner) -> bool:
        """Fit another insulation where that saves copper for the same fuse, or the wire carries nothing in its place
        whatever its size; whether that was done."""
        path = (*segment_key(results, index), "insulation")
        if carries_nothing(results, index) and (stands := better_insulation(results, index)) is not None:
            self.put(path, results.network.segments.segment[index].insulation, stands, "insulation-too-weak",
                     f"{segment_words(results, index)} carries no current in its place, whatever its size", owner)
            return True
        better = insulation_before_copper(results, index, rating_a)
        if better is None or (path in self.changes and self.changes[path].new == better[0]):
            return False
        self.put(path, results.network.segments.segment[index].insulation, better[0], "fuse-exceeds-wire",
                 f"{writing.an(writing.rating(rating_a))} fuse needs a wire rated for it; with {better[0]} "
                 f"{segment_words(results, index)} needs no more than {writing.wire_size(better[1])} there", owner)
        return True

    def _is_taken_back(self, fuse: Path) -> bool:
        """Whether a fuse neither stands in the plan nor is added to it, or with the part it is in."""
        part = fuse[:-1]
        return fuse not in self.changes and part not in self.changes and self.fuse_in_plan(part) is None

    def fuse_in_plan(self, part: Path) -> Fuse | None:
        """The fuse that the plan without changes gives a circuit, a feed or the alternator."""
        found = fused_part(self.plan, part)
        return None if found is None else found.fuse

    def withdraw(self, owner: Owner) -> None:
        """Take back what only this device's rating asked for."""
        rating = (*owner_key(owner), "fuse", "rating")
        for path in [path for path, cause in self.for_fuse.items() if cause == owner]:
            if path not in self.free:
                self._drop(path)
        self.changes.pop(rating, None)

    def _drop(self, path: Path) -> None:
        """Take back one change; with a part that was added, what was set in it, and with a feed the coils that were put
        on it."""
        self.changes.pop(path, None)
        self.for_fuse.pop(path, None)
        is_feed = path[0] == "feed" and len(path) == 2
        for other in [other for other, change in self.changes.items() if other[:len(path)] == path
                      or (is_feed and other[-1] == "coil_feed" and change.new == path[1])]:
            self._drop(other)

    def release(self, owner: Owner, floor: Finding, is_given: bool) -> None:
        """Drop a floor that cannot be met; a given rating that was chosen anew only for its sake stays as it is."""
        self.floors.pop(owner, None)
        reason = self.reasons.get(owner)
        if is_given and (reason is None or reason.check == floor.check):
            self.managed.discard(owner)
            self.reasons.pop(owner, None)
            self.changes.pop((*owner_key(owner), "fuse", "rating"), None)

    def give_up(self, kind: SubjectKind, subject: str, check: str, against: str, words: str, fix: str,
                message: str = "", part: str = "") -> None:
        """Record limits that collide, once."""
        found = Collision(kind, subject, check, against, words, fix, message, part)
        if found.identity not in self.given_up:
            self.given_up.add(found.identity)
            self.collisions.append(found)

    def give_up_on(self, finding: Finding, against: str, words: str) -> None:
        """Record that a finding cannot be cured, and why."""
        self.give_up(finding.subject_kind, finding.subject, finding.check, against, f"{finding.message}; {words}",
                     finding.fix, finding.message, finding.part)
