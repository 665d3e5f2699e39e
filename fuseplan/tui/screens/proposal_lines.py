"""What a proposal is listed as: changes, limits that collide, what is left to the user."""

from __future__ import annotations

from functools import partial

from textual.content import Content

from fuseplan.advice import Change, Collision, Proposal
from fuseplan.checks.rule import Finding
from fuseplan.papers.proposal_sections import BY_OTHERS, COLLIDE, LEFT, NOT_JUDGED, SAVES, Entry, sections
from fuseplan.papers.propose_text import nothing_words
from fuseplan.papers.proposed_changes import (
    joined_by_reason,
    joined_words,
    new_words,
    now_words,
    part_words,
    subject_words,
)
from fuseplan.tui.widgets.hanging import Hanging
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, finding_style, line, lines
from fuseplan.workspace import proposals
from fuseplan.workspace.findings import level_words
from fuseplan.workspace.findings import subject_words as finding_subject
from fuseplan.workspace.session import Session

Item = Change | Collision | Finding
_SIGNS = {BY_OTHERS: ("✓", "$text-success", ""), SAVES: ("◐", "$text-warning", ""),
          COLLIDE: ("✗", "$text-error", "bold $text-error"), NOT_JUDGED: ("?", "$text-warning", "bold")}
"""Sign, its style and that of the head, of the entries of each section but what is left."""


def texts(session: Session, found: Proposal) -> list[tuple[Item | None, Content | Hanging]]:
    """Everything in it, each with what stands for it in the list; headings without an item."""
    left = len(proposals.open_changes(session, found))
    listed: list[tuple[Item | None, Content | Hanging]] = []
    if found.changes:
        listed.append((None, _heading(f"Changes: {left} to apply, {len(found.changes) - left} applied")))
    else:
        sign = ("? ", "$text-warning") if found.not_judged else ("◐ ", "$text-warning") if found.to_measure \
            else ("✓ ", "$text-success")
        listed.append((None, line(sign, nothing_words(found))))
    rows, joined = joined_by_reason(found)
    told = ""
    for each in rows:
        listed.append((each, _change(session, each, "as above" if each.why == told else each.why)))
        told = each.why
    for reason, same in joined.items():
        listed.append((None, line((joined_words(reason, same), "bold"))))
        listed += [(each, _change(session, each)) for each in same]
    for section in sections(found, partial(finding_subject, session)):
        listed.append((None, _heading(section.heading)))
        for entry in section.entries:
            listed += _listed(session, section.title, entry)
    return listed


def _heading(words: str) -> Content:
    return line((words, "bold $text-accent"))


def _entry(sign: str, style: str, *rows: Content) -> Hanging:
    """Rows behind a sign."""
    return Hanging(line((f"{sign} ", style)), lines(*rows))


def _change(session: Session, change: Change, why: str = "") -> Hanging:
    """What changes, and `why`, where that does not stand above it."""
    taken = proposals.is_taken(session, change)
    words = line((f"{subject_words(change, session.plan)}, {part_words(change)}: ", "bold"), f"{now_words(change)} → ",
                 (new_words(change), "bold $text-accent"))
    reason = [line((f"{change.check}: ", QUIET_STYLE), why)] if why else []
    return _entry("✓ applied" if taken else "□", "$text-success" if taken else "", words, *reason)


def _listed(session: Session, title: str, entry: Entry) -> list[tuple[Item | None, Hanging]]:
    """An entry, and behind it each further part it is about, as each leads to its own field."""
    item = next(iter(entry.about), None)
    sign, style, head = _SIGNS.get(title, ("", "", ""))
    caution = []
    if title == LEFT and isinstance(item, Finding):
        sign, style, head = level_words(item).partition(" ")[0], finding_style(item), finding_style(item)
        caution = [line(("⚠ ", CAUTION_STYLE), item.caution)]
    notes = [line(("Fix: ", "bold"), note.removeprefix("Fix: ")) if note.startswith("Fix: ") else line(note)
             for note in entry.notes]
    return [(item, _entry(sign, style, line((entry.head, head), entry.words), *notes, *caution)),
            *((each, _entry(sign, style, line((f"{finding_subject(session, each)}: ", head),
                                              "the same fault with the same fix"))) for each in entry.about[1:])]
