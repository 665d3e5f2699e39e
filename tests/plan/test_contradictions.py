"""What cannot stand beside each other is refused with both keys and the line; what hardly does is found."""

from __future__ import annotations

import tomllib

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.errors import PlanError
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan
from tests.laws.test_silence_never_helps import GOOD

CANNOT = {
    "low_speed": ("rated", GOOD.replace('low_speed = "50 A"', 'low_speed = "95 A"')),
    "range": ("range", GOOD.replace('current = "9 A"', 'current = "9 A"\nrange = ["10 A", "8 A"]')),
    "duty": ("use", GOOD.replace('current = "9 A"', 'current = "9 A"\nduty = 0')),
    "engine": ("state", GOOD + '\n[condition.tow]\nstate = "running"\nengine = "0 r/min"\n'),
}
CANNOT |= {
    "switch": ("to", GOOD + '\n[earth.apart]\nswitch = { rating = "100 A" }\n'),
    "resistance": ("to", GOOD + '\n[earth.apart]\nresistance = "30 mohm"\n'),
    "wire": ("from", GOOD + '\n[feed.apart]\nwire = [{ size = "6 mm2", length = "1 m" }]\n'),
    "curve": ("curve", GOOD.replace("[alternator]",
                                    '[alternator]\ncurve = [{ speed = "3000 r/min", current = "0 A" }]', 1)),
    "sense_feed": ("sense", GOOD.replace("[alternator]", '[alternator]\nsense_feed = "bus"', 1)),
    "second_battery": ("wire", GOOD + '\n[circuit.link]\nsecond_battery = { converter_before = 2 }\n'),
}
HARDLY = {
    "open_circuit": ("battery.open_circuit", GOOD.replace('capacity = "60 Ah"', 'capacity = "60 Ah"\n'
                                                          'open_circuit = "14.6 V"')),
    "system": ("vehicle.system", GOOD.replace("fuseplan = 1", 'fuseplan = 1\n[vehicle]\nsystem = "24 V"')),
    "regulator_voltage": ("alternator.regulator_voltage", GOOD.replace('regulator_voltage = "14.2 V"',
                                                                       'regulator_voltage = "12.2 V"')),
    "at": ("circuit.fan.load.0.at", GOOD.replace('current = "9 A"\nat = "13.5 V"', 'current = "9 A"\nat = "28 V"')),
    "when": ("circuit.starter.load.0.when", GOOD.replace('when = ["crank"]\n', "", 1)),
    "engine": ("condition.tow.engine", GOOD + '\n[condition.tow]\nstate = "running"\n'),
}


@pytest.mark.parametrize("key", CANNOT)
def test_what_cannot_be_is_refused_with_both_keys_and_the_line(key: str) -> None:
    other, text = CANNOT[key]
    assert text != GOOD
    with pytest.raises(PlanError) as refused:
        parse_plan(text, "car.toml")
    said = str(refused.value)
    line = next(number for number, each in enumerate(text.splitlines(), 1) if each.startswith(f"{key} = "))
    lines = [number for number, each in enumerate(text.splitlines(), 1) if each.startswith(f"{key} = ")]
    assert any(f"car.toml:{number}:" in said for number in lines), (said, line)
    assert f"`{key}`" in said
    assert f"`{other}`" in said
    assert "accepted is" in said


@pytest.mark.parametrize("key", HARDLY)
def test_what_hardly_can_be_is_found_with_its_keys(key: str) -> None:
    field, text = HARDLY[key]
    assert text != GOOD
    found = [each for each in assess(parse_plan(text)).findings if each.check == "improbable-figure"]
    assert any(field in each.fields for each in found)
    assert all(each.level == "warning" for each in found)


@pytest.mark.parametrize("cold_crank_a", [200, 420, 800])
@pytest.mark.parametrize(("times", "is_odd"), [(0.1, True), (0.5, False), (1.0, False), (2.0, False), (5.0, True),
                                               (10.0, True)])
def test_an_internal_resistance_fits_the_cold_cranking_current(cold_crank_a: int, times: float, is_odd: bool) -> None:
    """EN 50342-1: from 12.7 V (from memory) to 7.5 V at the cold-cranking current, so that r = 5.2 V over it at −18 °C,
    about half of that warm (from memory). A slip of the decimal point is found either way, a measured or an aged
    battery is not."""
    text = GOOD.replace('cold_crank = "420 A"', f'cold_crank = "{cold_crank_a} A"\n'
                        f'internal_resistance = "{times * 5.2 / cold_crank_a * 1e3:.3f} mohm"')
    assert text != GOOD
    found = [each for each in assess(parse_plan(text)).findings if each.check == "improbable-figure"]
    assert [each.fields for each in found] == [("battery.internal_resistance", "battery.cold_crank")] * is_odd


def test_a_good_plan_has_none() -> None:
    found = assess(Plan.model_validate(tomllib.loads(GOOD))).findings
    assert [each for each in found if each.check == "improbable-figure"] == []
