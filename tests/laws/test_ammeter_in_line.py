"""An ammeter in a feed's wire drops its own voltage and is no stronger than its scale."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.planfile.read import parse_plan

PLAN = """
fuseplan = 1
[battery]
internal_resistance = "5 mohm"
[zone.cabin]
ambient = "40 degC"
[feed.battery]
zone = "cabin"
[feed.bus]
from = "battery"
zone = "cabin"
fuse = {{ kind = "maxi", rating = "60 A" }}
wire = [{{ size = "16 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
{ammeter}
[earth.chassis]
[circuit.load]
feed = "bus"
fuse = {{ kind = "maxi", rating = "50 A" }}
wire = [{{ size = "16 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "chassis"
[[circuit.load.load]]
current = "30 A"
at = "12.65 V"
kind = "resistive"
evidence = "measured"
"""


def _assessed(ammeter: str) -> Assessment:
    return assess(parse_plan(PLAN.format(ammeter=ammeter)))


def _bus_v(assessment: Assessment) -> float:
    network = assessment.results.network
    return float(assessment.results.solution.supply_v[network.condition_ids.index("parked"), network.feed_node["bus"]])


@pytest.mark.parametrize(("scale", "drop", "ohm"), [
    # Shunt makers' sheets: 100 A 75 mV is 0.75 mΩ, 50 A 75 mV is 1.5 mΩ.
    (100, "75 mV", 0.00075), (50, "75 mV", 0.0015), (60, "150 mV", 0.0025)])
def test_it_drops_its_own_voltage(scale: float, drop: str, ohm: float) -> None:
    without, fitted = _assessed(""), _assessed(f'ammeter = {{ scale = "{scale} A", drop = "{drop}" }}')
    assert _bus_v(without) - _bus_v(fitted) == pytest.approx(30.0 * ohm, rel=0.08)


def test_one_of_unknown_drop_is_not_taken_for_nothing() -> None:
    assert _bus_v(_assessed('ammeter = { scale = "60 A" }')) < _bus_v(_assessed(""))


def test_a_drop_that_is_not_given_is_told_and_counts_as_nothing_in_the_most_a_short_draws() -> None:
    unsaid, said, without = (_assessed(each) for each in (
        'ammeter = { scale = "60 A" }', 'ammeter = { scale = "60 A", drop = "75 mV" }', ""))
    assert [(each.key, each.value) for each in unsaid.assumptions if "ammeter" in each.key] == [
        ("feed.bus.ammeter.drop", pytest.approx(0.075 / 60))]
    assert not [each for each in said.assumptions if "ammeter" in each.key]
    most = [float(each.results.faults.prospective_a[each.fuse_of["circuit", "load"]])
            for each in (unsaid, said, without)]
    assert most[0] == most[2] > most[1]
    # All that is drawn in ordinary use passes it either way.
    assert _bus_v(unsaid) == pytest.approx(_bus_v(said))


@pytest.mark.parametrize("drop", ["", ', drop = "75 mV"'])
@pytest.mark.parametrize(("scale", "level"), [(20, "danger"), (36, "advice"), (44, "advice"), (60, None), (100, None)])
def test_past_its_scale_is_a_danger_and_past_two_thirds_a_matter_of_its_shunt(scale: float, level: str | None,
                                                                              drop: str) -> None:
    """A movement in the wire itself carries its full scale (common practice, no source), a shunt two thirds of its
    rating continuously (shunt makers' sheets)."""
    found = [each for each in _assessed(f'ammeter = {{ scale = "{scale} A"{drop} }}').findings
             if each.check == "feed-overloaded"]
    assert [each.level for each in found] == ([] if level is None else [level])
    assert all(("if it has one" in each.message) is (level == "advice") for each in found)


def test_the_scale_named_for_a_small_ammeter_is_one_that_carries_the_load() -> None:
    def overloaded(scale: float) -> list[str]:
        return [each.fix for each in _assessed(f'ammeter = {{ scale = "{scale} A", drop = "75 mV" }}').findings
                if (each.check, each.subject) == ("feed-overloaded", "bus")]

    fix, = overloaded(30.0)
    told = re.match(r"an ammeter or shunt for ([\d.]+) A or more at full scale or a voltmeter in its place", fix)
    assert told is not None
    assert overloaded(float(told[1]) * 0.95)
    assert not overloaded(float(told[1]))
