"""What is typed into a field comes to the same however fast it is typed: letter by letter or all at once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path as FilePath

import pytest

from fuseplan.plan.references import Path
from fuseplan.workspace.form import Form
from fuseplan.workspace.session import Session

CAR = (FilePath(__file__).parents[1] / "tui" / "car.toml").read_text(encoding="utf-8")
CIRCUIT = "fuel_pump"
LOAD: Path = ("circuit", CIRCUIT, "load", 0)


def form() -> Form:
    session = Session.of_text(CAR)
    return Form(session, ("circuit", CIRCUIT))


def standing(form: Form) -> tuple[object, ...]:
    """Plan, texts not taken, steps to undo, and what undo leads to."""
    session = form.session
    assert session.assessment.plan is session.document.plan
    steps = [(step.words, step.before.text) for step in session.history.state()[0]]
    return session.document.text, session.drafts.state(), steps, [step.words for step in session.history.state()[1]]


TEXTS: dict[Path, tuple[str, ...]] = {
    (*LOAD, "inrush"): ("8A", "?", "8", "9 A", ""), (*LOAD, "power"): ("5 W", "0"),
    (*LOAD, "current"): ("5 Ax", "5 A", "6 A2"),
    (*LOAD, "kind"): ("lamps", "lamp", "x"), ("circuit", CIRCUIT, "name"): ("Pu", " "),
    ("circuit", CIRCUIT, "fuse", "rating"): ("15 A", "15 A5", "7.5"),
    ("circuit", CIRCUIT, "load", 1, "current"): ("4 Ax", "4 A"),
    ("circuit", CIRCUIT, "load", 2, "power"): ("?", "4 W", "5 Wx"),
}
"""Taken and refused, with beginnings that would be taken by themselves."""


@pytest.mark.one_in(3, first=1)
@pytest.mark.parametrize("path", TEXTS, ids=lambda path: ".".join(map(str, path[1:])))
def test_a_text_does_the_same_typed_slowly_or_fast(path: Path) -> None:
    """Also over one before it, taken or not, and once the field is left."""
    slow, fast = form(), form()
    for text in TEXTS[path]:
        for length in range(1, len(text)):
            slow.type_text(path, text[:length])
        for each in (slow, fast):
            each.type_text(path, text)
        assert standing(slow) == standing(fast), text
        for each in (slow, fast):
            each.leave(path)
        assert standing(slow) == standing(fast), text


def test_of_the_beginning_of_a_text_that_is_refused_nothing_stays_in_the_plan() -> None:
    each = form()
    each.type_text((*LOAD, "inrush"), "8")
    assert each.session.value((*LOAD, "inrush")) == 8
    assert each.type_text((*LOAD, "inrush"), "8A")
    assert each.session.document.text == CAR
    assert each.session.history.last is None


@pytest.mark.one_in(3)
@pytest.mark.parametrize("other", [
    lambda form: form.leave((*LOAD, "inrush")), lambda form: form.session.end_typing(),
    lambda form: form.type_text((*LOAD, "name"), "Left one"), lambda form: form.type_text((*LOAD, "power"), "wrong"),
    lambda form: (form.session.undo(), form.session.redo(), form.leave((*LOAD, "inrush"))),
    lambda form: form.session.delete(("circuit", "fan")), lambda form: form.open_part(("circuit", CIRCUIT, "relay")),
], ids=["left", "ended", "another field", "another error", "undone and redone", "deleted", "opened"])
def test_a_text_begins_anew_after_anything_else_was_done(other: Callable[[Form], object]) -> None:
    """What the plan has by then is no beginning of what is typed next: it stays."""
    each = form()
    each.type_text((*LOAD, "inrush"), "8")
    other(each)
    before = each.session.document.text
    assert each.type_text((*LOAD, "inrush"), "8A")
    assert each.session.document.text == before
    assert each.session.value((*LOAD, "inrush")) == 8
