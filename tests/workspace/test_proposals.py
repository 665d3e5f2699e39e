"""Taking proposed changes on the open plan."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from fuseplan.advice import Change, propose
from fuseplan.advice.proposal import Proposal
from fuseplan.workspace import proposals
from fuseplan.workspace.form import Form
from fuseplan.workspace.proposals import is_taken, open_changes, propose_for, take, with_needed
from fuseplan.workspace.session import Session
from tests.checks.check_plans import FOLDER, whole

CAR = Path(__file__).parents[1] / "tui" / "car.toml"


def fresh() -> Session:
    return Session.of_text(CAR.read_text(encoding="utf-8"))


@cache
def proposed() -> Proposal:
    """What is proposed for the whole car, for tests that take some of it."""
    return propose_for(fresh().assessment, None)


def test_all_changes_give_the_plan_that_was_judged() -> None:
    session = fresh()
    found = proposed()
    assert open_changes(session, found) == list(found.changes)
    before = session.document.text
    take(session, open_changes(session, found))
    assert session.plan == found.plan
    assert open_changes(session, found) == []
    assert session.undo() == f"{len(found.changes)} proposed changes"
    assert session.document.text == before


@pytest.mark.parametrize(("place", "kind", "name"), [
    ("[circuit.amplifier]", "circuit", "amplifier"), ("[feed.shelf]", "feed", "shelf")])
def test_why_a_part_has_no_fuse_goes_once_it_gets_one(place: str, kind: str, name: str) -> None:
    plan = whole((FOLDER / "no-fuse.fails.toml").read_text(encoding="utf-8"))
    if kind == "feed":
        plan = plan.replace("[circuit.amplifier]\nfeed = \"battery_post\"", """[feed.shelf]
from = "battery_post"
zone = "cabin"
wire = [{ size = "6 mm2", length = "1 m", zone = "cabin", insulation = "pvc105" }]
[circuit.amplifier]
fuse = { kind = "blade", rating = "30 A", distance = "100 mm" }
feed = "shelf\"""")
    session = Session.of_text(plan.replace(place, f'{place}\nunfused = "its maker asks for none"'))
    found = propose_for(session.assessment, None, look_for_savings=False)
    assert (kind, name, "fuse") in [change.path for change in found.changes]
    take(session, open_changes(session, found))
    assert session.plan == found.plan
    assert "unfused" not in session.document.text
    session.undo()
    assert "its maker asks for none" in session.document.text


def test_each_change_can_be_taken_alone() -> None:
    found = proposed()
    assert found.changes
    for change in found.changes:
        session = fresh()
        take(session, with_needed(open_changes(session, found), change))
        assert is_taken(session, change)


def test_a_part_that_is_not_there_yet_comes_along() -> None:
    relay = Change(("circuit", "radio", "relay"), None, {"contact": "mini_40", "coil_feed": "ignition_bus"}, "x", "y")
    contact = Change(("circuit", "radio", "relay", "suppression"), None, "diode", "x", "y")
    other = Change(("circuit", "radio", "wire", 0, "size"), "1 mm2", "1.5 mm2", "x", "y")
    assert with_needed([relay, contact, other], contact) == [relay, contact]
    session = fresh()
    take(session, [relay, contact])
    assert session.plan.circuit["radio"].relay is not None
    assert is_taken(session, contact)
    assert session.undo()
    assert session.plan.circuit["radio"].relay is None


def test_what_was_typed_and_not_taken_gives_way() -> None:
    session = fresh()
    found = proposed()
    change = next(each for each in found.changes if isinstance(each.new, str))
    form = Form(session, change.path[:2])
    assert form.type_text(change.path, "nonsense")
    take(session, [change])
    assert form.text(change.path) == change.new


def test_nothing_to_take_is_no_step() -> None:
    session = fresh()
    take(session, [])
    assert session.history.last is None


def test_progress_is_told_before_every_round(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(proposals, "propose", propose)  # not what another test was proposed
    told: list[tuple[int, int]] = []
    found = propose_for(fresh().assessment, "fan", lambda number, changes: told.append((number, changes)))
    assert [number for number, _ in told] == list(range(1, len(told) + 1))
    assert told[-1][1] == len(found.changes)


def test_a_fuse_brings_its_type_and_its_wire_and_nothing_of_others() -> None:
    session = fresh()
    changes = open_changes(session, proposed())
    bus = ("feed", "main_bus")
    rating = next(each for each in changes if each.path == (*bus, "fuse", "rating"))
    together = with_needed(changes, rating)
    assert {each.path for each in together} == {
        (*bus, "fuse", "rating"), (*bus, "fuse", "kind"), (*bus, "wire", 0, "size")}
    wire = next(each for each in changes if each.path == (*bus, "wire", 0, "size"))
    assert with_needed(changes, wire) == [wire], "a thicker wire endangers nothing by itself"
    take(session, together)
    found = {each.check for each in session.assessment.findings_for(*bus)}
    assert not found & {"fuse-exceeds-wire", "no-such-fuse-rating"}
