"""A proposal as text: what changes and which check forces it, which limits collide, what is left."""

from __future__ import annotations

import difflib
from functools import partial
from typing import TYPE_CHECKING

from fuseplan.checks.other_voltage import CHECK as OTHER_VOLTAGE
from fuseplan.papers.action import action
from fuseplan.papers.findings import subject_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.layout import table
from fuseplan.papers.paragraphs import Paint, joined_parts, paragraph, unpainted
from fuseplan.papers.proposal_sections import SAVES, sections
from fuseplan.papers.proposed_changes import BRIEF, COLUMNS, joined_by_reason, joined_words, where_column
from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.advice.proposal import Proposal
    from fuseplan.checks.assessment import Assessment

INDENT = "  "
CAUTION = ("A proposal is arithmetic on what the plan says, not an approval. Disconnect the battery before you "
           "change a fuse or a wire, never fit a larger fuse without the wire that goes with it, measure afterwards.")
SAVINGS_SHOWN = 6
NOT_ON_FILE = "Listed in stock, but nothing on file says what it carries; never proposed"


def changed_lines(before: str, after: str) -> list[str]:
    """The lines of a plan's file that change, as a unified difference with a line around each."""
    found = difflib.unified_diff(before.splitlines(), after.splitlines(), "as it is", "with the changes", lineterm="",
                                 n=1)
    return [shown(line) for line in found]


def propose_text(proposal: Proposal, room: int = 100, paint: Paint = unpainted, *, full: bool = False) -> str:
    """The whole proposal, with its caution; `full` with the figures that force each change."""
    before = proposal.before
    subject = partial(subject_words, assessment=before)
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
    if proposal.not_on_file:
        parts.append(paragraph(f"{NOT_ON_FILE}: {shown(', '.join(proposal.not_on_file))}.", room))
    for section in sections(proposal, subject):
        entries = section.entries if full or section.title != SAVES else section.entries[:SAVINGS_SHOWN]
        lines = [paint(section.heading, "heading")]
        for entry in entries:
            lines += paragraph(shown(f"{entry.head}{entry.words}"), room, INDENT, INDENT * 2)
            alike = "; ".join(map(subject, entry.about[1:]))
            for note in (f"The same fault with the same fix: {alike}." if alike else "", *entry.notes):
                lines += paragraph(shown(note), room, INDENT * 2) if note else []
        if len(entries) < len(section.entries):
            lines.append(f"{INDENT}… and {len(section.entries) - len(entries)} more: --full")
        parts.append(lines)
    parts.append(paragraph(summary_words(proposal), room))
    parts.append(paragraph(CAUTION, room, "⚠ ", INDENT))
    return joined_parts(parts)


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
