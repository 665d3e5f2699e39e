"""Where nothing a car can be in satisfies a plan, its figures are not known, and that is said."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fuseplan.checks import assess
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value
from fuseplan.planfile.read import parse_plan
from tests.documents import fits_result

PLAN = """
fuseplan = 1
[battery]
capacity = "60 Ah"
open_circuit = "12.6 V"
internal_resistance = "9 mohm"
[zone.cabin]
ambient = "30 degC"
[feed.post]
zone = "cabin"
[earth.negative]
[circuit.heater]
feed = "post"
fuse = {{ kind = "maxi", rating = "30 A" }}
wire = [{{ size = "{size}", length = "{length}", zone = "cabin", insulation = "pvc70" }}]
earth = "negative"
[[circuit.heater.load]]
power = "{power}"
at = "12 V"
kind = "{kind}"
when = ["hazard"]
evidence = "measured"
[circuit.lamp]
feed = "post"
fuse = {{ kind = "blade", rating = "10 A" }}
wire = [{{ size = "2.5 mm2", length = "1 m", zone = "cabin", insulation = "pvc70" }}]
earth = "negative"
[[circuit.lamp.load]]
power = "21 W"
at = "12 V"
kind = "lamp"
when = ["hazard", "night"]
evidence = "measured"
"""


def assessed(power: str, size: str = "0.5 mm2", length: str = "20 m", kind: str = "electronic") -> Assessment:
    return assess(parse_plan(PLAN.format(power=power, size=size, length=length, kind=kind)))


def figures(value: Any) -> list[float]:
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [value] if isinstance(value, float) else [each for part in inner for each in figures(part)]


def test_a_load_its_wire_cannot_feed_leaves_its_condition_unknown() -> None:
    found = assessed("300 W")
    document = found.to_dict()
    fits_result(document)
    plan, wire = sorted((each for each in found.findings if each.check == "insufficient-supply"),
                        key=lambda each: each.subject == "heater")
    finding = plan
    assert (wire.level, wire.subject) == ("danger", "heater")
    assert "far too thin or too long for this load" in wire.message
    assert "battery, alternator and wires cannot supply all loads at any voltage" in finding.message
    assert [found.verdict(name) for name in ("heater", "lamp")] == ["fails", "unknown"]
    hazard = next(each for each in document["conditions"] if each["id"] == "hazard")
    assert hazard["bus_v"] is None
    for circuit in document["circuits"]:
        assert circuit["in_condition"]["hazard"]["current_a"] is None
        assert set(circuit["in_condition"]["hazard"]["load_v"]) == {None}
    lamp = document["circuits"][1]
    assert lamp["in_condition"]["cruise_wet_night"]["load_v"][0] > 10
    assert all(map(math.isfinite, figures(document)))


def test_only_the_upper_bound_may_be_impossible() -> None:
    text = PLAN.format(power="70 W", size="0.5 mm2", length="20 m", kind="electronic")
    found = assess(parse_plan(text.replace('evidence = "measured"', 'evidence = "guess"', 1)))
    of = [each for each in found.findings if each.check == "insufficient-supply"]
    # As entered there is a state, with the load at so low a voltage that it does not get its power.
    assert {each.subject: each.measure for each in of} == {"plan": True, "heater": False}
    assert found.verdict("lamp") == "unknown"


@pytest.mark.one_in(5)
@pytest.mark.parametrize("power", ["1 W", "20 W", "45 W", "60 W", "100 W", "300 W", "3 kW", "30 kW"])
@pytest.mark.parametrize("kind", ["electronic", "resistive", "lamp", "motor", "coil"])
@pytest.mark.parametrize("length", ["1 mm", "20 m", "100 m"])
def test_no_load_ever_has_less_than_nothing_or_more_than_the_battery(power: str, kind: str, length: str) -> None:
    found = assessed(power, kind=kind, length=length)
    for circuit in found.to_dict()["circuits"]:
        for state in circuit["in_condition"].values():
            assert all(volts is None or -0.01 <= volts <= 12.61 for volts in state["load_v"])
            assert state["current_a"] is None or 0 <= state["current_a"] <= 12.6 / 0.009


@pytest.mark.parametrize("length", [1.0, 5.0, 20.0, 60.0])
def test_the_wire_is_named_where_no_source_could_bring_the_power_through_it(length: float) -> None:
    """U²/4R: K. V. Cartwright, Technology Interface, spring 2008; 39 mΩ/m of 0.5 mm2: IEC 60228, class 5."""
    found = {}
    for power in (5, 20, 50, 60, 100, 1000):
        of = [each for each in assessed(f"{power} W", length=f"{length} m").findings
              if each.check == "insufficient-supply" and each.subject == "heater" and not each.measure]
        found[power] = bool(of)
        for each in of:
            assert each.limit is not None
            # Open-circuit voltage 12.6 V; the wire and a maxi fuse of a few mΩ.
            assert 12.6**2 / (4 * (length * 0.0395 + 0.005)) <= each.limit <= 12.6**2 / (4 * length * 0.030)
            assert each.figure == pytest.approx(power * 1.0)
    most = 12.6**2 / (4 * length * 0.0395)
    assert not any(named for power, named in found.items() if power < 0.9 * most)
    assert all(named for power, named in found.items() if power > 1.4 * most)


@pytest.mark.one_in(3)
@pytest.mark.parametrize("kind", ["electronic", "resistive", "lamp", "motor", "coil"])
def test_where_no_voltage_was_found_because_of_one_wire_that_wire_is_named(kind: str) -> None:
    for power, length in (("30 kW", "100 m"), ("3 kW", "20 m")):
        found = assessed(power, kind=kind, length=length)
        named = {each.subject for each in found.findings if each.check == "insufficient-supply"}
        assert ("heater" in named) or "plan" not in named
        assert found.verdict("heater") == "fails"


def test_a_load_of_constant_power_draws_its_power_down_to_half_its_voltage_and_never_less_below() -> None:
    consumers = assessed("120 W").results.network.consumers
    heater = consumers.load_kind.index("electronic")
    reference = np.zeros((consumers.count, 1))
    reference[heater] = 10.0
    currents = [float(consumers.laws.currents(np.full((consumers.count, 1), volts), reference)[heater, 0])
                for volts in np.linspace(0.0, 16.0, 65)]
    assert currents == sorted(currents, reverse=True)
    for volts, current in zip(np.linspace(0.0, 16.0, 65), currents, strict=True):
        assert current == pytest.approx(min(20.0, 120.0 / volts if volts else 20.0))


def test_a_wire_with_an_ampacity_on_file_is_not_said_to_have_none_where_its_current_is_not_known() -> None:
    coupe = tomllib.loads((Path(__file__).parents[2] / "examples" / "coupe_turbo.toml").read_text(encoding="utf-8"))
    assessment = assess(Plan.model_validate(with_value(coupe, ("circuit", "socket", "load", 0, "current"), "160 A")))
    assert assessment.results.lost.any()
    words = [each.words for each in assessment.unjudged if each.subject == "main_bus"
             and each.check == "feed-overloaded"]
    assert words == ["the current in the wire to 'Permanent bus, cabin fuse box' (25 mm²)"]
