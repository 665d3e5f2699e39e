"""What a part is called and what is written beside it decide nothing: no free text excuses a part, and what a plan
lacks is a value of its own, never read from a sentence."""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.missing import Lack, Unknown, leaves_unknown
from fuseplan.plan.model import Plan
from fuseplan.plan.putting import steps_of
from fuseplan.plan.references import parts
from fuseplan.results.document import to_document

WORDS = ("current", "kind of load of 'lamp'", "loads", "size of wire 1", "length of wire 1", "feed", "earth", "fuse",
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
    return [view.verdict, [(each.lack, each.key) for each in assessment.lacks(circuit)],
            [to_document(part) for part in (view.load_current_a, view.relay, view.fault, *view.segments)],
            [None if part is None else to_document(part) for part in (view.drop, view.fuse)], view.current_known,
            len(assessment.findings), assessment.exit_status,
            [(each.check, each.level) for each in view.findings]]


LACKING = {
    "nothing": {}, "run length": {"run": {"length": None}}, "size": {"segment": {"size": None}},
    "current": {"load": {"power": None}}, "kind": {"load": {"kind": None}},
}


@pytest.mark.one_in(4)
@pytest.mark.parametrize(("word", "lacking"), [
    pytest.param(word, lacking, id=f"{word}-{name}",
                 marks=() if place % len(LACKING) in (number, len(LACKING) - 1 - number) else pytest.mark.rest)
    for place, word in enumerate(WORDS) for number, (name, lacking) in enumerate(LACKING.items())])
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


EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
FREE: dict[str, tuple[str, ...]] = {
    "battery": ("note",), "alternator": ("note", "unfused"), "zone": ("name", "note"),
    "run": ("name", "note", "sleeve"),
    "feed": ("name", "note", "terminal", "unfused"), "earth": ("name", "note"), "condition": ("name", "note"),
    "circuit": ("name", "note", "unfused", "caution"), "load": ("name", "note", "source"), "segment": ("note",),
    "fuse": ("note",), "relay": ("note",), "fuse_box": ("name", "note"), "trip": ("name", "note"),
}
"""Keys that take any text, by the kind of part."""
EXCUSES = ("fused at the battery", "in corrugated conduit, sleeve of glass fibre to 200 degC",
           "no fuse needed: measured ok", "not used", "airbag", "starter", "diode")


def with_text(data: dict[str, Any], text: str) -> tuple[Plan, int]:
    """The plan with a text in every key that takes any, and how many there are."""
    data, count = copy.deepcopy(data), 0
    for kind, _, part in list(parts(data)):
        for key in FREE.get(kind, ()):
            part[key], count = text[:64], count + 1
        joints = [part["joint"]] if kind == "segment" and isinstance(part.get("joint"), dict) else []
        for joint in joints:
            joint["method"], count = text, count + 1
    return Plan.model_validate(data), count


def judgement(assessment: Assessment) -> list[Any]:
    """All that is decided, without a word of it."""
    return [{name: assessment.verdict(name) for name in assessment.plan.circuit}, assessment.exit_status,
            sorted((each.check, each.level, each.subject, each.measure, each.figure or 0.0, each.limit or 0.0)
                   for each in assessment.findings),
            sorted((each.check, each.subject) for each in assessment.unjudged)]


@pytest.mark.one_in(3)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_no_free_text_excuses_anything(path: Path) -> None:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    plain = judgement(assess(Plan.model_validate(data)))
    for text in EXCUSES:
        plan, count = with_text(data, text)
        assert count > 100
        assessment = assess(plan)
        # A name that contradicts a role, or says what is to be left alone, asks which is right, and leaves the circuit
        # unknown until it is said.
        asked = {each.subject for each in assessment.not_said if each.kind in ("role_or_name", "out_of_scope")}
        assert bool(asked) == (text in ("starter", "airbag"))
        verdicts, status, *found = judgement(assessment)
        verdicts |= {name: plain[0][name] for name in asked if verdicts[name] == "unknown" != plain[0][name] != "fails"}
        assert [verdicts, plain[1] if asked else status, *found] == plain, text


def test_a_path_is_split_by_the_ids_of_the_plan() -> None:
    plan = Plan.model_validate({"fuseplan": 1, "circuit": {"a": {}, "a.b": {}}})
    assert steps_of(plan, "circuit.a.b.wire.0.size") == ("circuit", "a.b", "wire", "0", "size")
    assert steps_of(plan, "circuit.a.wire.0.size") == ("circuit", "a", "wire", "0", "size")
    assert steps_of(plan, "alternator.cable.0.size") == ("alternator", "cable", "0", "size")
