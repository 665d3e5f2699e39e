"""A part of the plan is named in a form by its id; its name, which is what the screens show, is taken for it."""

from __future__ import annotations

import pytest

from fuseplan.plan.references import REFERENCES
from fuseplan.workspace.choices import complete
from fuseplan.workspace.fields import entry_at
from fuseplan.workspace.form import Form
from fuseplan.workspace.session import Session

PLAN = """\
fuseplan = 1
[zone.bay]
ambient = "45 degC"
name = "Engine bay"
[zone.boot]
ambient = "45 degC"
name = "Boot, left"
[zone.one]
ambient = "45 degC"
name = "Door"
[zone.two]
ambient = "45 degC"
name = "Door"
[zone.door]
ambient = "45 degC"
name = "bay"
[earth.post]
name = "Negative post"
[feed.post]
name = "Battery post"
[feed.bus]
name = "Main bus"
from = "post"
[feed.other]
from = "post"
[circuit.horn]
feed = "post"
"""
HORN = ("circuit", "horn")


@pytest.fixture
def session() -> Session:
    return Session.of_text(PLAN)


def left(session: Session, path: tuple[str | int, ...], text: str) -> object:
    """What the plan has under a path after a text was typed into its field and the field was left."""
    form = Form(session, path[:2])
    form.type_text(path, text)
    form.leave(path)
    return session.value(path)


@pytest.mark.parametrize(("text", "id_"), [
    ("Main bus", "bus"), ("main  BUS ", "bus"), ("Battery post", "post"), ("BUS", "bus"), ("other", "other")])
def test_a_feed_by_its_name_or_in_other_letters(session: Session, text: str, id_: str) -> None:
    assert left(session, (*HORN, "feed"), text) == id_
    assert session.drafts.texts == {}


def test_enter_offers_the_id_before_the_field_is_left(session: Session) -> None:
    path = (*HORN, "feed")
    entry = entry_at(path)
    assert entry is not None
    assert complete(session, entry, path, "Main bus") == "bus"
    assert complete(session, entry, path, "bus") is None


def test_a_name_that_means_several_or_none_is_taken_for_no_part(session: Session) -> None:
    path = ("zone", "bay")
    for text in ("Door", "Doors", "Engine"):
        assert left(session, ("feed", "bus", "zone"), text) is None
        assert session.drafts.texts[("feed", "bus", "zone")] == text
        assert session.drafts.messages[("feed", "bus", "zone")]
    assert session.has(path)


def test_an_id_comes_before_a_name_that_is_spelled_like_it(session: Session) -> None:
    assert left(session, ("feed", "bus", "zone"), "bay") == "bay"
    assert left(session, ("feed", "other", "zone"), "Bay") is None, "of a name alike and an id alike nobody knows which"


def test_a_name_may_hold_commas_where_one_part_is_named(session: Session) -> None:
    assert left(session, ("feed", "bus", "zone"), "Boot, left") == "boot"


def test_several_by_name(session: Session) -> None:
    assert left(session, (*HORN, "also_from"), "Main bus, other") == ["bus", "other"]


def test_a_feed_is_not_fed_by_what_it_feeds_whatever_it_is_called(session: Session) -> None:
    assert left(session, ("feed", "post", "from"), "Main bus") is None


def test_it_is_one_step_to_undo(session: Session) -> None:
    text = session.document.text
    assert left(session, (*HORN, "earth"), "Negative post") == "post"
    session.undo()
    assert session.document.text == text


def test_a_part_that_is_begun_keeps_the_id(session: Session) -> None:
    path = ("feed", "new", "zone")
    assert left(session, path, "Engine bay") is None, "it lacks what feeds it"
    assert session.drafts.texts[path] == "bay"


def test_text_that_names_no_part_stays_as_it_is(session: Session) -> None:
    assert ("circuit", "name") not in REFERENCES
    assert left(session, (*HORN, "name"), "Main bus") == "Main bus"
