"""A temperature nobody stated makes no fault certain and no circuit ok: it asks for the zone.

The plans are made by rule, without a zone of the battery or its feed; stating a mild one there shows what is certain
anywhere.
"""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.assumed_zone import MILD_C, assumed_places
from fuseplan.checks.rule import all_rules
from tests.plans import load, plan_of, random_plan

SEEDS = range(4)


def without_zone(seed: int) -> dict[str, Any]:
    """A plan whose battery and feeds have no zone, and with a circuit none of whose wires has one."""
    data = random_plan(seed)
    data["circuit"]["bare"] = {
        "feed": "root", "earth": next(iter(data["earth"])), "fuse": {"kind": "blade", "rating": "10 A"},
        "wire": [{"size": "1.5 mm2", "length": "2 m", "insulation": "pvc70"}], "load": [load("6 A")]}
    return data


def stated(data: dict[str, Any], ambient_c: float) -> Assessment:
    """The plan with a zone of that temperature at its root, and so for every part without one."""
    made = copy.deepcopy(data)
    made["zone"]["here"] = {"ambient": f"{ambient_c:g} degC"}
    made["feed"]["root"]["zone"] = "here"
    return assess(plan_of(made))


def certain(assessment: Assessment) -> set[tuple[str, str, str]]:
    """Findings above advice of the checks that rest on a temperature."""
    rules = all_rules()
    return {(each.check, each.subject_kind, each.subject) for each in assessment.findings
            if each.level != "advice" and not each.measure and rules[each.check].ambient}


@pytest.mark.one_in(2)
@pytest.mark.parametrize("seed", SEEDS)
def test_what_fails_only_at_an_assumed_temperature_asks_for_the_zone(seed: int) -> None:
    data = without_zone(seed)
    assessment = assess(plan_of(data))
    asked = {(each.check, each.subject_kind, each.subject) for each in assessment.findings
             if each.measure and each.message.startswith("No zone is stated")}
    mild = certain(stated(data, MILD_C))
    assert asked
    assert not asked & mild
    assert certain(assessment) <= mild
    assert all(each.fields[0] == "feed.root.zone" for each in assessment.findings
               if each.message.startswith("No zone is stated"))


@pytest.mark.one_in(2)
@pytest.mark.parametrize("seed", SEEDS)
def test_no_circuit_at_an_assumed_temperature_is_ok(seed: int) -> None:
    assessment = assess(plan_of(without_zone(seed)))
    owners = [name for kind, name in assumed_places(assessment.results) if kind == "circuit"]
    assert owners
    assert {assessment.verdict(name) for name in owners} <= {"unknown", "fails"}
    assert not assumed_places(stated(without_zone(seed), MILD_C).results)


@pytest.mark.one_in(2)
@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_certain_is_reported_with_the_figures_of_the_mildest_place(seed: int) -> None:
    """And so never with the limit of nothing that a place too hot for its insulation would have."""
    data = without_zone(seed)
    data["circuit"]["bare"]["fuse"]["rating"] = "40 A"
    mild = {(each.check, each.subject): (each.figure, each.limit) for each in stated(data, MILD_C).findings}
    found = [each for each in assess(plan_of(data)).findings
             if each.subject == "bare" and "no zone is stated" in each.message and not each.measure]
    assert "fuse-exceeds-wire" in {each.check for each in found}
    for each in found:
        assert (each.figure, each.limit) == mild[each.check, each.subject]
        assert "feed.root.zone" in each.fields[1:], "the fault's own cure comes first"


@pytest.mark.one_in(3, first=1)
@pytest.mark.one_in(2)
@pytest.mark.parametrize("seed", SEEDS)
def test_each_wire_that_fails_wherever_it_is_is_reported_with_its_own_figures(seed: int) -> None:
    """However many wires of a circuit fail: those of one never stand for those of another."""
    data = without_zone(seed)
    data["circuit"]["bare"]["wire"] = [{"size": size, "length": "1 m", "insulation": "pvc70"}
                                       for size in ("0.75 mm2", "0.5 mm2")]
    data["circuit"]["bare"]["load"] = [load("25 A")]

    def wires(assessment: Assessment) -> list[tuple[str, float | None, str]]:
        return sorted((each.fields[0], each.limit, each.message.partition("; that is at")[0])
                      for each in assessment.findings_for("circuit", "bare")
                      if each.check == "wire-overloaded" and not each.measure)

    found = wires(assess(plan_of(data)))
    assert len(found) == 2
    assert found == wires(stated(data, MILD_C))


def test_a_wire_that_fails_only_at_the_assumed_temperature_keeps_its_question_beside_one_that_fails_anywhere() -> None:
    data = without_zone(0)
    data["circuit"]["bare"]["wire"] = [{"size": size, "length": "1 m", "insulation": "pvc105"}
                                       for size in ("2.5 mm2", "0.5 mm2")]
    data["circuit"]["bare"]["load"] = [load("25 A")]
    found = [each for each in assess(plan_of(data)).findings_for("circuit", "bare") if each.check == "wire-overloaded"]
    assert [(each.measure, "wire 1" in each.message, "wire 2" in each.message) for each in found] == [
        (False, False, True), (True, True, False)]
