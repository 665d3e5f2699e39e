"""Parts for another system voltage, another earth, or another load than the flasher's are found whichever way round
they are wrong, and a right one never is."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.planfile.read import parse_plan

PLAN = """
fuseplan = 1
[vehicle]
system = "{system} V"
earthed = "{earthed}"
[battery]
cold_crank = "500 A"
{alternator}
[zone.cabin]
ambient = "40 degC"
[feed.battery]
zone = "cabin"
[earth.chassis]
[circuit.{name}]
feed = "battery"
fuse = {{ kind = "blade", rating = "10 A" }}
wire = [{{ size = "1.5 mm2", length = "2 m", zone = "cabin" }}]
earth = "chassis"
{circuit}
[[circuit.{name}.load]]
name = "Part"
power = "{power} W"
at = "{at} V"
kind = "{kind}"
when = ["always"]
evidence = "plate"
{load}
"""


def _assessed(system: float = 12, earthed: str = "negative", at: float = 12, kind: str = "lamp", load: str = "",
              circuit: str = "", power: float = 21, alternator: str = "", name: str = "part") -> Assessment:
    return assess(parse_plan(PLAN.format(system=system, earthed=earthed, at=at, kind=kind, load=load, circuit=circuit,
                                         power=power, alternator=alternator, name=name)))


def _found(check: str, system: float = 12, **said: Any) -> list[Finding]:
    return [each for each in _assessed(system, **said).findings if each.check == check]


@pytest.mark.parametrize("system", [6, 12, 24, 48])
@pytest.mark.parametrize("part", [6, 12, 24, 48])
@pytest.mark.parametrize("running", [1.0, 1.125, 1.2])
def test_a_part_is_found_exactly_where_its_voltage_is_not_the_cars(system: float, part: float, running: float) -> None:
    found = _found("wrong-system-voltage", system, at=part * running)
    assert bool(found) == (system != part)
    if found:
        assert found[0].level == ("danger" if part < system else "warning")


def test_a_name_does_not_excuse_a_part_for_another_system_and_a_role_does() -> None:
    """Glow plugs are driven in pulses: what is stated for them is not the car's voltage."""
    assert _found("wrong-system-voltage", 24, at=12, name="glow_plugs")
    assert not _found("wrong-system-voltage", 24, at=12, name="glow_plugs", circuit='role = "glow_plugs"')


@pytest.mark.parametrize(("label", "system", "wrong"), [
    ("14V 50/120A", 12, False), ("14V 50/120A", 24, True), ("28V 70/140A", 24, False), ("28V 70/140A", 12, True),
    ("90 A", 24, False)])
def test_an_alternators_label_is_read(label: str, system: float, wrong: bool) -> None:
    found = _found("wrong-system-voltage", system, at=system, alternator=f'[alternator]\nlabel = "{label}"')
    assert bool(found) is wrong


@pytest.mark.parametrize("earthed", ["negative", "positive"])
@pytest.mark.parametrize("made_for", ["negative", "positive", "either"])
@pytest.mark.parametrize("kind", ["lamp", "electronic"])
def test_a_part_for_the_other_earth_is_found(earthed: str, made_for: str, kind: str) -> None:
    found = _found("wrong-earth-polarity", earthed=earthed, kind=kind, load=f'made_for = "{made_for}"')
    assert bool(found) == (made_for not in ("either", earthed))


@pytest.mark.parametrize(("kind", "wrong"), [("electronic", True), ("lamp", False), ("motor", False), ("coil", False)])
def test_silence_on_a_positive_earth_is_not_ok_for_electronics(kind: str, wrong: bool) -> None:
    assert bool(_found("wrong-earth-polarity", earthed="positive", kind=kind)) is wrong
    assert not _found("wrong-earth-polarity", earthed="negative", kind=kind)


def test_an_alternator_is_made_for_negative_earth_unless_it_says_otherwise_and_a_dynamo_is_not() -> None:
    machine = '[alternator]\nrated = "22 A"\n'
    assert [each.level for each in _found("wrong-earth-polarity", earthed="positive", alternator=machine)] == ["danger"]
    for right in ('made_for = "positive"', 'machine = "dynamo"'):
        assert not _found("wrong-earth-polarity", earthed="positive", alternator=machine + right)


@pytest.mark.parametrize("flasher", ["thermal", "load_sensing", "electronic"])
@pytest.mark.parametrize(("power", "kind"), [(42, "lamp"), (6, "electronic"), (21, "lamp")])
def test_a_flasher_that_watches_its_load_needs_it(flasher: str, power: float, kind: str) -> None:
    for least in ("", 'flasher_load = "42 W"'):
        found = _found("flasher-load-too-low", power=power, kind=kind, circuit=f'flasher = "{flasher}"\n{least}')
        assert bool(found) == (flasher != "electronic" and power < 42)


def test_a_lamp_of_unknown_power_is_no_weak_load_and_no_strong_one() -> None:
    said = 'flasher = "thermal"\nflasher_load = "42 W"'
    unstated = '[[circuit.part.load]]\nkind = "lamp"\n'
    few, enough = (_assessed(power=power, circuit=said, load=unstated) for power in (21, 42))
    for assessment in (few, enough):
        assert "flasher-load-too-low" not in {each.check for each in assessment.findings}
    assert "flasher-load-too-low" in {each.check for each in few.unjudged}
