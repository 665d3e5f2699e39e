"""Whether the car starts is not told by the battery alone: what does not reach the starter does not turn the engine."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.papers.car_facts import car_facts
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan

COUPE = (shipped_folder("examples") / "coupe_turbo.toml").read_text(encoding="utf-8")


def _starts(text: str) -> str:
    return dict(car_facts(assess(parse_plan(text))))["Starts"]


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
