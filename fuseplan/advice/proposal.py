"""What a proposal is: the changes, the limits that collide, what no size or rating cures, and the plan that results."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

from fuseplan.advice.savings import Saving
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.causes import together
from fuseplan.checks.rule import Finding, OfCheck, SubjectKind
from fuseplan.plan.model import Alternator, Circuit, Feed, Plan
from fuseplan.plan.parts import SecondBattery
from fuseplan.plan.putting import Plain
from fuseplan.plan.references import Path
from fuseplan.records import dataclass


@dataclass(frozen=True)
class Change:
    """One value of the plan to be changed."""

    path: Path
    old: str | None
    """As it stands, None where the plan says nothing."""
    new: Plain
    check: str
    """The check that forces it."""
    why: str
    """That check's figures in a sentence."""
    aside: str = ""
    """What its reason in a few words adds, as that the heat of its place asks for it; empty where nothing."""
    brief: str = ""
    """Why, in a few words, where it is not what the check is called for; empty otherwise."""
    in_stock: bool = True
    """False where the plan lists what is at hand and this is not among it."""

    @property
    def subject(self) -> str:
        """The circuit, feed or earth it belongs to; ``alternator``."""
        return str(self.path[1]) if self.path[0] != "alternator" else "alternator"

    @property
    def new_words(self) -> str:
        """The new value in one line."""
        return self.new if isinstance(self.new, str) else ", ".join(f"{key} {value}" for key, value in self.new.items())


@dataclass(frozen=True)
class Collision(OfCheck):
    """Limits that cannot be met together."""

    subject_kind: SubjectKind
    subject: str
    check: str
    """The check that stays unmet."""
    against: str
    """What it collides with: another check, a kept wire, the end of what is sold or on file."""
    words: str
    fix: str
    message: str = ""
    """What the check found when it was given up, that its words begin with; empty where they say something else."""
    part: str = ""


RATINGS = {"fuse-too-small", "fuse-exceeds-wire", "fuse-exceeds-equipment", "no-fuse-fits"}
"""The checks by which a rating that was not found shows, whichever of them it was given up under."""


@dataclass(frozen=True)
class Proposal:
    """Changes to a plan that were judged by assessing the changed plan."""

    before: Assessment
    after: Assessment
    changes: tuple[Change, ...]
    """In an order in which they can be applied."""
    collisions: tuple[Collision, ...]
    left: tuple[Finding, ...]
    """Findings above advice that a size, a rating or a relay does not cure."""
    circuit: str | None = None
    """The only circuit that was to change, None for the whole plan."""
    savings: tuple[Saving, ...] = ()
    """What measuring would save in the circuits that change."""

    @property
    def plan(self) -> Plan:
        """The plan with the changes made."""
        return self.after.plan

    @property
    def accepted(self) -> bool:
        """Nothing collides and nothing above advice is left."""
        return not self.collisions and not self.left

    @cached_property
    def left_by_cause(self) -> tuple[tuple[Finding, tuple[Finding, ...]], ...]:
        """What is left, each with those left that follow from it."""
        found: list[tuple[Finding, list[Finding]]] = []
        for finding, follows in together(self.left, self.after.findings):
            if follows:
                found[-1][1].append(finding)
            else:
                found.append((finding, []))
        return tuple((leader, tuple(members)) for leader, members in found)

    @cached_property
    def collisions_by_cause(self) -> tuple[tuple[Collision, tuple[Collision, ...]], ...]:
        """The collisions, each with those that follow from it: the fix that removes it removes them."""
        found = self.after.findings
        leaders: dict[tuple[str, str, str], set[tuple[str, str, str]]] = {}
        for finding in found:
            leaders.setdefault(finding.identity, set()).add(
                (finding if finding.cause is None else found[finding.cause]).identity)
        listed = {each.identity: each for each in self.collisions}
        under: dict[tuple[str, str, str], list[Collision]] = {}
        for each in self.collisions:
            key, led = each.identity, leaders.get(each.identity, set())
            if not led and each.check in RATINGS:
                # What shows of it now is another check of the same rating: of that only what leads it is one cause.
                of_rating = {(check, *each.owner) for check in RATINGS}
                led = {leader for other in of_rating for leader in leaders.get(other, ())} - of_rating
            leader = next(iter(led)) if len(led) == 1 and led <= listed.keys() else key
            under.setdefault(leader, []).extend([each] if leader != key else [])
        return tuple((listed[leader], tuple(members)) for leader, members in under.items())

    @cached_property
    def fixed_by_others(self) -> tuple[Finding, ...]:
        """What fails as entered and passes with the changes, though none of them is where its own fix is: as of a wire
        that is rated for more once another of its run is thicker. Its fix stands where one of the changes is not
        made."""
        changed = [".".join(map(str, change.path)) for change in self.changes]
        remains = {finding.identity for finding in self.after.findings}
        return tuple(finding for finding in self.before.findings
                     if finding.level != "advice" and not finding.measure and finding.cause is None
                     and finding.identity not in remains and (self.circuit is None or finding.owner ==
                                                              ("circuit", self.circuit))
                     and not any(f"{path}.".startswith(f"{field}.") or f"{field}.".startswith(f"{path}.")
                                 for field in finding.fields for path in changed))

    @cached_property
    def not_judged(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The circuits for which something is not known with the changes made, and what, in words: that nothing is
        proposed for them is no sign that nothing needs to change."""
        return tuple((view.id, view.reasons) for view in self.after.circuits
                     if self.circuit in (None, view.id) and view.reasons)

    @cached_property
    def to_measure(self) -> int:
        """How many findings ask for a reading first, with the changes made: what they are about passes with the
        currents entered alone."""
        return sum(each.measure and (self.circuit is None or each.owner
                                     == ("circuit", self.circuit)) for each in self.after.findings)

    @property
    def not_on_file(self) -> list[str]:
        """What the plan lists as at hand but nothing on file says what it carries: it is never proposed."""
        return self.after.results.network.stock.not_on_file()

    @property
    def edits(self) -> list[tuple[Path, object]]:
        """The changes as an open document takes them."""
        return edits_of(self.changes, self.before.plan)

    def to_dict(self) -> dict[str, object]:
        """The proposal as plain dictionaries and lists."""
        return {
            "plan": self.before.plan.vehicle.name, "limits": self.before.limit_set.name, "accepted": self.accepted,
            "changes": [{"path": list(each.path), "old": each.old,
                         "new": dict(each.new) if isinstance(each.new, Mapping) else each.new,
                         "check": each.check, "why": each.why, "in_stock": each.in_stock} for each in self.changes],
            "collisions": [{"subject_kind": each.subject_kind, "subject": each.subject, "check": each.check,
                            "against": each.against, "words": each.words, "fix": each.fix}
                           for each in self.collisions],
            "left": [{"check": each.check, "level": each.level, "subject_kind": each.subject_kind,
                      "subject": each.subject, "message": each.message, "fix": each.fix} for each in self.left],
            "fixed_by_others": [{"check": each.check, "subject_kind": each.subject_kind, "subject": each.subject,
                                 "message": each.message, "fix": each.fix} for each in self.fixed_by_others],
            "stock_not_on_file": self.not_on_file,
            "measuring_saves": [{"circuit": each.circuit, "up_to_a": each.up_to_a,
                                 "proposed": each.proposed._asdict(), "measured": each.measured._asdict()}
                                for each in self.savings],
            "not_judged": [{"circuit": name, "unknown": list(words)} for name, words in self.not_judged],
        }


def edits_of(changes: Sequence[Change], plan: Plan) -> list[tuple[Path, object]]:
    """Changes as an open document takes them; why a part has no fuse goes once it gets one."""
    return [edit for change in changes for edit in (
        (change.path, dict(change.new) if isinstance(change.new, Mapping) else change.new),
        *((path, None) for path in (reason_for_no_fuse(change.path, plan),) if path is not None))]


def reason_for_no_fuse(path: Path, plan: Plan) -> Path | None:
    """Where a plan says why the part has no fuse that a path puts one in; None where it does not."""
    part = fused_part(plan, path[:-1]) if path[-1] == "fuse" else None
    return None if getattr(part, "unfused", None) is None else (*path[:-1], "unfused")


def fused_part(plan: Plan, path: Path) -> Alternator | Circuit | Feed | SecondBattery | None:
    """The circuit, feed, alternator or second battery at a path of the plan; None where it has none there."""
    part = plan.alternator if path[0] == "alternator" else \
        (plan.circuit if path[0] == "circuit" else plan.feed).get(str(path[1]))
    return part.second_battery if isinstance(part, Circuit) and path[2:] == ("second_battery",) else part
