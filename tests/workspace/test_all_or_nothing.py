"""A change that cannot be assessed, for whatever reason, changes nothing, and is said in one sentence."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from fuseplan.errors import EditError, FuseplanError, LimitsError
from fuseplan.planfile import recovery
from fuseplan.workspace import recovering
from fuseplan.workspace.form import Form
from fuseplan.workspace.session import Session
from tests.breaking import BAD, bad, break_assessment

CAR = Path(__file__).parents[1] / "tui" / "car.toml"


@pytest.fixture(params=[ZeroDivisionError, KeyError, RecursionError, MemoryError, AssertionError, LimitsError],
                ids=lambda kind: kind.__name__)
def failing(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    break_assessment(monkeypatch, request.param)


def car(path: Path) -> Path:
    path.write_text(CAR.read_text(encoding="utf-8"), encoding="utf-8")
    return path


CHANGES: dict[str, Callable[[Session], object]] = {
    "edit": lambda session: session.edit("name", lambda: session.document.set(("circuit", "fan", "name"), BAD)),
    "rename": lambda session: session.rename("circuit", "fan", "fan_2", BAD),
    "another text": lambda session: session.replace_text(bad(session.document.text), "another"),
    "read again": lambda session: session.reload(),
    "merge": lambda session: session.merge(),
}


@pytest.mark.one_in(5)
@pytest.mark.usefixtures("failing", "faults")
@pytest.mark.parametrize("change", CHANGES)
def test_a_change_that_cannot_be_assessed_changes_nothing(tmp_path: Path, change: str) -> None:
    file = car(tmp_path / "car.toml")
    session = Session.open(file)
    session.edit("note", lambda: session.document.set(("vehicle", "name"), "Changed here"))
    file.write_text(bad(file.read_text()))
    before = session.document.text, session.assessment, session.revision, session.history.last
    with pytest.raises(FuseplanError) as told:
        CHANGES[change](session)
    assert "for the test" in str(told.value)
    assert "\n" not in str(told.value)
    assert (session.document.text, session.assessment, session.revision, session.history.last) == before
    assert session.document.changed_on_disk(), "what another program wrote is still to be looked at"
    assert session.undo() == "note"
    assert session.document.text == CAR.read_text(encoding="utf-8")


@pytest.mark.usefixtures("faults")
@pytest.mark.parametrize("way", ["undo", "redo"])
def test_a_step_back_that_cannot_be_assessed_is_not_taken_and_stays(way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session.of_text(bad(CAR.read_text()) if way == "undo" else CAR.read_text())
    name = "Good name" if way == "undo" else BAD
    session.edit("name", lambda: session.document.set(("circuit", "fuel_pump", "name"), name))
    if way == "redo":
        session.undo()
    before = session.document.text
    with monkeypatch.context() as patch:
        break_assessment(patch)
        with pytest.raises(FuseplanError):
            getattr(session, way)()
        assert session.document.text == before
    assert getattr(session, way)() == "name", "it is still there once it can be"


def test_what_the_program_failed_at_is_written_down(faults: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session.of_text(CAR.read_text())
    break_assessment(monkeypatch)
    with pytest.raises(EditError, match=r"an error in the program \(ZeroDivisionError: for the test\)"):
        CHANGES["edit"](session)
    assert "ZeroDivisionError" in faults[0]
    assert "Traceback" in faults[0]


@pytest.mark.usefixtures("failing", "faults")
def test_a_text_the_program_fails_at_stays_in_its_field_with_the_reason() -> None:
    session = Session.of_text(CAR.read_text())
    said = Form(session, ("circuit", "fan")).type_text(("circuit", "fan", "name"), BAD)
    assert "for the test" in said
    assert session.drafts.texts == {("circuit", "fan", "name"): BAD}
    assert session.plan.circuit["fan"].name == "Radiator fan"


@pytest.mark.one_in(3)
@pytest.mark.usefixtures("failing", "faults")
def test_what_is_kept_for_recovery_can_be_assessed(tmp_path: Path) -> None:
    session = Session.open(car(tmp_path / "car.toml"))
    session.edit("good", lambda: session.document.set(("vehicle", "name"), "Good"))
    with pytest.raises(FuseplanError):
        CHANGES["edit"](session)
    session.keep_for_recovery()
    session.close()
    (kept,) = recovery.left_behind(tmp_path / "car.toml")
    assert "Good" in kept.text
    assert BAD not in kept.text
    assert recovering.why_not(Session.open(tmp_path / "car.toml"), kept) == ""


@pytest.mark.usefixtures("failing", "faults")
def test_a_recovered_plan_that_cannot_be_assessed_is_told_before_it_is_taken(tmp_path: Path) -> None:
    session = Session.open(car(tmp_path / "car.toml"))
    keeper = recovery.Keeper(tmp_path / "car.toml")
    keeper.keep(keeper.work(bad(CAR.read_text()), ()))
    keeper.close()
    (kept,) = session.left_behind()
    assert "for the test" in recovering.why_not(session, kept)
    with pytest.raises(FuseplanError):
        recovering.go_on_with(session, kept)
    assert session.left_behind() == [kept], "nothing is forgotten"
    assert session.document.text == CAR.read_text()


def test_after_a_failure_the_plan_before_the_last_change_is_kept_too(tmp_path: Path) -> None:
    session = Session.open(car(tmp_path / "car.toml"))
    for name in ("First", "Second"):
        session.edit(name, lambda name=name: session.document.set(("vehicle", "name"), name))
    session.keep_for_recovery()
    session.keep_after_failure()
    session.close()
    (kept,) = recovery.left_behind(tmp_path / "car.toml")
    assert 'name = "Second"' in kept.text
    assert 'name = "First"' in kept.before
