"""What a proposal is listed as: changes, limits that collide, what is left to the user."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from fuseplan.advice import Change, Collision, Proposal
from fuseplan.checks.rule import Finding
from fuseplan.papers.propose_text import (
    BY_OTHERS,
    COLLIDE,
    LEFT,
    NOT_JUDGED,
    SAVES,
    by_others_words,
    collision_groups,
    followers_words,
    not_judged_groups,
    nothing_words,
    saving_words,
)
from fuseplan.papers.proposed_changes import (
    joined_by_reason,
    joined_words,
    new_words,
    now_words,
    part_words,
    subject_words,
)
from fuseplan.plan.part_names import title_of
from fuseplan.tui.widgets.hanging import Hanging
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, finding_style, line, lines
from fuseplan.workspace import proposals
from fuseplan.workspace.findings import level_words
from fuseplan.workspace.findings import subject_words as finding_subject
from fuseplan.workspace.session import Session

Item = Change | Collision | Finding


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
    if found.fixed_by_others:
        listed.append((None, _heading(f"{BY_OTHERS} ({len(found.fixed_by_others)})")))
    listed += [(each, _entry("✓", "$text-success", line(by_others_words(each, finding_subject(session, each)))))
               for each in found.fixed_by_others]
    if found.savings:
        listed.append((None, _heading(f"{SAVES} ({len(found.savings)})")))
    listed += [(None, _entry("◐", "$text-warning", line(saving_words(each, session.plan)))) for each in found.savings]
    if found.collisions:
        listed.append((None, _heading(f"{COLLIDE} ({len(found.collisions)})")))
    for (first, led), *others in collision_groups(found):
        listed.append((first, _entry("✗", "$text-error", *_collision(session, first), *_follow(session, first, led))))
        listed += [(each, _entry("✗", "$text-error", line(
            (f"{finding_subject(session, each)}: ", "bold $text-error"), "the same fault with the same fix"),
            *_follow(session, each, members))) for each, members in others]
    if found.left:
        listed.append((None, _heading(f"{LEFT} ({len(found.left)})")))
    listed += [(each, _left(session, each, followers)) for each, followers in found.left_by_cause]
    if found.not_judged:
        listed.append((None, _heading(f"{NOT_JUDGED} ({len(found.not_judged)})")))
    return [*listed, *((None, _not_judged(session, names, reason)) for reason, names in not_judged_groups(found))]


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


def _collision(session: Session, each: Collision) -> tuple[Content, Content]:
    return (line((f"{finding_subject(session, each)}: ", "bold $text-error"),
                 f"{each.check} against {each.against}. {each.words}"), line(("Fix: ", "bold"), each.fix))


def _follow(session: Session, each: Finding | Collision, followers: Sequence[Finding | Collision]) -> list[Content]:
    """What follows from one, where anything does."""
    return [line(followers_words(each, followers, lambda other: finding_subject(session, other)))] if followers else []


def _not_judged(session: Session, names: list[str], reason: str) -> Hanging:
    titles = (title_of(session.plan, "circuit", name) for name in names)
    return _entry("?", "$text-warning", line((", ".join(titles), "bold"), f": {reason}"))


def _left(session: Session, each: Finding, followers: tuple[Finding, ...]) -> Hanging:
    sign, _, level = level_words(each).partition(" ")
    return _entry(sign, finding_style(each),
                  line((level, finding_style(each)), f" {finding_subject(session, each)}: {each.message}"),
                  line(("Fix: ", "bold"), each.fix), *_follow(session, each, followers),
                  line(("⚠ ", CAUTION_STYLE), each.caution))
