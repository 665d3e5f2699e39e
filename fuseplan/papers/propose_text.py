"""A proposal as text: what changes and which check forces it, which limits collide, what is left."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from fuseplan.checks.other_voltage import CHECK as OTHER_VOLTAGE
from fuseplan.grouping import grouped
from fuseplan.papers.action import action
from fuseplan.papers.findings import subject_words as finding_subject
from fuseplan.papers.harmless import shown
from fuseplan.papers.layout import table
from fuseplan.papers.paragraphs import Paint, joined_parts, paragraph, unpainted
from fuseplan.papers.proposed_changes import BRIEF, COLUMNS, joined_by_reason, joined_words, where_column
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few
from fuseplan.tables.fuses import kind_words

if TYPE_CHECKING:
    from fuseplan.advice.proposal import Collision, Proposal
    from fuseplan.advice.savings import Fitted, Saving
    from fuseplan.checks.assessment import Assessment
    from fuseplan.checks.rule import Finding
    from fuseplan.plan.model import Plan

INDENT = "  "
CAUTION = ("A proposal is arithmetic on what the plan says, not an approval. Disconnect the battery before you "
           "change a fuse or a wire, never fit a larger fuse without the wire that goes with it, measure afterwards.")
LEFT = "Left to you: no size or rating fixes it"
COLLIDE = "Cannot all be met"
BY_OTHERS = "Fixed by the changes above; nothing else to change"
NOT_JUDGED = "Not all known: with what is missing, the proposal may change"
SAVINGS_SHOWN = 6
SAVES = "Measure first: it would save"
NOT_ON_FILE = "Listed in stock, but nothing on file says what it carries; never proposed"


def changed_lines(before: str, after: str) -> list[str]:
    """The lines of a plan's file that change, as a unified difference with a line around each."""
    found = difflib.unified_diff(before.splitlines(), after.splitlines(), "as it is", "with the changes", lineterm="",
                                 n=1)
    return [shown(line) for line in found]


def _led_by_voltage(proposal: Proposal) -> set[int]:
    """Identities of the collisions that follow from parts of another system's voltage, where that is listed too."""
    found = proposal.after.findings
    listed = {id(each) for each in proposal.left}
    keys = {each.identity for each in found if each.cause is not None
            and found[each.cause].check == OTHER_VOLTAGE and id(found[each.cause]) in listed}
    return {id(each) for each in proposal.collisions if each.identity in keys}


NAMED = 4
"""So many parts are named for one check that follows."""


def followers_words(leader: Finding | Collision, followers: Sequence[Finding | Collision],
                    subject: Callable[[Finding | Collision], str]) -> str:
    """What follows from a finding that is left or cannot be met, in one sentence; `subject` names what one is about."""
    own, parts = subject(leader), []
    for check, subjects in grouped((each.check, subject(each)) for each in followers).items():
        names = [name for name in dict.fromkeys(subjects) if name != own]
        times = f"{len(subjects)} times " if not names and len(subjects) > 1 else ""
        of = f" of {first_few(names, NAMED)}" if names else ""
        parts.append(f"{times}{check}{of}")
    return f"{'Follows' if len(followers) == 1 else 'Follow'} from it: {'; '.join(parts)}."


def collision_groups(proposal: Proposal) -> list[list[tuple[Collision, tuple[Collision, ...]]]]:
    """Those of one check that one fix removes together, in the order of the first of each; each with those that follow
    from it."""
    return list(grouped(((each.check, each.fix), (each, followers))
                        for each, followers in proposal.collisions_by_cause).values())


def propose_text(proposal: Proposal, room: int = 100, paint: Paint = unpainted, *, full: bool = False) -> str:
    """The whole proposal, with its caution; `full` with the figures that force each change."""
    before = proposal.before
    name = shown(before.plan.vehicle.name or "Plan without a name")
    parts = [paragraph(f"{name} · proposal by {before.limit_set.title} [{before.limit_set.name}]", room)]
    wrong = next((each for each in before.findings if each.check == OTHER_VOLTAGE and each.cause is None), None)
    if wrong is not None:
        parts.append([paint(line, wrong.level) for line in paragraph(
            f"First: {action(wrong)}. Until then what is proposed rests on figures of another system's voltage.",
            room)])
    if proposal.changes:
        rows, joined = joined_by_reason(proposal, full)
        where = where_column(before.plan)
        lines = table(rows, (where, *(COLUMNS if full else BRIEF)), room, paint, INDENT)[0] if rows else []
        for reason, same in joined.items():
            lines += [*([""] if lines else []),
                      *paragraph(joined_words(reason, same), room, INDENT),
                      *table(same, (where, *COLUMNS[:3]), room, paint, INDENT)[0]]
        parts.append([paint(f"Changes ({len(proposal.changes)})", "heading"), *lines])
    else:
        parts.append([nothing_words(proposal)])
    if proposal.fixed_by_others:
        lines = [paint(f"{BY_OTHERS} ({len(proposal.fixed_by_others)})", "heading")]
        for finding in proposal.fixed_by_others:
            lines += paragraph(by_others_words(finding, finding_subject(finding, before)), room, INDENT, INDENT * 2)
        parts.append(lines)
    if proposal.savings:
        lines = [paint(f"{SAVES} ({len(proposal.savings)})", "heading")]
        listed = proposal.savings if full else proposal.savings[:SAVINGS_SHOWN]
        for saving in listed:
            lines += paragraph(saving_words(saving, before.plan), room, INDENT, INDENT * 2)
        if len(listed) < len(proposal.savings):
            lines.append(f"{INDENT}… and {len(proposal.savings) - len(listed)} more: --full")
        parts.append(lines)
    if proposal.not_on_file:
        parts.append(paragraph(f"{NOT_ON_FILE}: {shown(', '.join(proposal.not_on_file))}.", room))
    led_collisions = _led_by_voltage(proposal)
    if collisions := len(proposal.collisions) - len(led_collisions):
        lines = [paint(f"{COLLIDE} ({collisions})", "heading")]
        for group in collision_groups(proposal):
            told = [(leader, members) for leader, members in group if id(leader) not in led_collisions]
            if not told:
                continue
            each, *others = (leader for leader, _ in told)
            lines += paragraph(f"{finding_subject(each, before)}: {each.check} against {each.against}. "
                               f"{shown(each.words)}", room, INDENT, INDENT * 2)
            if others:
                alike = "; ".join(finding_subject(other, before) for other in others)
                lines += paragraph(f"The same fault with the same fix: {alike}.", room, INDENT * 2)
            lines += paragraph(f"Fix: {shown(each.fix)}.", room, INDENT * 2)
            if led := [follower for _, members in told for follower in members]:
                lines += paragraph(followers_words(each, led, lambda each: finding_subject(each, before)), room,
                                   INDENT * 2)
        parts.append(lines)
    if proposal.left:
        lines = [paint(f"{LEFT} ({len(proposal.left) + len(led_collisions)})", "heading")]
        for finding, followers in proposal.left_by_cause:
            lines += paragraph(f"{finding.level.upper()} {finding.check} · {finding_subject(finding, before)}: "
                               f"{shown(finding.message)}", room, INDENT, INDENT * 2)
            lines += paragraph(f"Fix: {shown(finding.fix)}.", room, INDENT * 2)
            more = len(followers) + len(led_collisions)
            if finding.check == OTHER_VOLTAGE and more:
                lines += paragraph(f"{writing.counted(more, 'more finding follows', 'more findings follow')} from "
                                   "it: fuseplan check lists them with --full.", room, INDENT * 2)
            elif followers:
                lines += paragraph(followers_words(finding, followers, lambda each: finding_subject(each, before)),
                                   room, INDENT * 2)
        parts.append(lines)
    if proposal.not_judged:
        lines = [paint(f"{NOT_JUDGED} ({len(proposal.not_judged)})", "heading")]
        for reason, names in not_judged_groups(proposal):
            titles = ", ".join(title_of(before.plan, "circuit", name) for name in names)
            lines += paragraph(f"{shown(titles)}: {shown(reason)}", room, INDENT, INDENT * 2)
        parts.append(lines)
    parts.append(paragraph(summary_words(proposal), room))
    parts.append(paragraph(CAUTION, room, "⚠ ", INDENT))
    return joined_parts(parts)


def by_others_words(finding: Finding, subject: str) -> str:
    """What passes with the changes to other parts, and what to do where one of those is left out."""
    return f"{subject}: {finding.check}. If any of those changes is left out: {shown(finding.fix)}."


def not_judged_groups(proposal: Proposal) -> list[tuple[str, list[str]]]:
    """What is not known, each with the circuits it is not known for."""
    return list(grouped((reason, name) for name, words in proposal.not_judged for reason in words).items())


def saving_words(saving: Saving, plan: Plan) -> str:
    """What one circuit could do with once it is measured: ``Rear window: if it draws no more than 15 A, 25 A and 4 mm²
    do instead of 50 A and 10 mm²``."""
    draws = "all its loads together draw" if saving.several else "it draws"
    same = saving.measured.sizes == saving.proposed.sizes
    same_type = saving.measured.kind == saving.proposed.kind

    def words(fitted: Fitted) -> str:
        sizes = [] if same else [writing.wire_size(shown(size)) for size in fitted.sizes]
        fuse = f"a {writing.rating(fitted.rating_a)} {'fuse' if same_type else kind_words(fitted.kind)}"
        return " and ".join([fuse, *([", ".join(sizes)] if sizes else [])])

    title = shown(title_of(plan, "circuit", saving.circuit))
    return (f"{title}: if {draws} no more than {writing.limit(saving.up_to_a, 'A')}, {words(saving.measured)} "
            f"will do, instead of {words(saving.proposed)}")


def nothing_words(proposal: Proposal) -> str:
    """That there are no changes; a circuit of which something is not known is not one that needs none, and what passes
    with the currents entered alone is to be measured first."""
    if proposal.not_judged and proposal.circuit is not None:
        return "Nothing can be proposed: something is not known."
    words = "No size, rating or relay needs to change"
    if proposal.to_measure:
        words += f" with the currents as entered; to measure first: {proposal.to_measure}"
    return f"{words}; not all is known." if proposal.not_judged else f"{words}."


def summary_words(proposal: Proposal, now: Assessment | None = None) -> str:
    """How many dangers and warnings there are, in the plan proposed for or as it is `now`, how many the changes leave,
    and what stays open behind small numbers."""
    def counts(assessment: Assessment) -> str:
        return ", ".join(writing.how_many(assessment.count(level), level) for level in ("danger", "warning"))

    unknown = sum(view.verdict == "unknown" for view in proposal.after.circuits)
    still = [words for count, words in (
        (unknown, f"{writing.counted(unknown, 'circuit')} not known"),
        (proposal.to_measure, f"{proposal.to_measure} to measure first")) if count]
    then = f" With these changes: {counts(proposal.after)}" if proposal.changes else " No change is proposed"
    return f"Now: {counts(now or proposal.before)}.{then}{'; still ' if still else ''}{', '.join(still)}."
