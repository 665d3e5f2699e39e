"""A sense lead moves the point that is regulated, and nothing else: what lies before that point is made up for, up to
the most a regulator makes up for, and missing again without the lead."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.engine.sampling import Sampler
from fuseplan.engine.source import MADE_UP_V
from fuseplan.errors import FuseplanError
from fuseplan.planfile.read import parse_plan
from tests.plans import plan_of

LENGTHS = {"short": 1.0, "long": 5.0, "far too long": 60.0}


def car(sense: str | None, length_m: float, **alternator: Any) -> Assessment:
    """A car with 30 A on a bus behind the stud the alternator cable ends on."""
    wire = {"size": "25 mm2", "zone": "cabin", "insulation": "xlpe125"}
    load = {"current": "30 A", "at": "14 V", "kind": "resistive", "evidence": "measured"}
    sensed = {} if sense is None else {"sense": sense}
    return assess(plan_of({
        "fuseplan": 1, "zone": {"cabin": {"ambient": "40 degC"}}, "battery": {"cold_crank": "500 A"},
        "alternator": {"rated": "90 A", "low_speed": "60 A", "regulator_voltage": "14.2 V", "feed": "stud",
                       "self_exciting": True, "earth": "engine",
                       "cable": [{**wire, "length": f"{length_m} m"}], **sensed, **alternator},
        "feed": {"post": {"zone": "cabin"}, "stud": {"from": "post", "wire": [{**wire, "length": "1 m"}]},
                 "bus": {"from": "post", "fuse": {"kind": "strip", "rating": "60 A"},
                         "wire": [{**wire, "length": "0.5 m"}]}},
        "earth": {"minus": {}, "engine": {"to": "minus", "engine": True, "wire": [{**wire, "length": "0.8 m"}]}},
        "circuit": {"load": {"feed": "bus", "earth": "minus", "role": "other", "load": [load],
                             "fuse": {"kind": "maxi", "rating": "50 A", "position": "F1"},
                             "wire": [{**wire, "length": "0.5 m"}]}}}))


def held(assessment: Assessment) -> tuple[float, float, float, float]:
    """In the first running condition: voltage of the post, of the alternator's terminal, of its body, of the stud."""
    results = assessment.results
    network, solution = results.network, results.solution
    row, machine = int(np.flatnonzero(results.source.running)[-1]), network.alternator
    return (float(solution.root_v[row]), float(solution.supply_v[row, network.consumers.supply_node[machine]]),
            float(solution.return_v[row, network.consumers.return_node[machine]]),
            float(solution.supply_v[row, network.feed_node["stud"]]))


@pytest.mark.parametrize("length", LENGTHS)
def test_the_sensed_point_has_the_regulator_voltage_against_the_alternators_body(length: str) -> None:
    terminal = held(car("own_terminal", LENGTHS[length]))
    assert terminal[1] - terminal[2] == pytest.approx(14.2, abs=1e-4)
    for point, place in ((None, 0), ("stud", 3)):
        at = held(car("battery", LENGTHS[length], **({} if point is None else {"sense_feed": point})))
        drop = at[1] - at[place]
        assert at[1] - at[2] == pytest.approx(14.2 + min(drop, MADE_UP_V), abs=1e-4)
        assert (drop > MADE_UP_V) is (length == "far too long")
        assert at[0] > terminal[0]
    assert held(car(None, LENGTHS[length])) == terminal


def test_it_is_said_what_is_missing_with_the_lead_off() -> None:
    fitted, without = car("battery", 4.5), car("own_terminal", 4.5)
    [said] = [each for each in fitted.findings if each.check == "charging-voltage-drop"]
    assert "with it off or broken" in said.message
    assert said.level == "advice"
    [plain] = [each for each in without.findings if each.check == "charging-voltage-drop"]
    assert plain.level == "warning"
    cable, bare = (each.results.power.alternator_cable for each in (fitted, without))
    assert cable is not None
    assert bare is not None
    assert cable.made_up_v == pytest.approx(cable.supply_drop_v)
    assert bare.made_up_v == 0.0
    far = car("battery", 60.0).results.power.alternator_cable
    assert far is not None
    assert far.made_up_v == MADE_UP_V


def test_what_the_terminal_may_reach_is_the_design_voltage_of_every_load() -> None:
    """A load on the alternator's own stud has what the lead makes up for; its fuse is chosen for that."""
    low, high = (car(sense, 1.0).results.demands.load.max() for sense in ("own_terminal", "battery"))
    assert high == pytest.approx(low * (14.2 + MADE_UP_V) / 14.2)


def test_samples_are_regulated_at_the_same_point() -> None:
    """A sample of the currents as entered is the solution, whatever is off in a condition and left out there."""
    data = tomllib.loads((Path(__file__).parents[2] / "examples" / "coupe_turbo.toml").read_text(encoding="utf-8"))
    data["alternator"] |= {"sense": "battery", "sense_feed": "main_bus"}
    results = assess(plan_of(data)).results
    sampled = Sampler(results).of(results.network.consumers.reference_a[None]).solution
    assert sampled.root_v == pytest.approx(results.solution.root_v[:len(results.network.conditions)], abs=1e-3)


def test_a_sensed_feed_without_a_sense_lead_is_refused() -> None:
    text = """fuseplan = 1
[alternator]
rated = "70 A"
sense = "own_terminal"
sense_feed = "post"
[feed.post]
"""
    with pytest.raises(FuseplanError, match="sense lead ends"):
        parse_plan(text)
