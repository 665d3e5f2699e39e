"""A first plan can be started for every system voltage offered, with examples of that system; figures of the library
that are not the car's are never taken over in silence."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks import assess
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.library import circuit_for, definitions
from fuseplan.planfile.read import parse_plan
from fuseplan.planfile.starter import LIBRARY_SYSTEM, SYSTEMS, starter_plan

WRONG = "wrong-system-voltage"
LEFT_OUT = "rated|low_speed|machine|cut_in|full_output|capacity|cold_crank|pulley_ratio|regulator_voltage"
OTHERS = [system for system in SYSTEMS if system != LIBRARY_SYSTEM]


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_examples_of_battery_and_alternator_are_those_of_the_system(system: str) -> None:
    text = starter_plan("car", (), system)
    entered = re.sub(rf"(?m)^# (?=(?:{LEFT_OUT}) ?=)", "", text)
    found, bare = assess(parse_plan(entered)), assess(parse_plan(text))
    assert float(found.plan.vehicle.system) == float(system)
    assert found.results.charging_known
    assert not bare.results.charging_known
    assert not [each.message for each in found.findings if each.check == WRONG]
    # 14.2 V of a 12 V system is what a plan without the entry is judged by: the example scales as that does.
    assert found.results.source.regulator_v == pytest.approx(bare.results.source.regulator_v)


@pytest.mark.share
@pytest.mark.parametrize("system", OTHERS)
def test_every_circuit_of_the_library_is_found_in_a_car_of_another_system(system: str, in_full: bool) -> None:
    """But for those without a load of their own. In an ordinary run every fifth, and the starter."""
    text = starter_plan("car", list(definitions())[::1 if in_full else 5] + ([] if in_full else ["starter_main"]),
                        system)
    found = assess(parse_plan(text))
    wrong = {each.subject for each in found.findings if each.check == WRONG}
    silent = {name for name, circuit in found.plan.circuit.items()
              if circuit.load and circuit.out_of_scope is None} - wrong
    assert silent == set()
    assert f"the {system} V parts fitted" in text
    assert len([each for each in found.findings if each.check == WRONG and each.cause is None]) == 1


@pytest.mark.parametrize("system", SYSTEMS)
def test_before_a_circuit_is_taken_it_is_said_that_its_figures_are_of_another_voltage(system: str) -> None:
    plan = PlanDocument.from_text(starter_plan("car", (), system)).plan
    said = [any("figures of the" in report for report in circuit_for(plan, name).reports)
            for name in ("horn", "dip_beam_left", "starter_main", "glow_plugs")]
    assert said == [system != LIBRARY_SYSTEM] * 4
