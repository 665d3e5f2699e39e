"""A dynamo gives nothing below its cut-in speed, and its rated output from its speed of full output on.

22 A dynamo of the 1960s: cut-in at 1450 r/min, 22 A at 2250 r/min (a small car's manual, p. 105).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Finding
from fuseplan.engine.alternator import machine_of
from fuseplan.engine.cures import Cure
from fuseplan.errors import PlanError
from fuseplan.plan.model import Alternator
from fuseplan.planfile.read import parse_plan

PRINTED = {"machine": "dynamo", "rated": "22 A", "cut_in": "1450 r/min", "full_output": "2250 r/min"}


@pytest.mark.parametrize(("rpm", "amps"), [(0, 0), (1000, 0), (1450, 0), (1850, 11), (2250, 22), (4000, 22)])
def test_output_of_a_printed_dynamo(rpm: float, amps: float) -> None:
    assert float(machine_of(Alternator.model_validate(PRINTED)).hot_a(rpm)) == pytest.approx(amps)


def test_output_never_falls_with_the_speed_and_is_nothing_at_idle() -> None:
    machine = machine_of(Alternator.model_validate(PRINTED))
    output = np.asarray(machine.hot_a(np.arange(0.0, 6000.0, 10.0)))
    assert (np.diff(output) >= 0).all()
    assert output[:145].max() == 0.0


@pytest.mark.parametrize("left_out", ["rated", "cut_in", "full_output"])
def test_a_dynamo_of_unknown_speeds_is_not_taken_for_an_alternator(left_out: str) -> None:
    machine = machine_of(Alternator.model_validate({key: value for key, value in PRINTED.items() if key != left_out}))
    assert not machine.known
    assert "dynamo" in machine.basis


@pytest.mark.parametrize(("lines", "words"), [
    ('cut_in = "1450 r/min"', "dynamo"),
    ('machine = "dynamo"\ncut_in = "2250 r/min"\nfull_output = "1450 r/min"', "above it")])
def test_speeds_that_cannot_be_are_refused(lines: str, words: str) -> None:
    with pytest.raises(PlanError, match=words):
        parse_plan(f"fuseplan = 1\n[alternator]\n{lines}\n")


CAR = """
fuseplan = 1
[battery]
cold_crank = "300 A"
[alternator]
machine = "dynamo"
rated = "22 A"
cut_in = "1450 r/min"
full_output = "2250 r/min"
pulley_ratio = 1.2
{max_speed}
[vehicle]
highest_engine_speed = "5500 r/min"
[zone.bay]
ambient = "40 degC"
[feed.battery]
[earth.chassis]
[circuit.lamps]
feed = "battery"
fuse = {{ kind = "blade", rating = "30 A" }}
wire = [{{ size = "4 mm2", length = "1 m", zone = "bay" }}]
earth = "chassis"
load = [{{ current = "20 A", at = "12 V", kind = "resistive", evidence = "measured" }}]
"""


def _cures(max_speed: str) -> list[Cure]:
    power = assess(parse_plan(CAR.format(max_speed=max_speed))).results.power
    return [cure for index in range(len(power.results.network.conditions)) for cure in power.cures(index)]


@pytest.mark.parametrize("max_speed", ["", 'max_speed = "9000 r/min"'])
def test_no_alternator_is_sized_for_a_dynamo(max_speed: str) -> None:
    found = assess(parse_plan(CAR.format(max_speed=max_speed)))
    assert [each for each in found.findings if each.check == "discharge-while-running"]
    assert found.results.power.alternator_size is None
    cures = _cures(max_speed)
    assert cures
    assert "bigger" not in [each.id for each in cures]


def test_a_dynamo_is_never_turned_faster_than_its_own_limit_and_without_one_nothing_is_said_to_be_safe() -> None:
    # 9000 r/min over 5500 r/min of the engine is a ratio of 1.63.
    ratios = [change.value for cure in _cures('max_speed = "9000 r/min"') for change in cure.changes
              if change.path == ("alternator", "pulley_ratio")]
    assert ratios
    assert max(map(float, ratios)) <= 9000 / 5500
    assert "pulley" not in [each.id for each in _cures("")]
    unsaid, said = (assess(parse_plan(CAR.format(max_speed=each))) for each in ("", 'max_speed = "9000 r/min"'))
    assert [each.fields for each in unsaid.findings if each.check == "alternator-overspeed"] == [
        ("alternator.max_speed",)]
    assert all("max_speed" in each.fix for each in unsaid.findings if "pulley" in each.fix)
    assert "alternator-overspeed" not in [each.check for each in said.findings]
    assert math.isnan(unsaid.results.power.alternator.highest_rotor_rpm)


IDLES = CAR.replace("20 A", "5 A")


def _discharging(text: str) -> list[Finding]:
    return [each for each in assess(parse_plan(text.format(max_speed=""))).findings
            if each.check == "discharge-while-running"]


def test_a_dynamo_that_charges_on_the_road_and_not_at_idle_works() -> None:
    """Common practice, no source: no dynamo charges at idle; one that never charges does not work."""
    found = _discharging(IDLES)
    assert found
    assert {each.level for each in found} == {"advice"}
    assert not any(each.fix.startswith("switch off") for each in found)
    assert {each.level for each in _discharging(IDLES.replace("pulley_ratio = 1.2", "pulley_ratio = 0.4"))} == {
        "warning"}
    assert {each.level for each in _discharging(CAR.replace("20 A", "30 A"))} == {"warning"}


def test_more_speed_is_no_fix_where_the_dynamo_gives_its_full_output() -> None:
    found = _discharging(CAR.replace("20 A", "30 A"))
    full = [each for each in found if each.limit == pytest.approx(22.0)]
    assert full
    assert len(full) < len(found)
    for each in found:
        assert ("pulley" in each.fix or "idle speed" in each.fix) is (each not in full)


def test_what_protects_the_cable_of_a_dynamo_is_called_so() -> None:
    lead = assess(parse_plan(CAR.format(max_speed="fuse = { kind = 'maxi', rating = '40 A' }"))) \
        .results.power.alternator_cable
    assert lead is not None
    assert lead.guarded_by == "the maxi blade fuse of the dynamo cable"
