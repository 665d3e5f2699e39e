"""What a fix of a breaking capacity exceeded names breaks what a short draws there, or the most on file."""

from __future__ import annotations

import re
import tomllib

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from fuseplan.plan.model import Battery, Plan
from fuseplan.planfile.starter import starter_plan
from fuseplan.tables.fuses import breaking_capacity_a, kind_words
from tests.advice.worlds import one
from tests.plans import plan_of, random_plan

KINDS = ("blade", "mini", "maxi", "midi", "mega", "strip")


def plan(inner: str, current: str, fuse: str) -> Plan:
    """One circuit close to a battery of a given resistance."""
    found = one('size = "70 mm2"', f'fuse = {{ {fuse}, distance = "100 mm" }}', current, length="0.3 m")
    return found.model_copy(update={"battery": Battery.model_validate(
        {"open_circuit": "12.6 V", "internal_resistance": inner, "capacity": "60 Ah"})})


def named(finding: Finding) -> list[str]:
    return [kind for kind in KINDS if re.search(rf"\b{kind_words(kind)}\b", finding.fix)]


def of_breaking(assessment: Assessment) -> list[Finding]:
    return [each for each in assessment.findings if each.check == "breaking-capacity"]


@pytest.mark.parametrize("inner", ["4 mohm", "5 mohm", "8 mohm", "11 mohm"])
@pytest.mark.parametrize("current", ["15 A", "60 A"])
@pytest.mark.parametrize("fuse", ['kind = "maxi", rating = "80 A"', 'kind = "midi", rating = "100 A"',
                                  'kind = "maxi", rating = "80 A", holder = "maxi_in_line"'])
def test_every_type_named_breaks_the_short(inner: str, current: str, fuse: str) -> None:
    entered = plan(inner, current, fuse)
    for finding in of_breaking(assess(entered, "road")):
        assert finding.figure is not None
        for kind in named(finding):
            found = breaking_capacity_a(kind)
            assert found is not None
            assert found.value >= min(finding.figure, 2000)
        assert named(finding)
        assert ("none on file breaks more" in finding.fix) == (finding.figure > 2000)
        if "holder" in fuse:
            assert named(finding) == ["strip"]


@pytest.mark.parametrize("seed", [60, *(pytest.param(seed, marks=pytest.mark.rest) for seed in (82, 102))])
def test_the_type_named_is_the_one_proposed(seed: int) -> None:
    """Seeds in which a type is changed for the short; where the wires do not allow another type none is."""
    proposal = propose(plan_of(random_plan(seed)), limit_set("road"), look_for_savings=False)
    kinds = {each.path[:-2]: str(each.new) for each in proposal.changes
             if each.path[-1] == "kind" and each.check == "breaking-capacity"}
    types = {finding.owner: named(finding) for finding in of_breaking(proposal.before)}
    compared = [(kind, types[owner]) for owner, kind in kinds.items() if types.get(owner)]
    assert compared
    assert all(kind in of_owner for kind, of_owner in compared)


def test_a_type_is_named_and_proposed() -> None:
    entered = plan("8 mohm", "60 A", 'kind = "maxi", rating = "80 A"')
    finding, = of_breaking(assess(entered, "road"))
    assert named(finding) == ["mega", "strip"]
    proposal = propose(entered, limit_set("road"), look_for_savings=False)
    assert [each.new for each in proposal.changes if each.path[-1] == "kind"] == ["mega"]
    assert of_breaking(proposal.after) == []


@pytest.mark.parametrize("kind", ["mega", "strip"])
def test_what_breaks_the_most_on_file_leaves_advice_alone(kind: str) -> None:
    """At a battery that drives more than any fuse on file breaks."""
    entered = plan("4 mohm", "60 A", 'kind = "maxi", rating = "80 A"')
    finding, = of_breaking(assess(entered, "road"))
    assert finding.figure is not None
    assert finding.figure > 2000
    assert (finding.level, named(finding)) == ("warning", ["mega", "strip"])
    better, = of_breaking(assess(plan("4 mohm", "60 A", f'kind = "{kind}", rating = "100 A"'), "road"))
    assert better.level == "advice"
    proposal = propose(entered, limit_set("road"), look_for_savings=False)
    assert [each.new for each in proposal.changes if each.path[-1] == "kind"] == ["mega"]
    assert [each.level for each in of_breaking(proposal.after)] == ["advice"]


def test_fuses_that_break_too_little_for_want_of_one_at_the_battery_are_told_with_it() -> None:
    data = tomllib.loads(starter_plan("car", ["fan_single", "horn", "heater_blower", "radio"]))
    data["battery"] |= {"cold_crank": "640 A", "capacity": "70 Ah"}
    fuse = data["feed"]["main_bus"].pop("fuse")
    findings = assess(plan_of(data)).findings
    small = [each for each in findings if each.check == "breaking-capacity" and each.level == "warning"]
    assert len(small) > 2
    for each in small:
        assert each.cause is not None
        assert (findings[each.cause].check, findings[each.cause].subject) == ("no-fuse", "main_bus")
    data["feed"]["main_bus"]["fuse"] = fuse
    assert not [each for each in assess(plan_of(data)).findings
                if each.check == "breaking-capacity" and each.level == "warning"]


@pytest.mark.parametrize("inner", ["8 mohm", "4 mohm"])
def test_the_missing_fuse_ahead_is_of_a_type_that_breaks_the_most(inner: str) -> None:
    """A midi bolt-in fuse breaks no more than a blade fuse; above 2000 A it is said that none breaks so much."""
    entered = plan(inner, "60 A", 'kind = "maxi", rating = "80 A"').model_dump(mode="json", exclude_defaults=True,
                                                                             by_alias=True)
    entered["feed"]["stud"] = {"from": "battery_post", "zone": "cabin", "wire": entered["earth"]["engine"]["wire"]}
    entered["circuit"]["one"]["feed"] = "stud"

    def found(kind: str | None) -> list[Finding]:
        fuse = {} if kind is None else {"fuse": {"kind": kind, "rating": "150 A", "distance": "100 mm"}}
        feeds = entered["feed"] | {"stud": entered["feed"]["stud"] | fuse}
        return [each for each in of_breaking(assess(plan_of(entered | {"feed": feeds}))) if each.level == "warning"]

    finding, = found(None)
    assert finding.fields[0] == "feed.stud.fuse.rating"
    assert [kind for kind in ("mini", "midi", "mega", "strip") if kind in finding.fix] == ["mega", "strip"]
    assert ("none on file" in finding.fix) == (inner == "4 mohm")
    assert not found("mega") + found("strip")
    assert found("midi")


def test_fuses_of_one_bus_bolted_to_the_battery_without_a_fuse_are_one_entry() -> None:
    data = tomllib.loads(starter_plan("car", ["fan_single", "horn", "heater_blower", "radio"]))
    data["battery"] |= {"cold_crank": "640 A", "capacity": "70 Ah"}
    del data["feed"]["main_bus"]["fuse"], data["feed"]["main_bus"]["wire"]
    for circuit in data["circuit"].values():
        circuit["fuse"] = {"kind": "maxi", "rating": "30 A", "distance": "100 mm", "holder": "maxi_in_line"}
    alike = [each for each in of_breaking(assess(plan_of(data))) if each.level == "warning"]
    assert len(alike) > 1
    assert all("ahead of 'Permanent bus'" in each.fix for each in alike)
    assert [each.cause is None for each in alike].count(True) == 1


def test_of_a_circuit_fed_from_nowhere_nothing_is_told() -> None:
    """Its fuse is judged where its feed says it is, not at the battery's post."""
    entered = plan("8 mohm", "15 A", 'kind = "maxi", rating = "80 A"')
    assert of_breaking(assess(entered, "road"))
    [(name, circuit)] = entered.circuit.items()
    nowhere = assess(entered.model_copy(update={"circuit": {name: circuit.model_copy(update={"feed": None})}}), "road")
    assert of_breaking(nowhere) == []
    assert nowhere.verdict(name) == "unknown"
