"""What is proposed, against published tables and against sums done here."""

from __future__ import annotations

import numpy as np
import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.tables.ampacity import protector_rows
from tests.advice.worlds import around, one
from tests.plans import cabin_wire, circuit_text, fuse, load

ROAD = limit_set("road")


def new(proposal: Proposal, *path: str | int) -> object:
    """The value proposed at a path of circuit ``one``; None for no change."""
    found = [change.new for change in proposal.changes if change.path == ("circuit", "one", *path)]
    return found[0] if found else None


# A vehicle maker's body-builder manual, February 2015, table 1-158, read: load, fuse, least wire area, at 40 °C.
BODYBUILDER = [(3.5, 5, 0.5), (5, 7.5, 0.5), (7, 10, 0.85), (10.5, 15, 1.25), (14, 20, 2.0), (17.5, 25, 3.0),
               (21, 30, 5.0), (28, 40, 8.0)]


def exact(plan: Plan) -> Plan:
    """A plan whose measured currents are as entered: the 3 % they may be off would pass what a table prints."""
    return plan.model_copy(update={"tolerance": {"measured": 0.0}})


@pytest.mark.parametrize(("load_a", "fuse_a", "area_mm2"), BODYBUILDER)
def test_the_body_builder_table_is_proposed_row_by_row(load_a: float, fuse_a: float, area_mm2: float) -> None:
    plan = around(circuit_text("one", load(f"{load_a} A", inrush=1), fuse={"kind": "blade"},
                               wire=cabin_wire(None, "1 m", "etfe150")))
    rows = protector_rows("bodybuilder_2015")
    first = np.searchsorted(rows.load_a, load_a)
    assert (rows.fuse_a[first], rows.area_mm2[first]) == (fuse_a, area_mm2)
    proposal = propose(exact(plan), limit_set("bodybuilder"))
    assert new(proposal, "fuse", "rating") == f"{fuse_a:g} A"
    size = str(new(proposal, "wire", 0, "size"))
    # The next size sold in mm² (IEC 60228) from the printed least area up.
    sold = min(each for each in (0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10) if each >= area_mm2)
    assert size == f"{sold:g} mm2"


# 33 CFR 183.425 Table 5, 105 °C column, 30 °C: 16 AWG bears 25 A, 14 AWG 35 A; 183.460: a device of at most 150 %.
@pytest.mark.parametrize(("gauge", "current_a", "fuse_a"), [("16", 24.0, 25.0), ("14", 34.0, 35.0)])
def test_a_small_craft_fuse_may_be_150_per_cent_of_its_wire(gauge: str, current_a: float, fuse_a: float) -> None:
    plan = around(circuit_text("one", load(f"{current_a} A", use="intermittent", inrush=1), fuse=fuse(f"{fuse_a} A"),
                               wire=cabin_wire(f"AWG {gauge}", "0.5 m", "pvc105")))
    proposal = propose(exact(plan), limit_set("small_craft"))
    assert new(proposal, "wire", 0, "size") is None
    assert assess(plan, "small_craft").circuit("one").fuse.range_a.high >= current_a  # type: ignore[union-attr,operator]


def test_a_rating_and_a_size_left_out_are_the_smallest_that_do() -> None:
    """DIN VDE 0298-4:2023 table 11: 0.5 mm² 12 A, 0.75 mm² 15 A at 30 °C for 70 °C insulation, single wire; a fuse at
    25 °C carries 75 % of its rating for good: 6 A at 14.2 V asks for 8 A and, measured to 3 %, 8.24 A: 10 A."""
    proposal = propose(one(wire='colour = "RD"', length="1 m"), ROAD)
    assert new(proposal, "fuse", "rating") == "10 A"
    assert new(proposal, "wire", 0, "size") == "0.5 mm2"
    assert proposal.accepted, (proposal.collisions, [each.message for each in proposal.left])


def test_a_larger_fuse_takes_its_wire_along() -> None:
    """9 A ask for 12 A, 12.4 A at 3 %: a 15 A fuse, which 0.5 mm² (12 A) does not bear and 0.75 mm² (15 A) does."""
    proposal = propose(one(wire='size = "0.5 mm2"', fuse='fuse = { kind = "blade", rating = "10 A" }', current="9 A",
                           length="0.5 m"), ROAD)
    assert new(proposal, "fuse", "rating") == "15 A"
    assert new(proposal, "wire", 0, "size") == "0.75 mm2"
    assert proposal.accepted, (proposal.collisions, [each.message for each in proposal.left])


def test_a_kept_wire_is_never_changed_and_gets_a_smaller_fuse() -> None:
    proposal = propose(one(wire='size = "0.5 mm2", origin = "existing"', current="5 A", length="0.5 m",
                           fuse='fuse = { kind = "blade", rating = "20 A" }'), ROAD)
    assert new(proposal, "fuse", "rating") == "7.5 A"
    assert [change.path[-1] for change in proposal.changes] == ["rating"]
    assert proposal.accepted, (proposal.collisions, [each.message for each in proposal.left])


def test_limits_that_collide_are_named_and_the_kept_wire_is_guarded() -> None:
    """12 A ask for a fuse of 16 A; a kept 0.5 mm² bears 12 A (DIN VDE 0298-4 table 11): no fuse does both."""
    proposal = propose(one(wire='size = "0.5 mm2", origin = "existing"', current="12 A", length="0.5 m",
                           fuse='fuse = { kind = "blade", rating = "20 A" }'), ROAD)
    assert not proposal.accepted
    [collision] = [each for each in proposal.collisions if each.check == "fuse-too-small"]
    assert collision.against == "fuse-exceeds-wire"
    assert "is an existing wire" in collision.words
    assert new(proposal, "fuse", "rating") == "10 A"
    assert new(proposal, "wire", 0, "size") is None


def test_a_drop_is_cured_by_the_next_sizes_up() -> None:
    """2.5 mm² class 5 has 7.98 mΩ/m at 20 °C (IEC 60228, from memory), so 6 m and 10 A lose at least 0.48 V; a 6 mm²
    with 3.30 mΩ/m loses 0.20 V cold and stays below half a volt hot."""
    plan = one(wire='size = "2.5 mm2"', current="13 A", length="6 m", more='drop_class = "control"')
    assert "voltage-drop" in {finding.check for finding in assess(plan, "road").findings}
    proposal = propose(plan, ROAD)
    assert proposal.accepted, (proposal.collisions, [each.message for each in proposal.left])
    assert new(proposal, "wire", 0, "size") == "4 mm2"
    forced = [change for change in proposal.changes if change.path[-1] == "size"]
    assert [change.check for change in forced] == ["voltage-drop"]


def test_a_switch_that_cannot_bear_its_lamps_gets_a_relay() -> None:
    """FAA AC 43.13-1B table 11-4: lamps at 12 V ask for five times their current of a switch; 8 A for 40 A."""
    proposal = propose(one(current="8 A", kind="lamp", more='switch = { rating = "10 A" }'), ROAD)
    relay = new(proposal, "relay")
    assert isinstance(relay, dict)
    assert relay["coil_feed"] == "battery_post_coils"
    assert relay["suppression"] == "resistor"
    assert proposal.accepted, (proposal.collisions, [each.message for each in proposal.left])


def test_a_circuit_without_a_fuse_gets_one() -> None:
    proposal = propose(one(fuse=""), ROAD)
    assert new(proposal, "fuse") == {"kind": "blade", "distance": "100 mm"}
    assert new(proposal, "fuse", "rating") == "10 A"
    assert proposal.accepted, (proposal.collisions, [each.message for each in proposal.left])


def test_a_rating_past_its_type_takes_the_next_larger_type() -> None:
    """45 A ask for 60 A: standard blade fuses end at 40 A, maxi at 80 A (Littelfuse 297, 299 datasheets)."""
    proposal = propose(one(wire='size = "16 mm2"', current="45 A"), ROAD)
    assert new(proposal, "fuse", "kind") == "maxi"
    assert new(proposal, "fuse", "rating") == "70 A"


def test_what_no_size_cures_is_left_and_said() -> None:
    proposal = propose(around("""
[feed.dead]
from = "battery_post"
live = ["accessory"]
""" + circuit_text("one", load("2 A", kind="electronic"), feed="dead", must_run=["crank"], fuse=fuse("10 A"),
                   wire=cabin_wire("2.5 mm2", "1 m"))), ROAD)
    assert not proposal.changes
    assert not proposal.collisions
    assert not proposal.accepted
    assert "dead-when-needed" in {finding.check for finding in proposal.left}


def test_feeds_are_sized_from_the_leaves_to_the_root_and_straps_with_them() -> None:
    """Two circuits of 15 A ask 30 A of their feed: 30 / 0.75 = 40 A, at 3 % 41.2 A, so a 50 A maxi fuse. DIN VDE
    0298-4:2023 table 11, 30 °C: 4 mm² bears 42 A, 6 mm² 54 A; at 25 °C √(45/40) times that: 44.5 A and 57.3 A. The
    strap carries 30.9 A: 1.5 mm² bears 24 A (25.5 A), 2.5 mm² 32 A (33.9 A)."""
    circuits = "".join(circuit_text(name, load("15 A", inrush=1, when=["night"]), feed="bus", earth="stud",
                                    fuse={"kind": "blade"}, wire=cabin_wire(None, "0.5 m")) for name in ("one", "two"))
    plan = around("""
[feed.bus]
from = "battery_post"
fuse = { kind = "maxi" }
zone = "cabin"
wire = [{ length = "0.3 m", zone = "cabin", insulation = "pvc70" }]
[earth.stud]
to = "battery_negative"
zone = "cabin"
wire = [{ length = "0.2 m", zone = "cabin", insulation = "pvc70" }]
""" + circuits)
    proposal = propose(plan, ROAD)
    found = {change.path: change.new for change in proposal.changes}
    assert found["feed", "bus", "fuse", "rating"] == "50 A"
    assert found["feed", "bus", "wire", 0, "size"] == "6 mm2"
    assert found["earth", "stud", "wire", 0, "size"] == "2.5 mm2"
    assert not proposal.collisions


THIN_BUS = """
[feed.bus]
from = "battery_post"
zone = "cabin"
fuse = { kind = "maxi", rating = "60 A" }
wire = [{ size = "4 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }]
""" + circuit_text(
    "lamps", load("9 A", at="13.5 V", kind="lamp", when=["night"]), feed="bus", drop_class="control", fuse=fuse("15 A"),
    wire=cabin_wire("2.5 mm2", "2 m", "pvc105"),
) + circuit_text(
    "heater", load("24 A", at="13.5 V", when=["cabin"]), feed="bus", fuse=fuse("40 A", "maxi"),
    wire=cabin_wire("10 mm2", "2 m", "pvc105"),
)


def test_a_drop_is_cured_once_wires_have_grown_for_their_fuses() -> None:
    """The bus must grow for the 50 A fuse its load needs: 6 mm² carries 50 A (a British cable dealer's table). Then the
    lamps' own wire loses little enough as it is."""
    plan = exact(around(THIN_BUS))
    assert [each.check for each in assess(plan, "road").findings if each.subject == "lamps"].count("voltage-drop") == 1
    found = propose(plan, limit_set("road"))
    sizes = {change.path[:2]: change.new for change in found.changes if change.path[-1] == "size"}
    assert sizes == {("feed", "bus"): "6 mm2"}
    assert not [each for each in found.after.findings if each.check == "voltage-drop" and not each.measure]


def test_no_wire_grows_so_that_fuses_are_selective() -> None:
    """A 60 A maxi would be selective, and asks for 10 mm²: the 50 A one stays, and below it goes a quicker one, as
    `check` names."""
    found = propose(exact(around(THIN_BUS)), limit_set("road"))
    changes = {change.path: change.new for change in found.changes}
    assert not [change for change in found.changes if change.path[-1] == "size" and change.check == "not-selective"]
    assert changes["feed", "bus", "fuse", "rating"] == "50 A"
    kind = changes.pop(("circuit", "lamps", "fuse", "kind"))
    assert not [each for each in found.after.findings if each.check == "not-selective"]
    as_it_was = assess(changed(found.plan, {("circuit", "lamps", "fuse", "kind"): "blade"}), "road")
    [left] = [each for each in as_it_was.findings if each.check == "not-selective"]
    assert f"fit a 15 A {kind} blade fuse at lamps" in left.fix


@pytest.mark.parametrize(("place", "hot"), [("bay", True), ("cabin", False)])
def test_a_fuse_that_is_larger_for_the_heat_of_its_place_says_so(place: str, hot: bool) -> None:
    fan = circuit_text("fan", load("20 A", at="13.5 V", when=["engine"]), fuse={"kind": "maxi", "zone": place},
                       wire=cabin_wire("10 mm2", "1 m", "pvc105"))
    plan = around(fan + '[zone.bay]\nambient = "95 degC"\n')
    [rating] = [change for change in propose(plan, limit_set("road")).changes if change.path[-1] == "rating"]
    assert rating.aside.startswith("derated for 95") is hot
    assert (rating.aside in rating.why and "would do" in rating.aside) or not hot


def test_a_size_left_open_is_for_no_larger_fuse_than_a_size_given_allows() -> None:
    """A wire of given size grows for the load as entered alone; one whose size is left open grew for the fuse that the
    worst case asks for, which the other does not allow."""
    plan = around(circuit_text("one", load("49 A", tolerance=0.1), fuse={"kind": "maxi"},
                               wire=cabin_wire("10 mm2", "1 m"), earth_wire=cabin_wire(None, "1 m", "xlpe125")))
    found = propose(plan, ROAD)
    assert new(found, "fuse", "rating") == "70 A"
    assert new(found, "earth_wire", 0, "size") == "10 mm2"
    assert new(found, "wire", 0, "size") is None
