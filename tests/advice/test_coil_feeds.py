"""A proposal gives a thin coil wire a fuse of its own instead of a wire as thick as the fuse before it needs."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.document import PlanDocument
from fuseplan.workspace.proposals import with_needed
from tests.advice.worlds import example
from tests.checks.check_plans import BASE
from tests.laws.test_coil_wires import PUMP, THIN, data
from tests.laws.test_silence_never_helps import GOOD
from tests.plans import cabin_wire, circuit_text, fuse, load

CHECKS = ("fuse-exceeds-wire", "thinner-wire-unprotected", "no-trip-far-end", "no-fuse")


def proposed(plan: dict[str, Any], circuit: str | None = None) -> Proposal:
    found = Plan.model_validate(plan)
    return propose(found, limit_set(found.vehicle.limits), circuit, look_for_savings=False)


def about_coils(proposal: Proposal) -> list[str]:
    return [each.check for each in proposal.after.findings if each.check in CHECKS and "coil" in each.message]


def test_a_coil_wire_gets_a_fuse_of_its_own_and_keeps_its_size() -> None:
    proposal = proposed(data(wire_86=[THIN], wire_85=[THIN]))
    changed = {each.path: each.new for each in proposal.changes}
    assert changed["circuit", "pump", "relay", "coil_feed"] == "thick_coils"
    assert changed["feed", "thick_coils"] == {"from": "thick", "zone": "cabin"}
    assert changed["feed", "thick_coils", "fuse"] == {"kind": "blade", "holder": "blade_in_line", "distance": "100 mm"}
    assert changed["feed", "thick_coils", "fuse", "rating"] == "5 A"
    assert not [path for path in changed if "wire_86" in path or "wire_85" in path]
    assert about_coils(proposal) == []


def test_the_fuse_of_coils_is_of_the_type_most_used_behind_their_feed_and_the_user_is_told_what_to_decide() -> None:
    plan = data(wire_86=[THIN])
    for number in ("4", "5"):
        plan["circuit"][f"other{number}"] = plan["circuit"]["pump"] | {
            "fuse": {"kind": "mini", "rating": "15 A", "position": number}}
    fuse = next(each for each in proposed(plan).changes if each.path == ("feed", "thick_coils", "fuse"))
    assert fuse.new == {"kind": "mini", "holder": "mini_in_line", "distance": "100 mm"}
    assert "your decision" in fuse.why


def test_a_proposal_that_is_written_opens_no_question() -> None:
    """But for when a fuse blows that no type with printed opening times can stand in for."""
    plans = [data(wire_86=[THIN], wire_85=[THIN]), data(wire_86=[THIN])]
    del plans[1]["feed"]["thick"]["fuse"], plans[1]["feed"]["bus"]["fuse"]
    for plan in plans:
        proposal = proposed(plan)
        assert any(each.path[0] == "feed" and len(each.path) == 2 for each in proposal.changes)
        before = {(each.kind, each.subject) for each in assess(Plan.model_validate(plan)).not_said}
        opened = [each for each in proposal.after.not_said if (each.kind, each.subject) not in before]
        assert not [each for each in opened if each.kind != "clearing" or not each.detail.startswith("mega")]


def test_the_fuse_of_coils_takes_a_free_position_where_the_plan_has_one() -> None:
    """On the bus of their own feed, of a type for coils, with nothing in it; the smallest first."""
    plan = data(wire_86=[THIN])
    plan["fuse_box"] = {
        "elsewhere": {"feed": "bus", "position": {"E1": {"largest": "10 A"}}},
        "relays": {"feed": "thick", "name": "Relay box", "position": {
            "1": {"largest": "20 A"}, "10": {"largest": "5 A"}, "11": {"largest": "3 A"}, "12": {"kind": "maxi"},
            "13": {"largest": "15 A"}, "14": {"largest": "10 A", "kind": "mini"}}}}
    found = proposed(plan)
    assert found.plan.feed["thick_coils"].fuse is not None
    assert found.plan.feed["thick_coils"].fuse.position == "14"
    assert found.plan.feed["thick_coils"].fuse.kind == "mini"
    (fuse,) = [each for each in found.changes if each.path == ("feed", "thick_coils", "fuse")]
    assert "position 14 of Relay box is free" in fuse.why
    assert about_coils(found) == []
    assert not [each for each in found.after.findings if each.check == "wrong-fuse-position"
                and each.subject == "thick_coils"]
    for position in plan["fuse_box"]["relays"]["position"].values():
        position["kind"] = "maxi"
    held = proposed(plan).plan.feed["thick_coils"].fuse
    assert held is not None
    assert (held.position, held.holder is None) == (None, False)


def test_coil_wires_without_a_size_get_one_and_share_the_fuse_of_their_feed() -> None:
    bare = {key: value for key, value in THIN.items() if key != "size"}
    plan = data(wire_86=[bare], wire_85=[THIN])
    plan["circuit"]["other"] = plan["circuit"]["pump"] | {"fuse": {"kind": "blade", "rating": "15 A", "position": "2"}}
    changed = {each.path: each.new for each in proposed(plan).changes}
    assert changed["circuit", "pump", "relay", "wire_86", 0, "size"] == "0.5 mm2"
    assert {changed["circuit", name, "relay", "coil_feed"] for name in ("pump", "other")} == {"thick_coils"}


def test_an_unfused_coil_wire_is_fused() -> None:
    plan = data(wire_86=[THIN])
    del plan["feed"]["thick"]["fuse"], plan["feed"]["bus"]["fuse"]
    assert about_coils(proposed(plan)) == []


def test_a_proposal_for_one_circuit_adds_no_feed() -> None:
    assert not [each for each in proposed(data(wire_86=[THIN]), "pump").changes if each.path[0] == "feed"]


def test_no_coil_gets_another_feed_for_a_rating_that_is_given_up() -> None:
    """The fuse of the light switch would have to be larger to be selective, and its existing wire does not allow that:
    at the rating that stays its coil wires are protected as they are."""
    proposal = example("coupe_turbo")
    assert ("not-selective", "light_switch") in {(each.check, each.subject) for each in proposal.collisions}
    assert not [each.path for each in proposal.changes if each.path[0] == "feed"]


def test_a_new_feed_is_written_with_the_coil_that_needs_it() -> None:
    proposal = proposed(data(wire_86=[THIN], wire_85=[THIN]))
    (coil,) = [each for each in proposal.changes if each.path[-1] == "coil_feed"]
    needed = with_needed(proposal.changes, coil)
    assert {each.path for each in needed} >= {("feed", "thick_coils"), ("feed", "thick_coils", "fuse")}
    text = (BASE + PUMP).replace('coil_feed = "thick", ', 'coil_feed = "thick", wire_86 = [{ size = "0.5 mm2", '
                                 'length = "2 m", zone = "cabin", insulation = "pvc105" }], ')
    document = PlanDocument.from_text(text)
    document.change([(each.path, dict(each.new) if not isinstance(each.new, str) else each.new) for each in needed])
    assert document.plan.feed["thick_coils"].fuse is not None
    relay = document.plan.circuit["pump"].relay
    assert relay is not None
    assert relay.coil_feed == "thick_coils"


@pytest.mark.parametrize(("coils", "taken"), [
    ({"rating": "5 A"}, True), ({"rating": "40 A"}, False), ({"rating": "5 A", "live": ["running"]}, False)])
def test_the_coil_of_an_added_relay_is_fed_from_the_coils_of_its_feed(coils: dict[str, Any], taken: bool) -> None:
    """Where one is live with the load and has a fuse for coils; else from one that is added, as the fuse before the
    load's own feed is too large for a thin wire: safety would rest on a question that the proposal itself opens."""
    plan: Any = tomllib.loads(GOOD)
    plan["feed"]["coils"] = {"from": "bus", "zone": "cabin", "fuse": {
        "kind": "blade", "rating": coils["rating"], "distance": "100 mm"}} | ({"live": coils["live"]} if "live" in coils
                                                                              else {})
    del plan["circuit"]["fan"]["relay"]
    plan["circuit"]["fan"]["switch"] = {"rating": "5 A"}
    proposal = proposed(plan)
    change, = (each for each in proposal.changes if each.path == ("circuit", "fan", "relay"))
    assert isinstance(change.new, dict)
    assert change.new["coil_feed"] == ("coils" if taken else "bus_coils")
    needed = {each.path for each in with_needed(proposal.changes, change)}
    assert ({("feed", "bus_coils"), ("feed", "bus_coils", "fuse")} <= needed) != taken
    asked = [each for each in assess(proposal.plan).not_said if each.kind == "coil_wire" and each.safety]
    assert not [each for each in asked if each.subject == "fan"]


def test_a_coil_stays_on_a_feed_whose_fuse_is_small_enough() -> None:
    plan: Any = tomllib.loads(GOOD)
    plan["feed"]["small"] = {"from": "bus", "zone": "cabin", "fuse": {
        "kind": "blade", "rating": "10 A", "distance": "100 mm"}}
    del plan["circuit"]["fan"]["relay"]
    plan["circuit"]["fan"] |= {"feed": "small", "switch": {"rating": "5 A"}}
    added, = (each.new for each in proposed(plan).changes if each.path == ("circuit", "fan", "relay"))
    assert isinstance(added, dict)
    assert added["coil_feed"] == "small"


@pytest.mark.parametrize("role", ["fuel_pump", "injection", "heated_glass", "wipers"])
@pytest.mark.parametrize("coils", [True, False], ids=["a fuse for coils", "none"])
def test_the_coil_of_an_added_relay_stops_what_must_stop(role: str, coils: bool) -> None:
    """On the permanent feed of the load it left the pump running: the proposal then complained of its own relay."""
    ways = '\n[feed.coils]\nfrom = "ignition_bus"\nzone = "cabin"\n' \
        'fuse = { kind = "blade", rating = "5 A", distance = "100 mm" }\n' if coils else ""
    plan = tomllib.loads(BASE + ways + circuit_text(
        "part", load("9 A", at="13.5 V"), feed="bus", role=role, must_stop=["off", "accessory"],
        switch={"rating": "4 A"}, fuse=fuse("15 A"), wire=cabin_wire("2.5 mm2", "3 m")))
    proposal = proposed(plan)
    assert "live-when-off" in {each.check for each in proposal.before.findings}
    added, = (each.new for each in proposal.changes if each.path == ("circuit", "part", "relay"))
    assert isinstance(added, dict)
    assert added["coil_feed"] == ("coils" if coils else "ignition_bus_coils")
    assert "live-when-off" not in {each.check for each in proposal.after.findings}
