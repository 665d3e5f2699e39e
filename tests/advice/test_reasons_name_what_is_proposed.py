"""Why a wire changes is said by what the plan has and what is proposed, by no size or rating tried between."""

from __future__ import annotations

import re
from functools import cache

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.advice.edit import segment_key
from fuseplan.checks.assessment import assess
from fuseplan.engine.names import wire_words
from fuseplan.limits import limit_set
from fuseplan.papers.proposed_changes import reason_words
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.parts import Segment
from fuseplan.planfile.read import parse_plan
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from tests.advice.test_a_second_proposal_changes_nothing import car

SEEDS = (2, pytest.param(5, marks=pytest.mark.rest))


def thin(plan: Plan) -> Plan:
    """The same with 0.75 mm² in every wire of a circuit, of PVC for 70 °C in every second one, and no rating of its
    fuse."""
    def wire(part: tuple[Segment, ...], weak: bool) -> tuple[Segment, ...]:
        return tuple(each.model_copy(update={"size": WireSize.read("0.75 mm2"),
                                             **({"insulation": "pvc70"} if weak else {})}) for each in part)

    def circuit(number: int, each: Circuit) -> Circuit:
        fuse = None if each.fuse is None else each.fuse.model_copy(update={"rating": None})
        return each.model_copy(update={"wire": wire(each.wire, number % 2 == 0), "fuse": fuse,
                                       "earth_wire": wire(each.earth_wire, number % 2 == 0)})

    return plan.model_copy(update={"circuit": {name: circuit(number, each) for number, (name, each)
                                               in enumerate(plan.circuit.items())}})


@cache
def proposed(seed: int) -> Proposal:
    return propose(thin(car(seed)), limit_set("road"), look_for_savings=False)


@pytest.mark.parametrize("seed", SEEDS)
def test_sizes_are_those_of_the_plan_or_of_the_proposal(seed: int) -> None:
    found, seen = proposed(seed), 0
    said = [each.why for each in found.changes if each.path[-1] in ("size", "insulation")]
    network, before = found.after.results.network, found.before.results.network.segments
    for index, (owner, place) in enumerate(zip(network.segments.owner, network.segments.place, strict=True)):
        name = re.escape(wire_words(found.plan, owner, place))
        sizes = {str(each.segment[index].size) for each in (before, network.segments)}
        for why in said:
            for size in re.findall(rf"(?<!earth ){name} \(([\d.]+) mm²\)", why):
                assert f"{size} mm2" in sizes, why
                seen += 1
    assert seen > 10


@pytest.mark.parametrize("seed", SEEDS)
def test_a_fuse_for_which_a_wire_grows_is_the_one_proposed(seed: int) -> None:
    found = proposed(seed)
    results, seen = found.after.results, 0
    guards = {(*segment_key(results, index), "size"): int(guard)
              for index, guard in enumerate(results.network.segment_guard)}
    for change in found.changes:
        if change.path in guards and " fuse needs a wire rated for it" in change.why:
            rating = writing.rating(float(results.fusing.rating_a[guards[change.path]]))
            assert change.why.startswith((f"a {rating} fuse", f"an {rating} fuse")), change.path
            seen += 1
    assert seen > 2


def test_a_wire_that_is_overloaded_itself_is_told_so() -> None:
    """A finding of the way out names the way back as well, where both are too thin."""
    found, seen = proposed(5), 0
    network = found.after.results.network
    for change in found.changes:
        if change.path[-1] == "size" and change.check == "wire-overloaded":
            index = next(index for index in range(network.segments.count)
                         if (*segment_key(found.after.results, index), "size") == change.path)
            name = wire_words(found.plan, network.segments.owner[index], network.segments.place[index])
            assert name in change.why
            seen += 1
    assert seen > 0


def test_a_size_that_only_the_worst_case_asks_for_is_to_be_measured_first() -> None:
    """Where the wire fails as entered, too, a thinner one than is proposed ends that."""
    plan = parse_plan(BLOWER, "blower.toml")
    change = next(each for each in propose(plan, limit_set("road"), look_for_savings=False).changes
                  if each.path == ("circuit", "blower", "earth_wire", 0, "size"))
    assert (change.old, change.new) == ("1 mm2", "4 mm2")

    def levels(size: str) -> set[bool]:
        """Whether what is found of the drop is to be measured first."""
        thicker = parse_plan(BLOWER.replace('size = "1 mm2"', f'size = "{size}"'), "blower.toml")
        return {each.measure for each in assess(thicker, "road").findings if each.check == "voltage-drop"}

    assert (levels("1 mm2"), levels("2.5 mm2"), levels("4 mm2")) == ({False}, {True}, set())
    assert reason_words(change) == "voltage drop too high; measure first"
    assert "(4 mm²)" not in change.why


BLOWER = """
fuseplan = 1
[vehicle]
name = "car"
system = "12 V"
limits = "road"
[battery]
capacity = "60 Ah"
cold_crank = "540 A"
zone = "cabin"
[zone.cabin]
ambient = "45 degC"
[feed.post]
name = "Battery post"
zone = "cabin"
[feed.bus]
name = "Bus"
from = "post"
zone = "cabin"
fuse = { kind = "mega", rating = "100 A", blows_at = 3.5, zone = "cabin", distance = "100 mm" }
wire = [{ size = "25 mm2", length = "1.5 m", zone = "cabin", insulation = "xlpe125" }]
[earth.neg]
name = "Battery negative"
zone = "cabin"
[circuit.blower]
name = "Blower"
feed = "bus"
role = "other"
wire = [{ size = "6 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }]
fuse = { kind = "blade", rating = "20 A", distance = "100 mm" }
earth = "neg"
earth_wire = [{ size = "1 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }]
[[circuit.blower.load]]
name = "Blower motor"
current = "12 A"
at = "13.5 V"
kind = "resistive"
evidence = "measured"
"""
