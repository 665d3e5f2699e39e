"""Proposals on the open plan: which changes are still to be taken, and taking them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from fuseplan.advice import Change, Proposal, propose
from fuseplan.advice.proposal import edits_of
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.proposed_changes import new_words, part_words, subject_words
from fuseplan.plan.references import Path
from fuseplan.workspace.session import Session


def propose_for(assessment: Assessment, circuit: str | None,
                progress: Callable[[int, int], None] | None = None, *, look_for_savings: bool = True) -> Proposal:
    """What to change so that every check passes, in one circuit or in the whole plan; see `propose`."""
    return propose(assessment.plan, assessment.limit_set, circuit, progress, look_for_savings=look_for_savings)


def is_taken(session: Session, change: Change) -> bool:
    """Whether the plan says already what is proposed."""
    held = session.value(change.path)
    if isinstance(change.new, Mapping):
        return isinstance(held, dict) and {str(key): str(value) for key, value in held.items()} == dict(change.new)
    return held is not None and str(held) == change.new


def open_changes(session: Session, proposal: Proposal) -> list[Change]:
    """The changes the plan does not have yet, in an order in which they can be made."""
    return [change for change in proposal.changes if not is_taken(session, change)]


def take(session: Session, changes: Sequence[Change]) -> None:
    """Make changes as one step to undo; raises EditError and changes nothing where the plan would not hold together."""
    if not changes:
        return
    first = f"{subject_words(changes[0], session.plan)}, {part_words(changes[0])}: {new_words(changes[0])}"
    words = first if len(changes) == 1 else f"{len(changes)} proposed changes"
    edits = edits_of(changes, session.plan)
    with session.whole():
        session.edit(words, partial(session.document.change, edits))
        for change in changes:
            session.drafts.forget(change.path)
    session.history.seal()


def with_needed(changes: Sequence[Change], change: Change) -> list[Change]:
    """A change with those it needs: the parts that have to be there before something in them is set; and for a fuse,
    its type and the wires it has to guard."""
    return [each for each in changes
            if each is change or (len(each.path) < len(change.path) and change.path[: len(each.path)] == each.path)
            or each.path[:2] == ("feed", _coil_feed(change))
            or (_is_fuse(change) and _owner(each) == _owner(change) and (_is_fuse(each) or each.path[-1] == "size"))]


def _coil_feed(change: Change) -> object:
    """The feed a change puts a relay's coil on, by itself or with its relay; None for any other."""
    if change.path[-1] == "relay":
        return None if isinstance(change.new, str) else change.new.get("coil_feed")
    return change.new if change.path[-1] == "coil_feed" else None


def _owner(change: Change) -> Path:
    return change.path[:1] if change.path[0] == "alternator" else change.path[:2]


def _is_fuse(change: Change) -> bool:
    return "fuse" in change.path
