"""Conditions whose words switch nothing on."""

from __future__ import annotations

import pytest

from fuseplan.checks import assess
from fuseplan.planfile.read import parse_plan
from tests.checks.check_plans import BASE
from tests.checks.test_rules import assessed

LOAD = """
[circuit.radio]
feed = "bus"
fuse = {{ kind = "blade", rating = "7.5 A" }}
wire = [{{ size = "1 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }}]
earth = "body"
[[circuit.radio.load]]
current = "3 A"
kind = "electronic"
evidence = "plate"
when = ["{word}"]
"""
CONDITION = '[condition.c]\nname = "Wet town"\nstate = "{state}"\nwhen = {when}\n'


def told(word: str, state: str, *when: str) -> list[str]:
    words = "[" + ", ".join(f'"{each}"' for each in when) + "]"
    found = assessed(CONDITION.format(state=state, when=words) + LOAD.format(word=word)).findings
    return [each.message for each in found if each.check == "condition-word-unused"]


def test_a_word_like_a_known_one_is_told_with_it() -> None:
    message, = told("rain", "running", "rain", "rainy", "motor")
    assert message == ("condition 'Wet town': no load uses 'rainy', 'motor' (the nearest known: 'rain'); "
                       "the loads use 'rain'")


def test_nothing_on_with_the_engine_running_is_told_even_with_known_words() -> None:
    message, = told("rain", "running", "engine")
    assert "no load at all is on in it" in message
    assert told("rain", "running", "rain") == []
    assert told("always", "running") == []


def test_with_the_engine_still_nothing_needs_to_be_on() -> None:
    assert told("rain", "off", "engine") == []


def test_a_word_only_a_load_lists_is_known_by_it() -> None:
    assert told("towing", "running", "towing") == []


def test_built_in_conditions_are_left_alone() -> None:
    assert "condition-word-unused" not in {each.check for each in assessed(LOAD.format(word="hazard")).findings}


@pytest.mark.parametrize(("words", "more", "found"), [
    ('"hot"', "", None), ('"hot", "engine"', "", None), ('"hot", "run_on"', "", "load-without-supply"),
    ('"run_on"', "", "load-without-supply"), ('"hot"', 'must_run = ["run_on"]', "dead-when-needed")])
def test_a_fan_on_the_ignition_stops_with_the_key(words: str, more: str, found: str | None) -> None:
    """Very many cars are built so: common practice, no source. That it must run on, the plan says."""
    assessment = assess(parse_plan(f"""{BASE}
[circuit.fan]
feed = "ignition_bus"
fuse = {{ kind = "blade", rating = "20 A" }}
wire = [{{ size = "4 mm2", length = "2 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "body"
{more}
[[circuit.fan.load]]
current = "9 A"
kind = "motor"
when = [{words}]
evidence = "measured"
"""))
    checks = [each.check for each in assessment.findings]
    assert [each for each in checks if each in ("load-without-supply", "dead-when-needed")] == \
        ([] if found is None else [found])
