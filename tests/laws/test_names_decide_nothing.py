"""What a part is called decides nothing: what a plan lacks is a value of its own, never read from a sentence."""

from __future__ import annotations

from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.missing import Lack, Unknown, leaves_unknown
from fuseplan.plan.model import Plan

WORDS = ("current", "kind of load of 'lamp'", "loads", "size of wire.0", "length of wire.0", "feed", "earth", "fuse",
         "current or power of 'x'", "not known")


def plan_of(circuit: str, load: str, run: str, lacking: dict[str, Any]) -> Plan:
    """Two circuits on one feed; one of them lacks something."""
    segment: dict[str, Any] = {"size": "1 mm2", "insulation": "pvc105"}
    body = {"feed": "bus", "earth": "body", "fuse": {"kind": "mini", "rating": "10 A"}, "drop_class": "lamp"}
    drawn = {"name": load, "power": "21 W", "at": "12 V", "kind": "lamp", "evidence": "plate"}
    return Plan.model_validate({
        "fuseplan": 1, "battery": {"cold_crank": "400 A"}, "zone": {"cabin": {"ambient": "40 degC"}},
        "run": {run: {"from": "a", "to": "b", "zone": "cabin", **lacking.get("run", {"length": "2 m"})}},
        "feed": {"post": {"zone": "cabin"}, "bus": {
            "from": "post", "zone": "cabin", "fuse": {"kind": "maxi", "rating": "40 A"},
            "wire": [{"size": "10 mm2", "length": "1 m", "zone": "cabin", "insulation": "pvc105"}]}},
        "earth": {"battery": {}, "body": {"to": "battery", "resistance": "1 mohm"}},
        "circuit": {
            circuit: {**body, "wire": [{**segment, "along": [run], **lacking.get("segment", {})}],
                      "load": [{**drawn, **lacking.get("load", {})}]},
            "other": {**body, "wire": [{**segment, "length": "2 m", "zone": "cabin"}], "load": [drawn]},
        }})


def facts(assessment: Assessment, circuit: str) -> list[object]:
    """All that must not depend on a name."""
    view = assessment.circuit(circuit)
    return [view.verdict, [(each.lack, each.key) for each in assessment.lacks(circuit)], view.design_a, view.drop,
            view.current_known, view.fuse, len(assessment.findings), assessment.exit_status,
            [(each.check, each.level) for each in view.findings]]


LACKING = {
    "nothing": {}, "run length": {"run": {"length": None}}, "size": {"segment": {"size": None}},
    "current": {"load": {"power": None}}, "kind": {"load": {"kind": None}},
}


@pytest.mark.parametrize("lacking", LACKING.values(), ids=LACKING.keys())
@pytest.mark.parametrize("word", WORDS)
def test_renaming_a_circuit_its_load_and_its_run_changes_nothing(word: str, lacking: dict[str, Any]) -> None:
    plain = assess(plan_of("lamp", "bulb", "loom", lacking))
    for circuit, load, run in ((word, "bulb", "loom"), ("lamp", word, "loom"), ("lamp", "bulb", word)):
        renamed = assess(plan_of(circuit, load, run, lacking))
        assert facts(renamed, circuit) == facts(plain, "lamp")
        assert facts(renamed, "other") == facts(plain, "other")


def test_what_is_lacking_says_what_it_leaves_unknown() -> None:
    found = {name: assess(plan_of("lamp", "bulb", "loom", lacking)) for name, lacking in LACKING.items()}
    unknown = {name: {what for what in Unknown if leaves_unknown(each.lacks("lamp"), what)}
               for name, each in found.items()}
    assert unknown["nothing"] == set()
    assert Unknown.CURRENT in unknown["current"] & unknown["kind"]
    assert unknown["size"] == {Unknown.RESISTANCE, Unknown.VOLTAGE, Unknown.AMPACITY}
    assert unknown["run length"] == {Unknown.RESISTANCE, Unknown.VOLTAGE}


@pytest.mark.parametrize("lack", Lack)
def test_every_lack_leaves_something_unknown(lack: Lack) -> None:
    assert lack.leaves_unknown
