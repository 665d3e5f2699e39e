"""Readings are part of the plan like everything else: undone, kept for recovery, merged with another program's."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.bench.expected import expected
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import points
from fuseplan.bench.readings import readings_of
from fuseplan.bench.storing import new_reading
from fuseplan.checks.assessment import assess
from fuseplan.errors import PlanError
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.read import parse_plan
from fuseplan.workspace import bench
from fuseplan.workspace.recovering import go_on_with
from fuseplan.workspace.session import Session
from tests.small_coupe import COUPE


@pytest.fixture
def session(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Session:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    file = tmp_path / "coupe.toml"
    file.write_text(COUPE, encoding="utf-8")
    return Session.open(file)


def keep(session: Session, address: str, text: str, date: str = "2026-05-01") -> None:
    bench.keep_reading(session, new_reading(session.assessment, address, text, date=date))


def test_each_reading_is_one_step_back(session: Session) -> None:
    before = session.document.text
    keep(session, "circuit.horn.current", "5.1")
    keep(session, "circuit.horn.load_v", "11.9")
    bench.take_over(session, bench.acceptance_of(session.assessment, "circuit.horn.current"))
    assert session.plan.circuit["horn"].load[0].evidence == "measured"
    bench.drop_reading(session, readings_of(session.assessment)[0][1])
    assert len(session.plan.reading) == 1
    bench.sign_or_not(session, "fuses_out")
    for _ in range(5):
        assert session.undo()
    assert session.document.text == before
    for _ in range(5):
        assert session.redo()
    assert session.plan.reading[0].accepted
    assert session.plan.signed[0].item == "fuses_out"
    assert not bench.sign_or_not(session, "fuses_out")
    assert session.plan.signed == ()


def test_what_is_expected_follows_every_edit_but_readings(session: Session) -> None:
    def shown() -> float:
        found = expected(session.assessment, points(session.assessment)["circuit.washer.current"], "alone").value
        assert found is not None
        return found

    before, model = shown(), bench_model(session.assessment)
    keep(session, "circuit.horn.current", "5.1")
    assert bench_model(session.assessment) is model
    assert shown() == before
    session.edit("set", lambda: session.document.set(("circuit", "washer", "load", 0, "current"), "6.4 A"))
    assert bench_model(session.assessment) is not model
    assert shown() > 1.5 * before
    fresh = assess(session.plan)
    assert shown() == expected(fresh, points(fresh)["circuit.washer.current"], "alone").value
    session.edit("set", lambda: session.document.set(("zone", "cabin", "ambient"), "60 degC"))
    changed = bench_model(session.assessment)
    assert changed.assessment is session.assessment
    session.undo()
    session.undo()
    assert shown() == before


def test_readings_not_saved_are_kept_for_recovery(session: Session) -> None:
    path = session.document.path
    assert path is not None
    keep(session, "circuit.horn.current", "5.1")
    session.keep_for_recovery()
    session.close()
    again = Session.open(path)
    (kept,) = again.left_behind()
    go_on_with(again, kept)
    assert [each.value for each in again.plan.reading] == ["5.1 A"]


def test_readings_are_merged_with_what_another_program_changed(session: Session) -> None:
    path = session.document.path
    assert path is not None
    keep(session, "circuit.horn.current", "5.1")
    other = PlanDocument.open(path)
    other.set(("circuit", "washer", "name"), "Screen washer")
    other.save()
    assert session.document.changed_on_disk()
    assert session.merge()
    assert session.plan.circuit["washer"].name == "Screen washer"
    assert [each.value for each in session.plan.reading] == ["5.1 A"]


def test_no_condition_of_a_plan_has_a_name_that_readings_use() -> None:
    for name in ("alone", "rested", "unpowered"):
        with pytest.raises(PlanError, match="any other name"):
            parse_plan(f'fuseplan = 1\n[condition.{name}]\nstate = "off"\n')
