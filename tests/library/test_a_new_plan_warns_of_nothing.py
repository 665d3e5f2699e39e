"""A new plan from the template, with circuits of the library and its own values, has no danger and no warning: whoever
has entered nothing yet has caused none.

What such a plan lacks (battery, alternator) is not known, and asked for; that is no warning.
"""

from __future__ import annotations

import random
import re

import pytest

from fuseplan.checks import assess
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.planfile.library import definitions
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import starter_plan

ALL = list(definitions())
INSTEAD = {
    "fan_brushless", "fan_pulse_width", "fan_resistor", "fan_series_parallel", "fuel_pump_high_flow",
    "ignition_coils_wasted_spark", "ignition_coils_smart", "ignition_coils_six", "ignition_coils_eight",
    "injectors_six", "injectors_eight", "led_dip_beams", "discharge_headlamps", "led_indicators_left",
    "led_indicators_right", "second_battery_converter", "heated_front_screen",
    "horn_large", "power_steering_electric", "second_battery_split_charge", "inverter", "trailer_socket"}
"""What takes the place of another circuit of the library, no car having both; and the heaviest loads, all of which
together rightly ask for a larger main fuse than the template's."""
ONE_OF_EACH = [name for name in ALL if name not in INSTEAD]
USUAL = (
    "alternator_exciter", "ecu_main", "ecu_keep_alive", "injectors", "ignition_coils", "air_mass_meter", "idle_valve",
    "lambda_narrow_band", "fuel_pump_in_line", "fan_single", "starter_main", "starter_solenoid", "instrument_cluster",
    "gauge_senders", "interior_lamp", "dip_beam_left", "dip_beam_right", "main_beams", "side_tail_left",
    "side_tail_right", "number_plate_lamps", "panel_lamps", "stop_lamps", "reverse_lamps", "indicators_left",
    "indicators_right", "hazard_lamps", "fog_rear", "horn", "wiper_front", "washer_pump", "heater_blower",
    "heated_rear_window", "radio", "power_socket", "central_locking")

OF_RELAYS = ("relay-overloaded", "feed-overloaded", "relay-inrush-too-high", "output-overloaded")
"""What a relay of the library or the template carries in its place is on file, and what may drive its coil stated."""


def new_plan(names: tuple[str, ...]) -> Assessment:
    return assess(parse_plan(starter_plan("new", names)))


def above_advice(assessment: Assessment) -> list[Finding]:
    return [each for each in assessment.findings if each.level in ("danger", "warning")]


@pytest.mark.one_in(3)
@pytest.mark.parametrize("names", [USUAL, tuple(ONE_OF_EACH[:30]), tuple(ONE_OF_EACH[-30:]),
                                   *(tuple(random.Random(seed).sample(ONE_OF_EACH, 30)) for seed in range(3))],
                         ids=["usual", "first", "last", "mixed-0", "mixed-1", "mixed-2"])
def test_a_new_plan_of_thirty_circuits(names: tuple[str, ...]) -> None:
    found = new_plan(names)
    assert len(names) >= 30
    assert [(each.check, each.subject, each.message) for each in above_advice(found)] == []
    assert [view.id for view in found.circuits if view.verdict == "unknown"], "what is not entered is not known"


@pytest.mark.share
def test_no_circuit_arrives_with_a_warning_of_its_own(in_full: bool) -> None:
    """Each circuit of the library alone in a new plan; in an ordinary run every third."""
    tried = 0
    for name in ALL[::1 if in_full else 3]:
        found = new_plan((name,))
        assert [(name, each.check, each.message) for each in above_advice(found)] == []
        assert [(name, each) for each in found.unjudged if each.check in OF_RELAYS] == []
        tried += 1
    assert tried > (60 if in_full else 20)


def with_its_examples(text: str) -> str:
    """A new plan with the figures of battery and alternator that the template gives as examples."""
    lines = text.splitlines()
    first, last = lines.index("[battery]"), next(number for number, line in enumerate(lines) if "# Zones:" in line)
    own = [re.sub(r"^# (?=(?:capacity|cold_crank|rated|low_speed|pulley_ratio|regulator_voltage|cable|fuse) = )", "",
                  line) for line in lines[first:last]]
    assert sum(one != other for one, other in zip(own, lines[first:last], strict=True)) == 8
    return "\n".join([*lines[:first], *own, *lines[last:]])


def test_the_templates_own_example_of_battery_and_alternator_carries_a_usual_car() -> None:
    """What passes as entered and may fail at the upper bound of the library's typical currents is to be measured."""
    found = assess(parse_plan(with_its_examples(starter_plan("new", USUAL))))
    assert found.results.charging_known
    assert [(each.check, each.subject, each.message) for each in above_advice(found) if not each.measure] == []
    # What is left to ask only the user can know: what excites the alternator stands in the plan.
    assert "exciter" not in {each.kind for each in found.not_said}
    assert {each.kind for each in found.not_said} <= {"clearing", "fuse_place", "coil_wire", "interlock", "sense",
                                                      "switched_by", "bundle", "feed_switch"}
    assert [view.id for view in found.circuits if view.verdict == "unknown"] == []
    assert found.unknown_feeds == {}
