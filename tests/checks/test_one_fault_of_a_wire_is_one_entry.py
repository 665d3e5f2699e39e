"""What is wrong with the wire out and the wire back of one circuit is one entry. A wire that its fuse does not protect
is one, whichever checks find it: all name the same fix, and with that entered none of them finds it any more."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from fuseplan.papers.action import action
from fuseplan.papers.findings import finding_lines
from fuseplan.papers.paper import Table, Wishes
from fuseplan.papers.sheets import circuit_sheets, summary
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from tests.checks.check_plans import BASE
from tests.laws.test_a_fix_changes_something import fixed
from tests.plans import circuit_text, load, plan_of

TOO_LARGE = {"fuse-exceeds-wire", "thinner-wire-unprotected", "wire-damaged-by-short"}
OF_A_WIRE = {*TOO_LARGE, "wire-overloaded", "fuse-too-small"}
THIN, SMALL, THICK = "0.35 mm2", "0.5 mm2", "2.5 mm2"


def seat(*figures: str, back: str, **more: Any) -> Plan:
    """The plan of such a circuit."""
    return Plan.model_validate(seat_data(*figures, back=back, **more))


def seat_data(amperes: str, fuse_a: str, *sizes: str, back: str, kind: str = "blade", **more: Any) -> dict[str, Any]:
    """One circuit on the bus: its wire in lengths of these sizes, the wire back, and further keys."""
    def length(size: str, metres: str) -> dict[str, Any]:
        return {"size": size, "length": metres, "zone": "cabin", "insulation": "pvc105"}

    return tomllib.loads(BASE.replace('"strip"', '"maxi"') + circuit_text(
        "seat", load(amperes), feed="bus", earth="body", role="comfort", drop_class="control",
        fuse={"kind": kind, "rating": fuse_a, "distance": "80 mm"},
        wire=[length(size, "1 m") for size in sizes], earth_wire=[length(back, "0.5 m")], **more))


@pytest.mark.parametrize(("plan", "words"), [
    (seat("2 A", "30 A", SMALL, back=SMALL), "fit 5 A"),
    (seat("9 A", "30 A", SMALL, back=SMALL), "and then 15 A"),
    (seat("8 A", "15 A", THICK, back=SMALL), "fit 1 mm² in place of the earth wire of"),
    (seat("8 A", "15 A", THICK, SMALL, back=THICK), "fit 1 mm² in place of wire 2"),
], ids=["smaller fuse", "thicker wires and a smaller fuse", "thin wire back", "thin second length"])
def test_a_wire_behind_too_large_a_fuse_is_one_entry_whose_fix_removes_it(plan: Plan, words: str) -> None:
    found = assess(plan).findings
    entry = [number for number, each in enumerate(found) if each.check in TOO_LARGE and each.subject == "seat"]
    assert len(entry) > 1
    (lead,) = {number if found[number].cause is None else found[number].cause for number in entry}
    assert lead is not None
    assert words in found[lead].fix
    assert {found[number].fix for number in entry} == {found[lead].fix}
    after = fixed(plan, found[lead])
    assert not [each for each in after.findings if each.check in TOO_LARGE]


@pytest.mark.parametrize(("sizes", "back"), [((THIN,), THICK), ((THICK, THIN), THIN), ((THIN, THICK), THIN)])
def test_so_is_one_thinner_than_any_on_file(sizes: tuple[str, ...], back: str) -> None:
    plan = seat("3.9 A", "20 A", *sizes, back=back)
    found = assess(plan).findings
    entry = [number for number, each in enumerate(found) if each.check in TOO_LARGE and each.subject == "seat"]
    assert {found[number].check for number in entry} >= {"fuse-exceeds-wire", "wire-damaged-by-short"}
    assert len({number if found[number].cause is None else found[number].cause for number in entry}) == 1
    after = propose(plan, limit_set("road"), look_for_savings=False).after
    assert not [each for each in after.findings if each.check in TOO_LARGE]


@pytest.mark.parametrize(("amperes", "fuse_a", "size"), [
    ("22 A", "15 A", "1 mm2"), ("40 A", "15 A", "1.5 mm2"), ("95 A", "30 A", "6 mm2")])
def test_a_load_too_large_for_wires_and_fuse_is_one_entry_that_its_wire_leads(amperes: str, fuse_a: str, size: str
                                                                              ) -> None:
    """A wire that its load makes too hot for any short is not told a smaller fuse."""
    found = assess(seat(amperes, fuse_a, size, back=size)).findings
    entry = [number for number, each in enumerate(found) if each.subject == "seat" and each.level != "advice"]
    assert {found[number].check for number in entry} == {
        "wire-overloaded", "wire-damaged-by-short", "fuse-too-small", "voltage-drop"}
    (lead,) = {number if found[number].cause is None else found[number].cause for number in entry}
    assert lead is not None
    assert found[lead].check == "wire-overloaded"
    named = re.match(r"fit ([\d.]+ mm)² in place of the wire of .* and (?:([\d.]+ mm)² in place )?of the earth wire "
                     r".*, and then (?:a )?([\d.]+ A)(?: (\w+))?", found[lead].fix)
    assert named is not None
    after = assess(seat(amperes, named[3], f"{named[1]}2", back=f"{named[2] or named[1]}2", kind=named[4] or "blade"))
    assert not [each for each in after.findings if each.check in OF_A_WIRE and each.subject == "seat"]


def test_the_coil_wires_of_one_relay_are_one_entry_and_none_is_told_a_fuse_in_its_earth() -> None:
    wire = [{"size": "1 mm2", "length": "0.4 m", "zone": "cabin", "insulation": "pvc105"}]
    found = assess(seat("2 A", "5 A", THICK, back=THICK, relay={
        "contact": "mini_40", "coil_feed": "bus", "driver": "switch", "coil_earth": "body", "suppression": "diode",
        "wire_before": 0, "wire_86": wire, "wire_85": wire})).findings
    entry = [number for number, each in enumerate(found) if "coil wire" in each.message and each.level == "danger"]
    assert {found[number].check for number in entry} == TOO_LARGE
    assert len({number if found[number].cause is None else found[number].cause for number in entry}) == 1
    assert all("coil wire from terminal 85 of seat starts" not in found[number].fix for number in entry)


def test_a_smaller_fuse_that_is_enough_leaves_the_wires_as_they_are() -> None:
    proposal = propose(seat("2 A", "30 A", SMALL, back=SMALL), limit_set("road"), look_for_savings=False)
    assert "rating" in {change.path[-1] for change in proposal.changes if change.path[:2] == ("circuit", "seat")}
    assert "size" not in {change.path[-1] for change in proposal.changes}
    assert not [each for each in proposal.after.findings if each.check in TOO_LARGE]


@pytest.mark.parametrize("place_c", [60, 70, 80])
def test_insulation_too_weak_for_the_place_of_a_circuit_is_one_entry(place_c: int) -> None:
    data = seat_data("2 A", "5 A", THICK, back=THICK)
    data["zone"]["boot"] = {"ambient": f"{place_c} degC"}
    for wire in (data["circuit"]["seat"]["wire"], data["circuit"]["seat"]["earth_wire"]):
        wire[0] |= {"insulation": "pvc70", "zone": "boot"}
    found = assess(Plan.model_validate(data)).findings
    leading = [each for each in found if each.cause is None and each.subject == "seat" and not each.measure
               and each.fields[0].endswith(".insulation")]
    assert len(leading) == 1
    assert "for both wires of seat there" in leading[0].fix


@pytest.mark.parametrize("insulation", ["pvc70", "rubber60", None])
@pytest.mark.parametrize("fuse", [{"rating": "5 A"}, {"rating": "2 A"}, {}])
@pytest.mark.parametrize("amperes", ["2 A", "12 A"])
def test_a_wire_that_carries_nothing_where_it_is_is_led_by_its_insulation(
        insulation: str | None, fuse: dict[str, str], amperes: str) -> None:
    """Nobody is told of a limit of 0 A: its temperature and that of its place say what is wrong."""
    data = seat_data(amperes, "5 A", THICK, back=THICK)
    data["circuit"]["seat"]["fuse"] = {"kind": "blade", "distance": "80 mm", **fuse}
    data["zone"]["boot"] = {"ambient": "90 degC"}
    wire = data["circuit"]["seat"]["wire"][0] | {"zone": "boot", "insulation": insulation}
    data["circuit"]["seat"]["wire"] = [{key: value for key, value in wire.items() if value is not None}]
    found = assess(Plan.model_validate(data)).findings
    assert [each for each in found if each.limit == 0.0]
    assert not [each.message for each in found if each.limit == 0.0 and each.cause is None]
    (lead,) = (each for each in found if each.check == "insulation-too-weak")
    assert lead.follows
    assert lead.fix.startswith("insulation ") or insulation is None
    assert lead.fix.startswith("state its insulation (taken as pvc70); if it is that, insulation ") or insulation


def test_what_follows_from_another_finding_is_told_no_fix_beside_that_of_its_cause() -> None:
    """A short at the end of a wire far too thin also blows its fuse too late: less resistance is not asked for beside
    the thicker wire."""
    assessment = assess(seat("24 A", "30 A", *[SMALL] * 30, back=THICK))
    follower = next(each for each in assessment.findings if each.check == "no-trip-far-end")
    assert follower.cause is not None
    assert "reduce the loop resistance" in follower.fix, "the plan of this test"
    lines = finding_lines(follower, assessment, 500)
    assert not [line for line in lines if follower.fix in line]
    told, = (line for line in lines if line.strip().startswith("Fix"))
    assert f"first what {assessment.findings[follower.cause].check} asks for at circuit seat, then check again" in told
    written = [table.rows for sheet in (summary, circuit_sheets) for table in sheet.SHEET.blocks(assessment, Wishes())
               if isinstance(table, Table) and table.name == "findings"]
    assert written
    assert "reduce the loop resistance" not in str(written)


def test_a_drop_of_which_some_is_left_with_the_wire_of_another_fault_stands_for_itself() -> None:
    """30 m lose too much in any size that may be fitted, also in that which load and fuse ask for."""
    found = assess(seat("24 A", "30 A", *[SMALL] * 30, back=THICK)).findings
    drop = next(each for each in found if each.check == "voltage-drop" and not each.measure)
    assert drop.cause is None
    assert drop.fix.startswith("fit 6 mm² in place of ")
    assert "and then shorten the run" in drop.fix


def test_what_follows_in_the_wire_back_is_told_the_fix_of_both_wires() -> None:
    assessment = assess(seat("95 A", "30 A", "6 mm2", back="6 mm2"))
    follower, = (each for each in assessment.findings if each.check == "voltage-drop" and "earth-side" in each.message)
    assert follower.fields[0].startswith("circuit.seat.earth_wire.")
    told, = (line for line in finding_lines(follower, assessment, 500) if line.strip().startswith("Fix"))
    assert "first what wire-overloaded asks for at circuit seat, then check again" in told


def test_what_follows_keeps_its_own_fix_where_that_is_about_no_size() -> None:
    """The battery also discharges at idle where the alternator is too small: a higher idle speed helps."""
    assessment = assess(Plan.model_validate(seat_data("80 A", "100 A", "50 mm2", back="50 mm2")))
    followers = [each for each in assessment.findings
                 if each.check == "discharge-while-running" and each.cause is not None]
    assert followers
    for each in followers:
        assert any(each.fix in line for line in finding_lines(each, assessment, 500))


def test_what_follows_keeps_its_own_fix_where_that_of_its_cause_names_nothing_for_it() -> None:
    """A thicker wire does not carry what is too much for the ammeter in it."""
    data = seat_data("30 A", "40 A", "10 mm2", back="10 mm2")
    data["feed"]["bus"] |= {"ammeter": {"scale": "10 A"}, "wire": [
        {"size": "1 mm2", "length": "1 m", "zone": "cabin", "insulation": "pvc105"}]}
    assessment = assess(Plan.model_validate(data))
    followers = [each for each in assessment.findings if each.cause is not None and each.subject == "bus"
                 and "ammeter" in each.message]
    assert followers
    for each in followers:
        assert any(each.fix in line for line in finding_lines(each, assessment, 500))


def test_no_one_change_is_said_to_do_where_the_fix_of_the_cause_has_two() -> None:
    data = tomllib.loads((Path(__file__).parents[2] / "examples" / "track_car.toml").read_text(encoding="utf-8"))
    for name in ("shell", "front_stud", "rear_stud"):
        data["earth"][name] |= {"resistance": "5 mohm", "wire": [
            {"size": "6 mm2", "length": "1 m", "zone": "cockpit", "insulation": "xlpe125"}]}
    assessment = assess(plan_of(data))
    told = [line.strip() for each in assessment.findings
            if each.cause is not None and "; and fit " in assessment.findings[each.cause].fix
            for line in finding_lines(each, assessment, 500) if line.strip().startswith("Cause")]
    assert told
    assert all(line.endswith(": its fix removes both") for line in told)


def test_the_first_page_says_what_a_thinner_cable_needs_not_half_of_why_no_fuse_fits() -> None:
    data = tomllib.loads((shipped_folder("examples") / "boot_battery.toml").read_text(encoding="utf-8"))
    del data["feed"]["front_stud"]["fuse"]
    data["circuit"]["starter"]["wire"][0] |= {"size": "35 mm2", "cover": None}
    found, = (each for each in assess(plan_of(data)).findings if each.check == "thinner-wire-unprotected")
    assert "no fuse that is sold" in found.fix
    assert action(found) == "fit the same size all the way, and a fuse where it starts"


def test_of_a_circuit_without_a_fuse_its_wires_follow_from_the_fuse_that_is_named_with_them() -> None:
    data = seat_data("20 A", "15 A", "1 mm2", back="1 mm2")
    del data["circuit"]["seat"]["fuse"]
    data["feed"]["bus"]["fuse"]["rating"] = "50 A"
    found = assess(Plan.model_validate(data)).findings
    leader, = (each for each in found if each.cause is None and each.level == "danger")
    assert "of its own of" in leader.fix
    overloaded = [each for each in found if each.check == "wire-overloaded"]
    assert {each.part for each in overloaded} == {"wire.0", "earth_wire.0"}
    assert all(each.cause is not None and found[each.cause] is leader for each in overloaded)
    named = re.match(r"fit ([\d.]+ mm)² in place of the wire of .* and of the earth wire .*, and then a fuse of its "
                     r"own of ([\d.]+ A)", leader.fix)
    assert named is not None
    data = seat_data("20 A", named[2], f"{named[1]}2", back=f"{named[1]}2")
    data["feed"]["bus"]["fuse"]["rating"] = "50 A"
    left = {each.identity for each in assess(Plan.model_validate(data)).findings if not each.measure}
    assert not left & {each.identity for each in (leader, *map(found.__getitem__, leader.follows))}
