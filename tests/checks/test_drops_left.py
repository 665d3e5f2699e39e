"""What a drop asks for beside the other faults of a car: what those bring with them is not asked for twice."""

from __future__ import annotations

from pathlib import Path

import pytest

from fuseplan.advice import propose
from fuseplan.advice.edit import changed
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.drops_left import is_a_drop
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.plan.putting import put
from fuseplan.planfile.read import parse_plan, read_plan
from fuseplan.quantities.amounts import LENGTH, amount
from tests.advice.test_a_second_proposal_changes_nothing import car
from tests.checks import check_plans
from tests.laws.test_one_size_for_a_wire import mended, thin_car


def led_by_another(found: Assessment) -> list[Finding]:
    """The drops that follow from a fault that is none."""
    return [each for each in found.findings if is_a_drop(each) and not each.measure and each.cause is not None
            and not is_a_drop(found.findings[each.cause])]


@pytest.mark.parametrize("seed", range(6))
def test_a_drop_under_another_fault_is_gone_with_what_the_faults_ask_for(seed: int) -> None:
    plan = thin_car(seed)
    found = assess(plan)
    left = {each.identity for each in mended(plan, found).findings if not each.measure}
    assert [each.fix for each in led_by_another(found) if each.identity in left and each.values] == []


def test_some_drops_follow_from_other_faults() -> None:
    assert sum(len(led_by_another(assess(thin_car(seed)))) for seed in range(6)) >= 3


def thin_feed(seed: int) -> Plan:
    """A car whose bus hangs on a wire and a fuse far too small for it."""
    plan = changed(car(seed), {("feed", "main_bus", "wire", 0, "size"): "10 mm2",
                               ("feed", "main_bus", "fuse", "rating"): "50 A"})
    return put(plan, ("feed", "main_bus", "wire", 0, "length"), amount("3 m", LENGTH))


@pytest.mark.parametrize("seed", [2, 3, 4, 5])
def test_a_check_names_of_a_thin_feed_what_a_proposal_fits(seed: int) -> None:
    """Less is lost in the wire and in the fuse that its load asks for: no drop makes them larger still where the rest
    of it is gone with those."""
    plan = thin_feed(seed)
    found, after = assess(plan), propose(plan, limit_set("road"), look_for_savings=False).after
    keys = ("feed.main_bus.wire.0.size", "feed.main_bus.fuse.rating")
    asked = {path: value for each in found.findings if not each.measure for path, value in each.values if path in keys}
    feed = after.plan.feed["main_bus"]
    assert feed.fuse is not None
    assert asked == dict(zip(keys, (str(feed.wire[0].size), str(feed.fuse.rating)), strict=True))


@pytest.mark.parametrize("seed", [2, 3, 4, 5])
def test_what_a_thin_feed_takes_from_its_loads_is_told_with_it(seed: int) -> None:
    findings = assess(thin_feed(seed)).findings
    leader = next(number for number, each in enumerate(findings) if each.check == "feed-overloaded")
    left = {each.identity for each in mended(thin_feed(seed), assess(thin_feed(seed))).findings if not each.measure}
    drops = [each for each in findings if is_a_drop(each) and not each.measure]
    assert drops
    assert [each.fix for each in drops if (each.cause == leader) is (each.identity in left)] == []


@pytest.mark.parametrize("name", ["back-feed", "fuse-voltage-too-low", "improbable-figure"])
def test_a_voltage_that_rests_on_no_resistance_is_no_drop(name: str) -> None:
    """No thicker wire takes any of it away, and its fix stands as its check says it."""
    found = [each for each in check_plans.failed(name).findings if each.check == name]
    assert found
    assert not [each for each in found if is_a_drop(each)]


HOT = """
fuseplan = 1
[vehicle]
name = "t"
system = "12 V"
limits = "road"
[battery]
capacity = "60 Ah"
cold_crank = "540 A"
zone = "bay"
[zone.cabin]
ambient = "45 degC"
[zone.bay]
ambient = "85 degC"
[zone.hot]
ambient = "110 degC"
[zone.warm]
ambient = "92 degC"
[zone.vhot]
ambient="130 degC"
[zone.w93]
ambient="93 degC"
[feed.post]
name = "Battery post"
zone = "bay"
[feed.bus]
name = "Bus"
from = "post"
zone = "cabin"
fuse = { kind = "mega", rating = "100 A", blows_at = 3.5, zone = "bay", distance = "100 mm" }
wire = [{ size = "25 mm2", length = "1.5 m", zone = "bay", insulation = "xlpe125" }]
[feed.ign]
name = "Ignition bus"
from = "bus"
zone = "cabin"
live = ["ignition","crank","running"]
switch = { rating = "60 A" }
fuse = { kind = "maxi", rating = "50 A", distance = "100 mm" }
wire = [{ size = "16 mm2", length = "0.3 m", zone = "cabin", insulation = "xlpe125" }]
[earth.neg]
name = "Battery negative"
zone = "bay"
[earth.body]
name = "Body"
to = "neg"
zone = "cabin"
wire = [{ size = "25 mm2", length = "0.5 m", zone = "bay", insulation = "xlpe125" }]
[circuit.aa]
name = "aa"
feed = "ign"
role = "other"
wire = [{ size = "1 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" },
        { size = "2.5 mm2", length = "2 m", zone = "w93", insulation = "pvc105" }]
earth = "body"
earth_wire = [{ size = "1 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }]
[[circuit.aa.load]]
name = "aa load"
current = "12 A"
at = "13.5 V"
kind = "resistive"
evidence = "measured"
"""


def test_a_wire_of_which_another_insulation_is_asked_for_is_not_told_by_its_own_size() -> None:
    """Wire 2 keeps its 2.5 mm²: nothing of the drop is mended in it."""
    drops = [each for each in assess(parse_plan(HOT)).findings if is_a_drop(each)]
    assert drops
    assert not [each.fix for each in drops if "in place of wire 2 of 'aa'" in each.fix]


def test_a_fuse_of_a_larger_type_that_a_feed_asks_for_counts_among_what_is_mended() -> None:
    """The 40 A of a bus lose more than its larger fuse will: the wire of the fan on it grows no more for that than a
    proposal makes it."""
    plan = read_plan(Path(__file__).parents[1] / "tui" / "car.toml")
    after = propose(plan, limit_set("road"), look_for_savings=False).after
    path = "circuit.fan.wire.0.size"
    named = {size for each in assess(plan).findings if not each.measure for where, size in each.values if where == path}
    assert named == {str(after.plan.circuit["fan"].wire[0].size)}
