"""What a proposal says beside its changes, section by section, for the command line and the screen alike: what other
changes fix, what measuring saves, what cannot all be met, what is left, what is not known."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from fuseplan.checks.other_voltage import CHECK as OTHER_VOLTAGE
from fuseplan.grouping import grouped
from fuseplan.papers.findings import LEVEL_WORDS, finding_level
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few
from fuseplan.records import dataclass
from fuseplan.tables.fuses import kind_words

if TYPE_CHECKING:
    from fuseplan.advice.proposal import Collision, Proposal
    from fuseplan.advice.savings import Fitted, Saving
    from fuseplan.checks.rule import Finding
    from fuseplan.plan.model import Plan

LEFT = "Left to you: no size or rating fixes it"
COLLIDE = "Cannot all be met"
BY_OTHERS = "Fixed by the changes above; nothing else to change"
NOT_JUDGED = "Not all known: with what is missing, the proposal may change"
SAVES = "Measure first: it would save"
NAMED = 4
"""So many parts are named for one check that follows."""

Subject = Callable[["Finding | Collision"], str]
"""Says what one is about."""


@dataclass(frozen=True)
class Entry:
    """One entry of a section: head and words make a sentence, notes stand below it."""

    head: str
    words: str
    about: tuple[Finding | Collision, ...] = ()
    """What it says that of; the second and those behind it are the same fault with the same fix."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Section:
    """Entries under a heading."""

    title: str
    count: int
    entries: tuple[Entry, ...]

    @property
    def heading(self) -> str:
        """Its title, and how many things it is about."""
        return f"{self.title} ({self.count})"


def sections(proposal: Proposal, subject: Subject) -> Iterator[Section]:
    """All of them that say anything, in the order in which one reads them."""
    led = _led_by_voltage(proposal)
    plan = proposal.before.plan
    for title, count, entries in (
            (BY_OTHERS, len(proposal.fixed_by_others), tuple(
                Entry(f"{subject(each)}: ", f"{each.check}. If any of those changes is left out: {each.fix}.", (each,))
                for each in proposal.fixed_by_others)),
            (SAVES, len(proposal.savings), tuple(_saving(each, plan) for each in proposal.savings)),
            (COLLIDE, len(proposal.collisions) - len(led), tuple(_collisions(proposal, led, subject))),
            (LEFT, len(proposal.left) + len(led), tuple(
                _left(each, followers, len(led), subject) for each, followers in proposal.left_by_cause)),
            (NOT_JUDGED, len(proposal.not_judged), tuple(
                Entry(f"{', '.join(title_of(plan, 'circuit', name) for name in names)}: ", reason)
                for reason, names in grouped((reason, name) for name, words in proposal.not_judged
                                             for reason in words).items()))):
        if count:
            yield Section(title, count, entries)


def _led_by_voltage(proposal: Proposal) -> set[int]:
    """Identities of the collisions that follow from parts of another system's voltage, where that is listed too."""
    found = proposal.after.findings
    listed = {id(each) for each in proposal.left}
    keys = {each.identity for each in found if each.cause is not None
            and found[each.cause].check == OTHER_VOLTAGE and id(found[each.cause]) in listed}
    return {id(each) for each in proposal.collisions if each.identity in keys}


def _saving(saving: Saving, plan: Plan) -> Entry:
    """What one circuit could do with once it is measured: ``Rear window: if it draws no more than 15 A, 25 A and 4 mm²
    do instead of 50 A and 10 mm²``."""
    draws = "all its loads together draw" if saving.several else "it draws"
    same = saving.measured.sizes == saving.proposed.sizes
    same_type = saving.measured.kind == saving.proposed.kind

    def words(fitted: Fitted) -> str:
        sizes = [] if same else [writing.wire_size(size) for size in fitted.sizes]
        fuse = f"{writing.an(writing.rating(fitted.rating_a))} {'fuse' if same_type else kind_words(fitted.kind)}"
        return " and ".join([fuse, *([", ".join(sizes)] if sizes else [])])

    return Entry(f"{title_of(plan, 'circuit', saving.circuit)}: ",
                 f"if {draws} no more than {writing.limit(saving.up_to_a, 'A')}, {words(saving.measured)} will do, "
                 f"instead of {words(saving.proposed)}")


def _collisions(proposal: Proposal, led: set[int], subject: Subject) -> Iterator[Entry]:
    """Those of one check that one fix removes together, in the order of the first of each; with those that follow from
    any of them."""
    groups = grouped(((each.check, each.fix), (each, followers))
                     for each, followers in proposal.collisions_by_cause if id(each) not in led)
    for members in groups.values():
        about = tuple(leader for leader, _ in members)
        yield Entry(f"{subject(about[0])}: ", f"{about[0].check} against {about[0].against}. {about[0].words}", about, (
            f"Fix: {about[0].fix}.", *_follow(about[0], [each for _, found in members for each in found], subject)))


def _left(each: Finding, followers: Sequence[Finding], led: int, subject: Subject) -> Entry:
    more = len(followers) + led
    follow = [f"{writing.counted(more, 'more finding follows', 'more findings follow')} from it: fuseplan check lists "
              "them with --full."] if each.check == OTHER_VOLTAGE and more else _follow(each, followers, subject)
    return Entry(f"{LEVEL_WORDS[finding_level(each)]} {each.check}", f" · {subject(each)}: {each.message}", (each,),
                 (f"Fix: {each.fix}.", *follow))


def _follow(leader: Finding | Collision, followers: Sequence[Finding | Collision], subject: Subject) -> list[str]:
    """What follows from a finding that is left or cannot be met, in one sentence, where anything does."""
    own, parts = subject(leader), []
    for check, subjects in grouped((each.check, subject(each)) for each in followers).items():
        names = [name for name in dict.fromkeys(subjects) if name != own]
        times = f"{len(subjects)} times " if not names and len(subjects) > 1 else ""
        of = f" of {first_few(names, NAMED)}" if names else ""
        parts.append(f"{times}{check}{of}")
    return [f"{'Follows' if len(followers) == 1 else 'Follow'} from it: {'; '.join(parts)}."] if followers else []
