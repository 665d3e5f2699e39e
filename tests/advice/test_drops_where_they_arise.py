"""A drop is cured where it arises: a circuit's own wire grows by two sizes at most for one that most arises in what it
shares; and where nothing may grow, the proposal says where the volts are lost."""

from __future__ import annotations

import re

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.checks.assessment import assess
from fuseplan.checks.drop_sizes import COUNTED_MM2, LARGEST_TIMES
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from tests.advice.worlds import around, example, one
from tests.plans import cabin_wire, circuit_text, fuse, load

ROAD = limit_set("road")
SIZES = ["0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95", "120"]


def behind_a_bus(metres: float, origin: str, branch: str = "1.5 mm2") -> Plan:
    """Four loads of 6 A, each 2 m from the end of a bus of 6 mm² that may be kept."""
    text = f"""
[feed.bus]
from = "battery_post"
zone = "cabin"
fuse = {{ kind = "maxi", rating = "40 A" }}
wire = [{{ size = "6 mm2", length = "{metres} m", zone = "cabin", insulation = "pvc105", origin = "{origin}" }}]
"""
    for number in range(4):
        text += circuit_text(f"load_{number}", load("6 A"), feed="bus", drop_class="control",
                             fuse=fuse("10 A"), wire=cabin_wire(branch, "2 m", "pvc105"))
    return around(text)


def steps(proposal: Proposal, before: str) -> list[int]:
    found = [change for change in proposal.changes if change.path[0] == "circuit" and change.path[-1] == "size"]
    return [SIZES.index(str(change.new).split()[0]) - SIZES.index(before) for change in found]


@pytest.mark.parametrize("metres", [1.0, 5.0, 8.0])
def test_a_shared_drop_is_cured_in_the_bus_not_in_every_branch(metres: float) -> None:
    proposal = propose(behind_a_bus(metres, "new"), ROAD)
    assert all(each <= 2 for each in steps(proposal, "1.5"))
    grown = [change for change in proposal.changes if change.path[:2] == ("feed", "bus")]
    assert bool(grown) == (metres > 4.0)
    assert not proposal.collisions


def test_a_kept_bus_does_not_thicken_the_branches_without_end_and_is_named() -> None:
    """7 m of 6 mm² (3.3 mΩ/m, IEC 60228, from memory) and 24 A lose 0.55 V: more than is allowed before the branches
    lose anything."""
    proposal = propose(behind_a_bus(7.0, "existing"), ROAD)
    assert all(each <= 2 for each in steps(proposal, "1.5"))
    drops = [each for each in proposal.collisions if each.check in ("voltage-drop", "low-lamp-voltage")]
    assert drops
    for each in drops:
        assert each.against == "a wire that stays"
        assert "the wire to bus (6 mm²) is kept" in each.words


def test_every_collision_of_the_example_names_what_stands_against_it() -> None:
    proposal = example("coupe_turbo")
    assert proposal.collisions
    for each in proposal.collisions:
        assert re.search("is kept|existing wire|joint, contact|no size that may be fitted|no larger rating is sold",
                         f"{each.against} {each.words}"), each.words
        assert each.fix


@pytest.mark.parametrize(("metres", "cured"), [(30, True), (60, True), (66, True), (80, True), (98, False)])
def test_no_wire_grows_without_end_for_a_drop(metres: int, cured: bool) -> None:
    """What six times 1 mm² does not cure is left and said; the check names no size that is not proposed."""
    plan = one(wire='size = "0.75 mm2"', fuse='fuse = { kind = "blade", rating = "2 A" }', current="1.45 A",
               length=f"{metres} m")
    proposal = propose(plan, ROAD)
    grown = [float(str(change.new).split()[0]) for change in proposal.changes if change.path[-1] == "size"]
    assert all(each <= COUNTED_MM2 * LARGEST_TIMES * 1.001 for each in grown)
    assert bool(grown) == cured
    assert {each.check for each in proposal.collisions} == (set() if cured else {"voltage-drop"})
    before = next(each for each in assess(plan, "road").findings if each.check == "voltage-drop")
    assert [value for _, value in before.values] == [change.new for change in proposal.changes
                                                     if change.path[-1] == "size"]
    assert ("shorten the run" in before.fix) == (not cured)


@pytest.mark.parametrize(("current", "rating", "size", "length", "cured"), [
    ("11 A", "15 A", "2.5 mm2", "9 m", True), ("7 A", "10 A", "1.5 mm2", "18 m", True),
    ("7 A", "10 A", "0.75 mm2", "18 m", True), ("11 A", "15 A", "2.5 mm2", "19 m", False)])
def test_a_wire_for_a_usual_fuse_is_not_said_to_be_past_cure(current: str, rating: str, size: str, length: str,
                                                             cured: bool) -> None:
    """6 mm² is fitted to a fridge of 11 A on 15 A: what the check names is enough, and where it names no size, none up
    to 6 mm² is."""

    def drop_at(size: str) -> Finding | None:
        plan = one(wire=f'size = "{size}"', fuse=f'fuse = {{ kind = "blade", rating = "{rating}" }}', current=current,
                   length=length)
        return next((each for each in assess(plan, "road").findings if each.check == "voltage-drop"), None)

    found = drop_at(size)
    assert found is not None
    assert (drop_at("6 mm2") is None) == cured
    assert [value for _, value in found.values] == (["6 mm2"] if cured else [])
    assert ("more than 6 times what its fuse asks for" in found.fix) == (not cured)


@pytest.mark.parametrize("size", ["1.5 mm2", "4 mm2"])
@pytest.mark.parametrize("rating", ["10 A", "15 A", "30 A"])
def test_a_fuse_too_small_for_its_load_makes_no_wire_past_cure(rating: str, size: str) -> None:
    """21 A ask for 30 A, whatever fuse stands before the wire now: the same size is named."""
    plan = one(wire=f'size = "{size}"', fuse=f'fuse = {{ kind = "blade", rating = "{rating}" }}', current="21 A",
               length="8 m")
    found = next(each for each in assess(plan, "road").findings if each.check == "voltage-drop")
    assert [value for path, value in found.values if path.endswith(".size")] == ["10 mm2"]


def test_a_long_earth_wire_is_shortened_and_no_joint_cleaned() -> None:
    """12 A through 12 m of 1 mm² loses some 2.5 V, and a clean joint some mV; the earth point is to be near the load,
    not near the battery."""
    plan = around(circuit_text("one", load("12 A"), fuse=fuse("15 A"), wire=cabin_wire("4 mm2", "1 m"),
                               earth_wire=cabin_wire("1 mm2", "12 m")))
    [found] = [each for each in assess(plan).findings if each.check == "voltage-drop"]
    assert "earth the load at a nearer point, by a shorter wire" in found.fix
    assert "joints" not in found.fix
