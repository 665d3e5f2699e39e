"""What fails only with a resistance that is assumed asks for a reading of it: neither ok nor a certain failure."""

from __future__ import annotations

import copy
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.resting import is_read_first
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.engine.assumed import JOINT, UNRATED_CONTACT_A
from fuseplan.engine.without_assumed import without_assumed
from fuseplan.limits import limit_set
from fuseplan.papers.action import action
from fuseplan.plan.model import Plan
from tests.laws.test_silence_never_helps import GOOD

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
LENGTHS = np.geomspace(2.9, 4.8, 8)
CONTACT_OHM = 0.1 / UNRATED_CONTACT_A
"""0.1 V (US Army TM 5-3820-256-24-4) at 10 A (common practice, no source)."""


def lamps(length_m: float, **given: Any) -> dict[str, Any]:
    """A circuit of lamps of 10 A on 2.5 mm2 of some length."""
    data = tomllib.loads(GOOD)
    data["tolerance"] = {"measured": 0.0}
    circuit = data["circuit"]["lamps"]
    circuit["fuse"]["rating"] = "20 A"
    circuit["switch"] = {"resistance": "0 ohm"}
    circuit["wire"] = [{"size": "2.5 mm2", "length": f"{length_m} m", "zone": "cabin", "insulation": "xlpe125"}]
    circuit["load"][0] |= {"power": "120 W"}
    for key, value in given.items():
        if key == "joint":
            circuit["wire"][0]["joint"] = value
        else:
            circuit[key] = value
    return data


def found(data: dict[str, Any]) -> tuple[Assessment, Finding | None]:
    assessment = assess(Plan.model_validate(data))
    return assessment, next((each for each in assessment.findings_for("circuit", "lamps")
                             if each.check == "voltage-drop" and "way back" not in each.message), None)


CASES: dict[str, tuple[dict[str, Any], dict[str, Any], dict[str, Any], str]] = {
    "contact": ({"switch": {}}, {"switch": {"resistance": "0 ohm"}}, {"switch": {"resistance": f"{CONTACT_OHM} ohm"}},
                "circuit.lamps.switch.resistance"),
    "joint": ({"joint": {}}, {}, {"joint": {"resistance": f"{JOINT.ohm} ohm"}},
              "circuit.lamps.wire.0.joint.resistance"),
}


@pytest.mark.parametrize("case", CASES)
def test_a_drop_fails_for_certain_only_where_it_fails_without_what_is_assumed(case: str) -> None:
    silent, nothing, stated, key = CASES[case]
    seen = set()
    for length in LENGTHS:
        _, least = found(lamps(length, **nothing))
        _, most = found(lamps(length, **stated))
        assessment, finding = found(lamps(length, **silent))
        assert all(each is None or not each.measure for each in (least, most))
        if least is not None:
            expected = "fails"
        elif most is not None:
            expected = "measure"
        else:
            expected = "passes"
        assert expected == ("passes" if finding is None else "measure" if finding.measure else "fails"), length
        seen.add(expected)
        if expected == "measure":
            assert finding is not None
            assert key in finding.fields
            assert assessment.verdict("lamps") != "ok"
    assert seen == {"fails", "measure", "passes"}


@pytest.mark.parametrize("case", CASES)
def test_a_drop_of_the_worst_case_asks_for_what_is_assumed_only_where_it_passes_without(case: str) -> None:
    """And no copper is bought for it before that is measured."""
    silent, nothing, stated, key = CASES[case]
    seen = set()
    for length in LENGTHS:
        each = [lamps(length, **given) | {"tolerance": {"measured": 0.3}} for given in (nothing, stated, silent)]
        (_, least), (_, most), (assessment, finding) = map(found, each)
        if finding is None or not (most is not None and most.measure):
            continue
        assert finding.measure
        assert is_read_first(finding) is (least is None), finding.message
        assert (key == finding.fields[0]) is (least is None)
        assert action(finding).startswith("measure and enter" if least is None else "measure, or fit")
        changes = propose(assessment.plan, limit_set("road"), look_for_savings=False).changes
        assert bool([each for each in changes if each.check == finding.check]) is (least is not None), length
        seen.add(least is None)
    assert seen == {True, False}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_certain_failure_is_found_without_what_is_assumed(path: Path) -> None:
    assessment = assess(Plan.model_validate(tomllib.loads(path.read_text(encoding="utf-8"))))
    bare = without_assumed(assessment.results)
    for name, rule in all_rules().items():
        certain = {(each.subject_kind, each.subject) for each in assessment.findings
                   if each.check == name and not each.measure and each.level != "advice"}
        if rule.resistance:
            still = {(each.subject_kind, each.subject) for each in rule.find(rule, bare) if isinstance(each, Finding)}
            assert certain <= still, name


@pytest.mark.parametrize(("plan", "checks"), [
    (lamps(60.0), {"voltage-drop", "low-lamp-voltage"}),
    (tomllib.loads((EXAMPLES[0].parent / "coupe_turbo.toml").read_text(encoding="utf-8")),
     {"voltage-drop", "low-lamp-voltage", "no-trip-far-end", "not-selective"}),
], ids=["dim lamps", "coupe"])
def test_what_fails_is_the_same_where_no_fix_is_asked_for(plan: dict[str, Any], checks: set[str]) -> None:
    bare = without_assumed(assess(Plan.model_validate(plan)).results)
    looked_at: set[str] = set()
    for name, rule in all_rules().items():
        with_fixes, without = ([
            replace(each, fix="", fields=(), values=(), sizes=()) for each in rule.find(rule, results)
            if isinstance(each, Finding)] for results in (replace(bare, fixes_wanted=True), bare))
        assert with_fixes == without, name
        looked_at.update(each.check for each in without)
    assert checks <= looked_at


def test_no_fix_is_worked_out_where_none_is_asked_for() -> None:
    bare = without_assumed(assess(Plan.model_validate(tomllib.loads(
        (EXAMPLES[0].parent / "coupe_turbo.toml").read_text(encoding="utf-8")))).results)
    for name in ("no-trip-far-end", "not-selective"):
        rule = all_rules()[name]
        found = [each for each in rule.find(rule, bare) if isinstance(each, Finding)]
        assert found
        assert {(each.fix, each.values) for each in found} == {(rule.fix, ())}


def test_less_resistance_lowers_no_short_and_not_the_voltage_behind_it() -> None:
    data = copy.deepcopy(lamps(4.0, switch={}))
    results = assess(Plan.model_validate(data)).results
    bare = without_assumed(results)
    assert (bare.network.supply_base <= results.network.supply_base).all()
    assert (bare.network.returns_base <= results.network.returns_base).all()
    assert (bare.network.supply_base >= 0).all()
    assert (bare.network.returns_base >= 0).all()
    # More current warms the wires, by which a little of it is lost again.
    assert (bare.far_ends.circuit_a >= 0.98 * results.far_ends.circuit_a).all()
    lamp = next(index for index in results.network.load_consumers.tolist()
                if results.network.consumers.owner[index][1] == "lamps")
    assert (bare.solution.across_v[:, lamp] >= results.solution.across_v[:, lamp] - 1e-3).all()


def test_an_unknown_battery_alone_makes_no_failure_of_a_short_certain() -> None:
    """A short at the end of a thick wire that only a weak battery keeps from blowing the fuse in time."""
    data = lamps(7.0)
    data["circuit"]["lamps"]["wire"][0]["size"] = "10 mm2"
    data["circuit"]["lamps"]["fuse"] = {"kind": "maxi", "rating": "80 A"}
    del data["battery"]["cold_crank"]
    data["battery"]["internal_resistance"] = "20 mohm"
    given = {each.subject: each for each in assess(Plan.model_validate(data)).findings
             if each.check == "no-trip-far-end"}
    del data["battery"]["internal_resistance"]
    silent = {each.subject: each for each in assess(Plan.model_validate(data)).findings
              if each.check == "no-trip-far-end"}
    assert given.keys() == silent.keys()
    assert any(not each.measure for each in given.values())
    assert any(each.measure and "battery.cold_crank" in each.fields for each in silent.values())


@pytest.mark.share
def test_a_reading_asked_for_while_cranking_is_of_what_lies_on_the_way_of_the_starter(in_full: bool) -> None:
    """Never of a lamp's fuse elsewhere in the car; the straps of the examples are thinned until their drops fail."""
    asked = []
    for path in EXAMPLES:
        for size in (None, "50 mm2", "35 mm2") if in_full else ("35 mm2",):
            data = tomllib.loads(path.read_text(encoding="utf-8"))
            for segment in (each for earth in data["earth"].values() for each in earth.get("wire", ())):
                segment["size"] = size or segment["size"]
            assessment = assess(Plan.model_validate(data))
            starters = {name for name, circuit in assessment.plan.circuit.items() if circuit.role == "starter"}
            asked += [(each.fields[0].split(".")[:2], starters, each.message) for each in assessment.findings
                      if each.check == "low-cranking-voltage" and each.message.startswith("Fails only with")]
    assert asked
    for (kind, name), starters, message in asked:
        assert kind != "circuit" or name in starters, message
