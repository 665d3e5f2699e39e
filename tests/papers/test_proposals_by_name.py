"""A proposal calls a part of the car by its name: the id is what is typed, the name is what a lamp is known by."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from fuseplan.advice import Change, Collision, Proposal, propose
from fuseplan.papers.propose_text import propose_text
from fuseplan.plan.part_names import title_of
from fuseplan.plan.references import part_kind_words
from fuseplan.tui.screens.proposal_lines import texts
from fuseplan.workspace.proposals import take
from fuseplan.workspace.session import Session

CAR = Path(__file__).parent.parent / "tui" / "car.toml"


@pytest.fixture(scope="module")
def proposed() -> tuple[Session, Proposal]:
    session = Session.open(CAR)
    for path, value in ((("circuit", "fan", "fuse", "rating"), "60 A"),
                        (("feed", "main_bus", "fuse", "rating"), "150 A")):
        session.edit("a fuse too large", partial(session.document.change, [(path, value)]))
    return session, propose(session.plan, session.assessment.limit_set)


def test_every_row_of_the_screen_begins_with_the_name(proposed: tuple[Session, Proposal]) -> None:
    session, found = proposed
    seen = set()
    for item, content in texts(session, found):
        if item is None or (isinstance(item, Change) and item.path[0] == "alternator"):
            continue
        kind = str(item.path[0]) if isinstance(item, Change) else item.subject_kind
        head = str(content).splitlines()[0]
        assert title_of(session.plan, kind, item.subject) in head
        assert f"{kind} {item.subject}" not in head or title_of(session.plan, kind, item.subject) == item.subject
        seen |= {(type(item), kind)}
    assert {(Change, "circuit"), (Change, "feed")} <= seen


def test_the_text_names_every_part_that_changes(proposed: tuple[Session, Proposal]) -> None:
    session, found = proposed
    for full in (False, True):
        text = propose_text(found, 300, full=full)
        rows = text.split("Changes (")[1].split("\n\n")[0].splitlines()[2:]
        assert len(rows) >= len(found.changes) > 1
        for change in found.changes:
            kind = str(change.path[0])
            title = title_of(session.plan, kind, change.subject)
            assert any(row.strip().startswith((title, f"{part_kind_words(kind)} {title}")) for row in rows), title


def test_undo_says_the_name_of_what_was_changed(proposed: tuple[Session, Proposal]) -> None:
    session, found = proposed
    change = next(each for each in found.changes if each.path[0] == "circuit")
    take(session, [change])
    assert title_of(session.plan, "circuit", change.subject) in str(session.undo())


def test_what_cannot_all_be_met_is_said_by_name(proposed: tuple[Session, Proposal]) -> None:
    session, found = proposed
    collision = Collision("circuit", "fan", "voltage-drop", "existing wires", "too much is lost", "fit a thicker wire")
    rows = texts(session, replace(found, collisions=(collision,)))
    shown = [str(content) for item, content in rows if isinstance(item, Collision)]
    assert [text.startswith("✗ Radiator fan: ") for text in shown] == [True]


def test_the_screen_says_what_the_command_line_says(proposed: tuple[Session, Proposal]) -> None:
    """But for the id behind a name, and the cautions, that a terminal has once."""
    session, found = proposed
    text = " ".join(re.sub(r" \((circuit|feed|earth point) \w+\)", "", propose_text(found, 5000, full=True)).split())
    said = [line for item, content in texts(session, found) if item is not None and not isinstance(item, Change)
            for line in str(content).splitlines() if not line.startswith("⚠")]
    assert said
    assert [line for line in said if line.lstrip("✗!◐✓ ") not in text] == []
