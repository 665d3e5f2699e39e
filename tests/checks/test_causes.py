"""Findings of one entry have one cause: the change named first removes the leading one and all that stand under it."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.causes import remedied_at
from fuseplan.checks.rule import Finding
from fuseplan.papers.circuit_text import circuit_report
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.plain import with_value
from fuseplan.planfile.read import parse_plan
from tests.advice.worlds import one
from tests.checks.check_plans import BASE
from tests.laws.test_a_fix_changes_something import fixed, judged, motors
from tests.plans import cabin_wire, circuit_text, fuse, load, path_of, plan_of, random_plan

COUPE = tomllib.loads((shipped_folder("examples") / "coupe_turbo.toml").read_text(encoding="utf-8"))


def put(path: str, value: str) -> dict[str, Any]:
    """The coupe's data with one key set."""
    found: dict[str, Any] = with_value(COUPE, path_of(path), value)
    return found


@pytest.fixture(scope="module")
def coupe() -> Assessment:
    return assess(Plan.model_validate(COUPE))


@pytest.mark.parametrize(("path", "value", "checks"), [
    ("circuit.boot_lamp.fuse.rating", "7.5 A", {"fuse-exceeds-wire", "no-trip-far-end"}),
    ("circuit.lambda.wire.1.insulation", "xlpe125", {"fuse-exceeds-wire", "insulation-too-weak"}),
    ("alternator.rated", "145 A", {"alternator-too-small", "discharge-while-running", "alternator-peak-overload"}),
])
def test_the_change_named_first_removes_the_cause_and_its_followers(
        coupe: Assessment, path: str, value: str, checks: set[str]) -> None:
    leading = [each for each in coupe.findings if each.cause is None and remedied_at(each) == path]
    assert len(leading) == 1
    entry = [leading[0], *(coupe.findings[number] for number in leading[0].follows)]
    assert {each.check for each in entry} == checks
    plan = put(path, value)
    if path == "alternator.rated":
        # A machine of that size has a printed output of its own at idle; the small one's no longer holds.
        plan["alternator"].pop("label", None)
        plan["alternator"].pop("low_speed", None)
    after = assess(Plan.model_validate(plan)).findings
    left = {(each.check, each.subject) for each in after if not each.measure}
    assert not left & {(each.check, each.subject) for each in entry}


def test_changes_of_different_keys_are_different_causes(coupe: Assessment) -> None:
    """A holder made for less and a wire that is too thin are two faults, though one part has both."""
    fans = [each for each in coupe.findings if each.subject == "fans" and each.level == "danger"]
    assert {each.check for each in fans} == {"connection-overloaded", "fuse-exceeds-wire"}
    assert all(each.cause is None for each in fans)


SHARED = """
fuseplan = 1
[battery]
cold_crank = "540 A"
internal_resistance = "9 mohm"
capacity = "60 Ah"
zone = "cabin"
[zone.cabin]
ambient = "40 degC"
[feed.battery_post]
zone = "cabin"
[feed.bus]
from = "battery_post"
zone = "cabin"
fuse = { kind = "maxi", rating = "50 A" }
wire = [{ size = "SIZE", length = "5 m", zone = "cabin", insulation = "pvc105" }]
[earth.battery_negative]
[condition.lights]
state = "ignition"
when = ["lights"]
duration = "30 min"
""" + "".join(circuit_text(f"lamp_{number}", load("5 A", at="13.5 V", use="continuous", when=["lights"]), feed="bus",
                         drop_class="control", fuse=fuse("10 A"), wire=cabin_wire("2.5 mm2", "1 m", "pvc105"),
                         earth_wire=[{"size": "2.5 mm2", "length": "0.5 m", "zone": "cabin"}]) for number in range(5))


def drops(size: str) -> dict[int, Finding]:
    """The findings of drops by their numbers."""
    found = assess(parse_plan(SHARED.replace("SIZE", size)))
    assert all(view.drop is not None for view in found.circuits)
    return {number: each for number, each in enumerate(found.findings) if each.check == "voltage-drop"}


@pytest.mark.parametrize("thin", ["4 mm2", "2.5 mm2", "1.5 mm2"])
def test_a_feed_that_loses_most_of_every_drop_is_the_one_cause_and_its_wire_the_fix(thin: str) -> None:
    """However thin it is: ten lamps behind it are no ten faults."""
    found = drops(thin)
    assert len(found) == 5
    assert {remedied_at(each) for each in found.values()} == {"feed.bus.wire.0.size"}
    assert len({number if each.cause is None else each.cause for number, each in found.items()}) == 1
    fixes = {each.fix.partition(":")[0] for each in found.values()}
    assert len(fixes) == 1
    size = re.match(r"fit (.*?) in place of ", fixes.pop())
    assert size is not None
    assert not drops(size[1]), "the size named removes all of them"


def test_a_joint_that_loses_most_is_made_anew_and_no_wire_made_thicker(coupe: Assessment) -> None:
    """A weak alternator too dims the lamp: mended, the joint leaves it bright enough all the same."""
    dim = ("voltage-drop", "low-lamp-voltage")
    found = [each for each in coupe.findings if each.check in dim and each.subject == "rear_fog"]
    assert {each.check for each in found} == set(dim)
    assert {remedied_at(each) for each in found} == {"circuit.rear_fog.wire.0.joint.resistance"}
    mended = assess(Plan.model_validate(put("circuit.rear_fog.wire.0.joint.resistance", "5 mohm")))
    assert not [each for each in mended.findings if each.check in dim and each.subject == "rear_fog"
                and not each.measure]


@pytest.mark.one_in(3, first=1)
@pytest.mark.parametrize("heavy", [True, False])
@pytest.mark.parametrize("seed", range(6))
def test_the_values_of_the_cause_remove_the_drops_under_it(seed: int, heavy: bool) -> None:
    """Whatever drop stands under a cause with values: with those entered it is gone, or asks for a reading at most. A
    drop that asks for a shorter run, or for other wires as well, stands for itself."""
    plan = plan_of(motors(random_plan(seed)) if heavy else random_plan(seed))
    found = assess(plan).findings
    for leader in found:
        under = [found[number] for number in leader.follows if found[number].unit == "V" and not found[number].measure]
        if not leader.values or not under:
            continue
        left = {(each.check, each.subject, each.fields[-1:]) for each in fixed(plan, leader).findings
                if not each.measure and each.fields}
        assert not left & {(each.check, each.subject, each.fields[-1:]) for each in under}, leader.fix


@pytest.mark.parametrize("earth_size", ["1 mm2", "1.5 mm2", "2.5 mm2"])
@pytest.mark.parametrize("length", ["2 m", "6 m", "12 m"])
def test_a_fix_of_several_wires_names_for_each_the_size_it_enters(length: str, earth_size: str) -> None:
    """The wire out is to be thicker for its drop than the fuse asks for, the wire back is not."""
    back = f'earth_wire = [{{ length = "0.5 m", zone = "cabin", insulation = "pvc70", size = "{earth_size}" }}]'
    found = assess(one('size = "1 mm2"', 'fuse = { kind = "blade", rating = "25 A", distance = "100 mm" }', "18 A",
                       length=length, more=back)).findings
    fix = next(each for each in found if each.check == "fuse-exceeds-wire")
    sizes = {path.split(".")[2].replace("_", " "): size.replace("mm2", "mm²") for path, size in fix.values
             if path.endswith(".size")}
    fits = re.findall(r"([\d.]+ mm²) in place ((?:(?![\d.]+ mm² in place ).)+)", fix.fix)
    named = {word: size for size, wires in fits for word in re.findall(r"of the (earth wire|wire)", wires)}
    assert named == sizes, fix.fix


def test_of_one_part_what_follows_from_a_finding_stands_right_behind_it(coupe: Assessment) -> None:
    followed = 0
    for subject in {(each.subject_kind, each.subject) for each in coupe.findings}:
        found = coupe.findings_for(*subject)
        assert sorted(map(id, found)) == sorted(
            id(each) for each in coupe.findings if (each.subject_kind, each.subject) == subject)
        leader = None
        for each, follows in zip(found, coupe.following(found), strict=True):
            if not follows:
                leader = each
            else:
                assert each.cause is not None
                assert coupe.findings[each.cause] is leader
                followed += 1
        leading = [each for each, follows in zip(found, coupe.following(found), strict=True) if not follows]
        ranks = [coupe.findings.index(each) for each in leading]
        assert ranks == sorted(ranks), "the worst first"
    assert followed > 1


def test_the_report_of_a_circuit_prints_every_finding_once_under_its_cause(coupe: Assessment) -> None:
    name = next(each.subject for each in coupe.findings if each.cause is not None and each.subject_kind == "circuit"
                and coupe.findings[each.cause].subject == each.subject)
    text = circuit_report(coupe, name)
    heads = [line for line in text.splitlines() if line.lstrip().startswith("• ") and f"(circuit {name})" in line]
    assert len(heads) == len(coupe.findings_for("circuit", name))
    following = coupe.following(coupe.findings_for("circuit", name))
    assert ["• also " in line for line in heads] == list(following)
    assert any(following)


def test_of_what_one_check_has_about_one_part_the_furthest_past_its_limit_leads(coupe: Assessment) -> None:
    leading = [(number, each) for number, each in enumerate(coupe.findings) if each.follows and each.limit is not None]
    same = [(each, coupe.findings[other]) for _, each in leading for other in each.follows
            if (coupe.findings[other].check, coupe.findings[other].subject, coupe.findings[other].level,
                coupe.findings[other].measure) == (each.check, each.subject, each.level, each.measure)]
    saloon = assess(parse_plan((shipped_folder("examples") / "dynamo_saloon.toml").read_text(encoding="utf-8")))
    same += [(each, saloon.findings[other]) for each in saloon.findings for other in each.follows
             if saloon.findings[other].check == each.check and saloon.findings[other].subject == each.subject]
    assert same
    for first, other in same:
        assert first.figure is not None
        assert first.limit is not None
        assert other.figure is not None
        assert other.limit is not None
        assert abs(first.figure - first.limit) >= abs(other.figure - other.limit), (first.message, other.message)


def test_a_smaller_fuse_for_coils_is_not_said_to_stop_a_pump_that_must_stop() -> None:
    wire = cabin_wire("0.75 mm2", "1 m", "pvc105")
    data = tomllib.loads(BASE)
    data["circuit"] = {"pump": {
        "feed": "bus", "earth": "body", "role": "fuel_pump", "cut_off": ["ecu"],
        "wire": cabin_wire("2.5 mm2", "2 m", "pvc105"), "earth_wire": cabin_wire("2.5 mm2", "1 m", "pvc105"),
        "fuse": {"kind": "blade", "rating": "20 A"},
        "relay": {"contact": "mini_40", "coil_feed": "bus", "wire_85": wire, "wire_86": wire, "coil_earth": "body"},
        "load": [load("7 A", at="13.5 V", use="continuous", when=["engine"])]}}
    found = assess(plan_of(data)).findings
    coils = [each for each in found if each.check == "fuse-exceeds-wire" and each.fields[0].endswith("coil_feed")]
    states = [each for each in found if each.check == "live-when-off"]
    assert coils
    assert states
    assert {remedied_at(each) for each in coils} == {remedied_at(each) for each in states}
    assert all(each.cause is None for each in states)


def about(finding: Finding) -> tuple[object, ...]:
    """What tells drops of one circuit apart: the side they are on."""
    return finding.identity, finding.message.partition(" ")[0], finding.fields[-1:]


@pytest.mark.parametrize("seed", [15, 19, 28, *(pytest.param(seed, marks=pytest.mark.rest) for seed in range(40)
                                           if seed not in (15, 19, 28))])
def test_a_drop_under_another_drop_is_gone_with_the_sizes_named_there(seed: int) -> None:
    """One over a run that is to be shorter does not follow from a shared wire that loses too much for another."""
    plan = plan_of(random_plan(seed))
    found = assess(plan).findings
    seen = 0
    for leader in found:
        under = [each for each in map(found.__getitem__, leader.follows) if each.unit == "V" and not each.measure]
        if leader.unit != "V" or not leader.values or not under:
            continue
        seen += 1
        left = {about(each) for each in fixed(plan, leader).findings if not each.measure}
        assert not [each for each in under if about(each) in left]
    assert seen or seed not in (15, 19, 28)


def test_a_long_thin_wire_is_told_beside_the_smaller_fuse_it_needs() -> None:
    found = judged("drop-45-AWG 18").findings
    assert {each.check for each in found if each.cause is None and each.level == "danger"} == {
        "fuse-exceeds-wire", "no-trip-far-end"}
    smaller = next(each for each in found if each.check == "fuse-exceeds-wire")
    assert "no-trip-far-end" in {each.check for each in fixed(judged("drop-45-AWG 18").plan, smaller).findings}
