"""Whether the car starts and charges is not told by battery and alternator alone: what is lost on the way counts."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.papers.car_facts import car_facts
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan

COUPE = (shipped_folder("examples") / "coupe_turbo.toml").read_text(encoding="utf-8")


def _whole_car(text: str) -> dict[str, str]:
    return dict(car_facts(assess(parse_plan(text))))


def _starts(text: str) -> str:
    return _whole_car(text)["Starts"]


def _thinner(text: str, part: str, size: str) -> str:
    head, line, tail = text.partition(f"[{part}]\n")
    assert line
    own, sep, rest = tail.partition("\n[")
    changed = re.sub(r'size = "[^"]+"', f'size = "{size}"', own)
    assert changed != own
    return head + line + changed + sep + rest


def test_a_battery_that_holds_its_voltage_behind_a_cable_too_thin_does_not_start_the_car() -> None:
    assert _starts(COUPE).startswith("yes")
    thin = re.sub(r'size = "[^"]+"', 'size = "0.35 mm2"', COUPE)
    assert _starts(thin).startswith("no: Solenoid")


@pytest.mark.parametrize(("part", "side"), [("circuit.starter", "supply side"), ("earth.engine_block", "earth side")])
def test_a_drop_past_its_limit_on_either_side_of_the_starter_is_a_doubt_at_least(part: str, side: str) -> None:
    said = _starts(_thinner(COUPE, part, "6 mm2"))
    assert not said.startswith("yes")
    assert side in said or said.startswith("no")


def test_an_alternator_that_has_enough_behind_a_cable_that_loses_it_does_not_charge() -> None:
    boot = (shipped_folder("examples") / "boot_battery.toml").read_text(encoding="utf-8")
    old = 'cable = [{ size = "50 mm2", length = "1.1 m"'
    assert old in boot
    assert _whole_car(boot)["Charges"].startswith("yes")
    said = _whole_car(boot.replace(old, 'cable = [{ size = "1 mm2", length = "9 m"'))["Charges"]
    assert said.startswith("no: ")
    assert "on the way from the alternator" in said


def _with(part: str, more: str, without: str = "") -> dict[str, str]:
    head, line, tail = COUPE.partition(f"[{part}]\n")
    assert line
    own, sep, rest = tail.partition("\n[")
    kept = "\n".join(each for each in own.splitlines() if not (without and each.startswith(without)))
    return _whole_car(head + line + more + "\n" + kept + sep + rest)


def test_what_is_made_for_another_car_says_nothing_of_whether_it_starts_and_charges() -> None:
    """The figures of a 24 V or a positive-earth machine are not those of this car, however good they look."""
    assert not _whole_car(COUPE)["Charges"].startswith("not known")
    other = _with("alternator", 'regulator_voltage = "28 V"', "regulator_voltage")
    assert other["Charges"] == "not known: the alternator is made for another system voltage"
    assert other["Starts"].startswith("yes")
    turned = _with("alternator", 'made_for = "positive"', "made_for")
    assert turned["Charges"] == "not known: the alternator is made for another earth polarity"
    battery = _with("battery", 'open_circuit = "25.2 V"', "open_circuit")
    assert battery["Starts"] == battery["Charges"] == "not known: the battery is made for another system voltage"
