"""The session: every change assessed, undoable, kept for recovery; forms that lose no text."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest
from pydantic import BaseModel

from fuseplan.engine.stock import ladder
from fuseplan.errors import EditError, LimitsError
from fuseplan.plan.model import Plan
from fuseplan.planfile import recovery
from fuseplan.planfile.library import shipped_folder
from fuseplan.quantities import writing
from fuseplan.workspace import circuits, findings
from fuseplan.workspace.choices import choices, complete
from fuseplan.workspace.entry import read, same, shown
from fuseplan.workspace.fields import PARTS, entries, entry_at
from fuseplan.workspace.form import EMPTIED, Form
from fuseplan.workspace.recovering import go_on_with
from fuseplan.workspace.session import Session

CAR = Path(__file__).parent.parent / "tui" / "car.toml"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    file = tmp_path / "car.toml"
    file.write_text(CAR.read_text(encoding="utf-8"), encoding="utf-8")
    return Session.open(file)


def test_an_edit_is_assessed_at_once_and_can_be_undone(session: Session) -> None:
    before, plan = session.assessment, session.plan
    session.edit("set", lambda: session.document.set(("circuit", "fan", "fuse", "rating"), "30 A"))
    assert session.assessment is not before
    assert session.assessment.circuit("fan").fuse.rating_a == 30
    assert session.undo() == "set"
    assert session.plan == plan
    assert session.assessment.circuit("fan").fuse.rating_a == 40
    assert session.redo() == "set"
    assert session.assessment.circuit("fan").fuse.rating_a == 30
    assert session.redo() is None


def test_a_refused_edit_changes_nothing(session: Session) -> None:
    text, revision = session.document.text, session.revision
    with pytest.raises(EditError):
        session.edit("set", lambda: session.document.set(("circuit", "fan", "feed"), "no_such_feed"))
    with pytest.raises(EditError, match="limits"):
        session.edit("set", lambda: session.document.set(("vehicle", "limits"), "no_such_limits"))
    assert (session.document.text, session.revision) == (text, revision)
    assert session.history.last is None


def test_an_edit_that_fails_half_way_is_taken_back_whole(session: Session) -> None:
    text = session.document.text

    def two() -> None:
        session.document.set(("circuit", "fan", "name"), "Fan")
        session.document.set(("circuit", "fan", "feed"), "no_such_feed")

    with pytest.raises(EditError):
        session.edit("two", two)
    assert session.document.text == text


def test_unknown_limit_set_cannot_be_opened(tmp_path: Path) -> None:
    with pytest.raises(LimitsError):
        Session.of_text('fuseplan = 1\n[vehicle]\nlimits = "no_such"\n')


def test_recovery_keeps_what_is_not_saved_and_forgets_it_after_saving(session: Session) -> None:
    path = session.document.path
    session.keep_for_recovery()
    assert recovery.left_behind(path) == [], "nothing changed, nothing kept"
    session.edit("set", lambda: session.document.set(("circuit", "fan", "name"), "Kept"))
    session.keep_for_recovery()
    assert recovery.left_behind(path) == [], "it belongs to a session that runs"
    session.close()
    again = Session.open(path)
    kept, = again.left_behind()
    assert "Kept" in kept.text
    go_on_with(again, kept)
    assert again.plan.circuit["fan"].name == "Kept"
    again.undo()
    assert again.plan.circuit["fan"].name == "Radiator fan"
    again.redo()
    again.save()
    again.close()
    assert recovery.left_behind(path) == []


def test_texts_the_plan_did_not_take_are_kept_too(session: Session) -> None:
    path = session.document.path
    Form(session, ("circuit", "fan")).type_text(("circuit", "fan", "feed"), "nonsense")
    session.keep_for_recovery()
    session.close()
    again = Session.open(path)
    kept, = again.left_behind()
    go_on_with(again, kept)
    assert again.drafts.texts == {("circuit", "fan", "feed"): "nonsense"}


def test_reload_drops_what_was_typed(session: Session) -> None:
    Form(session, ("circuit", "fan")).type_text(("circuit", "fan", "feed"), "nonsense")
    session.document.path.write_text(session.document.text.replace("Radiator fan", "Other"))
    session.reload()
    assert session.plan.circuit["fan"].name == "Other"
    assert not session.drafts.texts
    assert session.undo() is None


def test_reload_of_a_spoilt_file_leaves_the_session_as_it_was(session: Session) -> None:
    from fuseplan.errors import PlanError

    plan = session.plan
    session.document.path.write_text("not a plan")
    with pytest.raises(PlanError):
        session.reload()
    assert session.plan is plan


def test_drafts_follow_their_part(session: Session) -> None:
    form = Form(session, ("circuit", "fan"))
    form.add_item(("circuit", "fan", "wire"))
    form.type_text(("circuit", "fan", "wire", 1, "size"), "thick")
    form.move(("circuit", "fan", "wire", 1), -1)
    assert session.drafts.texts == {("circuit", "fan", "wire", 0, "size"): "thick"}
    session.rename("circuit", "fan", "blower")
    assert session.drafts.texts == {("circuit", "blower", "wire", 0, "size"): "thick"}
    blower = Form(session, ("circuit", "blower"))
    blower.remove(("circuit", "blower", "wire", 0))
    assert not session.drafts.texts
    blower.type_text(("circuit", "blower", "feed"), "nonsense")
    session.delete(("circuit", "blower"))
    assert not session.drafts.texts


def test_undo_takes_back_the_entry_typed_last_also_where_it_was_typed_anew(session: Session) -> None:
    root = ("circuit", "fan")
    form, name = Form(session, root), (*root, "name")
    for key, text in (("feed", "one"), ("earth", "two"), ("feed", "three")):
        form.type_text((*root, key), text)
        form.leave((*root, key))
    session.undo(name)
    assert session.drafts.texts == {(*root, "earth"): "two"}
    session.undo(name)
    assert not session.drafts.texts


def test_entries_not_taken_go_back_and_forth_with_their_part(session: Session) -> None:
    form, item = Form(session, ("circuit", "fan")), ("circuit", "fan", "wire", 1)
    form.add_item(("circuit", "fan", "wire"))
    form.type_text((*item, "size"), "thick")
    form.move(item, -1)
    session.rename("circuit", "fan", "blower")
    moved, renamed = ({("circuit", name, "wire", 0, "size"): "thick"} for name in ("fan", "blower"))
    assert session.drafts.texts == renamed
    assert session.undo(("circuit", "blower", "name")) == "rename Radiator fan"
    assert session.drafts.texts == moved
    assert session.undo(("circuit", "fan", "name")) == "move wire segment 2 of circuit 'fan'"
    assert session.drafts.texts == {(*item, "size"): "thick"}
    session.redo()
    assert session.drafts.texts == moved
    session.redo()
    assert session.drafts.texts == renamed


def test_an_emptied_field_counts_when_it_is_left(session: Session) -> None:
    form, path = Form(session, ("circuit", "fan")), ("circuit", "fan", "name")
    assert form.type_text(path, "") == EMPTIED
    assert session.plan.circuit["fan"].name == "Radiator fan"
    form.leave(path)
    assert session.plan.circuit["fan"].name is None
    session.undo()
    assert session.plan.circuit["fan"].name == "Radiator fan"


def test_a_needed_field_cannot_be_emptied(session: Session) -> None:
    form, path = Form(session, ("circuit", "fan")), ("circuit", "fan", "fuse", "kind")
    form.type_text(path, "")
    form.leave(path)
    assert session.plan.circuit["fan"].fuse.kind == "maxi"
    assert "missing" in session.drafts.messages[path]


def test_every_key_of_every_model_has_an_entry() -> None:
    looped = 0
    for model in PARTS:
        keys = {info.alias or name for name, info in model.model_fields.items()}
        assert {entry.key for entry in entries(model)} == keys
        looped += len(keys)
    assert looped > 100
    assert set(Plan.model_fields) - {"fuseplan", "tolerance"} == {
        name for name in Plan.model_fields if name not in ("fuseplan", "tolerance") and entry_at((name,))}


def test_every_part_a_key_leads_to_has_a_form() -> None:
    """From the plan down: a form that asks for a part can show the keys of that part."""
    reached: set[type[BaseModel]] = set()
    tables = [entry_at((name,)) for name in Plan.model_fields if name not in ("fuseplan", "tolerance")]
    ahead = [entry.model for entry in tables if entry is not None and entry.model is not None]
    while ahead:
        model = ahead.pop()
        if model not in reached:
            reached.add(model)
            ahead += [entry.model for entry in entries(model) if entry.model is not None]
    assert reached == set(PARTS)


def test_every_value_of_the_car_reads_back_as_it_is_shown(session: Session) -> None:
    looped = 0
    for circuit in session.plan.circuit:
        for row in Form(session, ("circuit", circuit)).rows():
            if row.kind == "field" and row.value:
                assert read(row.entry, shown(session.value(row.path))) == session.value(row.path)
                looped += 1
    assert looped > 30


@pytest.mark.parametrize(("path", "text", "value"), [
    (("circuit", "x", "load", 0, "range"), "5 A to 9 A", ["5 A", "9 A"]),
    (("circuit", "x", "load", 0, "when"), "engine, hot", ["engine", "hot"]),
    (("circuit", "x", "load", 0, "essential"), "Yes", True),
    (("circuit", "x", "load", 0, "duty"), "0.5", 0.5),
    (("circuit", "x", "load", 0, "inrush"), "4", 4),
    (("fuse_box", "x", "spare"), "2", 2),
    (("circuit", "x", "note"), "one⏎two", "one\ntwo"),
    (("circuit", "x", "note"), "  ", None),
])
def test_texts_are_read_by_the_kind_of_entry(path: tuple[str | int, ...], text: str, value: object) -> None:
    assert read(entry_at(path), text) == value


@pytest.mark.parametrize(("path", "text"), [
    (("circuit", "x", "load", 0, "duty"), "0,5"), (("circuit", "x", "load", 0, "essential"), "maybe"),
    (("fuse_box", "x", "spare"), "2.5"),
])
def test_texts_of_the_wrong_kind_say_what_is_accepted(path: tuple[str | int, ...], text: str) -> None:
    with pytest.raises(EditError, match="accepted is"):
        read(entry_at(path), text)


def test_spaces_do_not_make_another_value() -> None:
    entry = entry_at(("circuit", "x", "name"))
    assert same(entry, "Lift ", "Lift")
    assert not same(entry, "Lift p", "Lift")


def test_completion(session: Session) -> None:
    def completed(path: tuple[str | int, ...], text: str) -> str | None:
        return complete(session, entry_at(path), path, text)

    load = ("circuit", "fan", "load", 0)
    for number in ("12", "4", "40", ".5"):
        assert completed((*load, "current"), number) is None
        assert completed(("circuit", "fan", "fuse", "rating"), number) is None, "no part is chosen by its first figure"
        assert completed(("circuit", "fan", "wire", 0, "size"), number) is None
    assert completed(("circuit", "fan", "feed"), "ign") == "ignition_bus"
    assert completed((*load, "when"), "hot, rai") == "hot, rain"
    assert completed((*load, "kind"), "res") == "resistive"
    assert completed((*load, "current"), "12 A") is None
    ratings = [choice.word for choice in choices(session, entry_at(("circuit", "fan", "fuse", "rating")),
                                                 ("circuit", "fan", "fuse", "rating"))]
    assert "40 A" in ratings


@pytest.mark.one_in(3, first=1)
@pytest.mark.parametrize(("kind", "key"), [("feed", "from"), ("earth", "to"), ("circuit", "feed"),
                                             ("circuit", "earth")])
def test_no_name_is_offered_that_the_plan_refuses(session: Session, kind: str, key: str) -> None:
    looped = 0
    for name in getattr(session.plan, kind):
        path = (kind, name, key)
        for choice in choices(session, entry_at(path), path):
            # A root with a parent is refused for want of a root, whatever the name.
            if session.has(path):
                session.edit("try", partial(session.document.set, path, choice.word))
                session.undo()
            assert choice.word != name or kind == "circuit"
            looped += 1
    assert looped


def test_a_position_of_a_fuse_box_that_is_offered_says_what_stands_against_it() -> None:
    """What is offered says which positions are free, taken, or on another feed: taken up, a free one has no finding,
    and every other one has."""
    session = Session.of_text((shipped_folder("examples") / "coupe_turbo.toml").read_text(encoding="utf-8"))
    path = ("circuit", "radio", "fuse", "position")
    seen = set()
    for choice in choices(session, entry_at(path), path):
        state = next(each for each in ("it is there now", "another feed", "is there", "free") if each in choice.meaning)
        seen.add(state)
        session.edit("try", partial(session.document.set, path, choice.word))
        wrong = {each.check for each in session.assessment.findings
                 if each.check == "wrong-fuse-position" and choice.word in each.message}
        assert bool(wrong) is (state in ("is there", "another feed")), (choice, wrong)
        session.undo()
    assert seen == {"free", "it is there now", "is there", "another feed"}


def test_no_rating_of_another_type_of_fuse_is_offered() -> None:
    session = Session.of_text((shipped_folder("examples") / "coupe_turbo.toml").read_text(encoding="utf-8"))
    assert len({each.fuse.kind for each in session.plan.circuit.values() if each.fuse is not None}) > 1
    for name, circuit in session.plan.circuit.items():
        path = ("circuit", name, "fuse", "rating")
        if circuit.fuse is not None:
            sold = {writing.rating(rating) for rating in ladder(circuit.fuse.kind)}
            assert {choice.word for choice in choices(session, entry_at(path), path)} == sold


def test_findings_know_where_they_are_cured(session: Session) -> None:
    looped = 0
    for finding in session.assessment.findings:
        root, field = findings.field_of(session, finding)
        assert field[: len(root)] == root
        if len(root) == 2:
            assert session.has(root)
        if len(field) > len(root):
            Form(session, root).reveal(field)
            assert any(row.path == field for row in Form(session, root).rows()), finding.fields
        looped += 1
    assert looped >= 5


def test_ids_with_dots_are_found(session: Session) -> None:
    session.rename("circuit", "fan", "fan.left")
    found = [each for each in session.assessment.findings if each.subject == "fan.left"]
    assert found
    assert all(findings.field_of(session, each)[0][1] == "fan.left" for each in found if each.fields
               and each.fields[0].startswith("circuit"))


def test_free_ids(session: Session) -> None:
    assert circuits.free_id(session, "Heated seat, left!") == "heated_seat_left"
    assert circuits.free_id(session, "fan") == "fan_2"
    assert circuits.free_id(session, "…") == "circuit"
