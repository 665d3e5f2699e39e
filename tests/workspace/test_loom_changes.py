"""The change log of the looms: every change of a wire has its line, with its reason, however often it is changed."""

from __future__ import annotations

from fuseplan.plan.nets import PinId, pin_at
from fuseplan.plan.unknown_pins import unknown_pins
from fuseplan.workspace.looms import Lengthening, join_choices, set_fate
from fuseplan.workspace.session import Session
from tests.looms.two_looms import plan_data, text_of

AT = PinId("dash", "4")


def two_looms() -> Session:
    return Session.of_text(text_of(plan_data()))


def test_each_decision_that_changes_a_wire_has_its_line_and_its_reason() -> None:
    session = two_looms()
    for fate, why in (("extend", "plug moved"), ("keep", ""), ("cut_and_insulate", "no lamp any more"),
                      ("cut_and_insulate", "said twice")):
        set_fate(session, AT, fate, why)
    assert [(line.what, line.why) for line in session.plan.change] == [
        ("dash pin 4, charge lamp: made longer", "plug moved"),
        ("dash pin 4, charge lamp: cut off, end insulated", "no lamp any more")]


def test_a_wire_is_joined_to_no_wire_of_its_own_plug_net_or_what_is_left_alone() -> None:
    data = plan_data()
    data["connector"]["belt"] = {"loom": "car", "out_of_scope": "pretensioner", "pin": {
        "1": {"function": "charge lamp", "signal": "signal", "fate": "keep", "known": "diagram"}}}
    session = Session.of_text(text_of(data))
    offered = [at for at, _ in join_choices(session, PinId("sensors", "3"))]
    assert offered[0].connector == "dash"  # another loom first: its own offers the same function only on its own net
    assert not {at.connector for at in offered} & {"sensors", "belt"}
    assert PinId("ecu", "9") not in offered
    assert [at for at, _ in join_choices(session, PinId("donor_bulkhead", "4"))][:2] == [
        PinId("dash", "4"), PinId("car_bulkhead", "4")]


def test_another_join_has_a_line_of_its_own_the_same_one_none() -> None:
    session = two_looms()
    for to in ("4", "4", "5"):
        set_fate(session, PinId("donor_bulkhead", "4"), "join", "", PinId("dash", to))
    assert [line.what.rpartition(": ")[2] for line in session.plan.change] == [
        "joined to dash pin 4", "joined to dash pin 5"]


def test_a_join_to_something_else_is_open_until_that_is_entered() -> None:
    session, at = two_looms(), PinId("donor_bulkhead", "4")
    set_fate(session, at, "join", "", PinId("dash", "4"))
    assert at not in {each.at for each in unknown_pins(session.plan)}
    set_fate(session, at, "join")
    assert at.of(session.plan).join_to is None
    assert [each.lacks for each in unknown_pins(session.plan) if each.at == at] == [("what it is joined to",)]
    session.undo()
    assert pin_at(session.plan, at.of(session.plan).join_to) == PinId("dash", "4")


def test_a_wire_made_longer_again_has_a_second_line_with_the_whole_length_added() -> None:
    session = two_looms()
    for distance in ("30 cm", "20 cm"):
        Lengthening(session, [AT], distance).take()
    assert [line.what.partition(": ")[2] for line in session.plan.change] == [
        "made longer, 0.3 m of wire added", "made longer, 0.5 m of wire added"]
