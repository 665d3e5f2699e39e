"""A part has one place: every result, finding and working that states a temperature for it states the same one.

The plans are the examples, plans made by rule, and one of each with overloaded parts, so that the findings speak.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from fuseplan.checks.explain import explain
from fuseplan.checks.feed_limits import feed_limits
from fuseplan.engine.ambient import ASSUMED_C, Places
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import read_plan
from fuseplan.results.address import FigureSpot, find, joined
from fuseplan.results.document import to_document
from fuseplan.results.power_report import PowerReport
from tests.plans import large_plan, plan_of, random_plan

EXAMPLES = sorted(shipped_folder("examples").glob("*.toml"))
DEGREES = re.compile(r"(-?\d+) °C")
OF_CONTACT = re.compile(r"contact at (-?\d+) °C")
OF_FUSE = re.compile(r"at (-?\d+) °C a continuous load")
Stated = dict[tuple[str, str, str], set[float]]
"""Ambients stated for (what, kind of owner, owner)."""


def heavier(data: dict[str, Any]) -> dict[str, Any]:
    """The same plan with loads so large that fuses and contacts fail."""
    for circuit in data["circuit"].values():
        for load in circuit["load"]:
            load["power"], load["use"], load["when"] = "700 W", "continuous", ["always"]
    return data


def zoned(data: dict[str, Any]) -> dict[str, Any]:
    """The same plan with a zone on every second feed and on some relays."""
    for number, feed in enumerate(data["feed"].values()):
        if number % 2 == 0:
            feed["zone"] = ("engine_bay", "cabin", "boot")[number // 2 % 3]
    for number, circuit in enumerate(data["circuit"].values()):
        if number % 3 == 0 and "relay" in circuit:
            circuit["relay"]["zone"] = "engine_bay"
    return data


def plans() -> Iterator[Any]:
    for path in EXAMPLES:
        yield pytest.param(lambda path=path: read_plan(path), id=path.stem)
    for seed in range(12):
        make, marks = zoned if seed % 2 else dict, pytest.mark.rest if seed >= 4 else ()
        yield pytest.param(lambda seed=seed, make=make: plan_of(make(random_plan(seed))), id=f"random-{seed}",
                           marks=marks)
        yield pytest.param(lambda seed=seed, make=make: plan_of(heavier(make(random_plan(seed)))), id=f"heavy-{seed}",
                           marks=marks)
    yield pytest.param(lambda: plan_of(heavier(large_plan(30))), id="heavy-large")


def stated(assessment: Assessment) -> Stated:
    """All ambients stated for fuses, relay contacts and single wires of one place."""
    found: Stated = defaultdict(set)
    _in_documents(assessment, found)
    _in_findings(assessment, found)
    for limit in feed_limits(assessment.results):
        if limit.relay is not None:
            found["relay", "feed", limit.feed].add(limit.relay.contact.ambient_c)
            found["relay", "feed", limit.feed].add(float(DEGREES.findall(limit.words)[0]))
    return found


def _in_documents(assessment: Assessment, found: Stated) -> None:
    document = assessment.to_dict()
    for kind, key in (("circuit", "circuits"), ("feed", "feeds")):
        for entry in document[key]:
            if entry["fuse"] is not None:
                found["fuse", kind, entry["id"]].add(entry["fuse"]["ambient_c"])
            for number, segment in enumerate(entry["segments"]):
                found[f"segment {number}", kind, entry["id"]].add(segment["ambient_c"])
    for total in to_document(PowerReport(assessment))["loads"]["relays"]:
        found["relay", total["kind"], total["id"]].add(float(DEGREES.findall(total["limit"])[0]))


def _in_findings(assessment: Assessment, found: Stated) -> None:
    """What is stated for a part without a zone says the temperature it is stated at in the same sentence."""
    for finding in assessment.findings:
        if "no zone is stated" in finding.message:
            continue
        for words, what in ((OF_CONTACT, "relay"), (OF_FUSE, "fuse")):
            for degrees in words.findall(finding.message):
                found[what, finding.subject_kind, finding.subject].add(float(degrees))


@pytest.mark.one_in(4)
@pytest.mark.parametrize("make", plans())
def test_every_ambient_stated_for_a_part_is_the_same(make: Any) -> None:
    plan: Plan = make()
    assessment, places = assess(plan), Places(plan)
    found = stated(assessment)
    assert {what for what, _, _ in found} >= {"fuse", "segment 0"}
    for (what, kind, name), temperatures in found.items():
        owner = (kind, "" if kind == "alternator" else name)
        if what == "relay":
            temperatures.add(round(places.relay(owner).ambient_c))
        elif what == "fuse":
            index = assessment.fuse_of[owner]
            temperatures.add(round(places.holder(owner, assessment.results.network.fuses[index].fuse).ambient_c))
        assert len({round(each) for each in temperatures}) == 1, (what, kind, name, temperatures)


@pytest.mark.parametrize("make", [pytest.param(lambda: read_plan(EXAMPLES[0]), id=EXAMPLES[0].stem),
                                  pytest.param(lambda: plan_of(random_plan(3)), id="random-3")])
def test_the_working_of_a_fuse_starts_from_its_own_ambient(make: Any) -> None:
    assessment = assess(make())
    seen = 0
    for index, row in enumerate(assessment.results.network.fuses):
        place = joined((f"{row.owner[0]}s", row.owner[1])) if row.owner[1] else "power.alternator_cable"
        figure = find(assessment.whole, f"{place}.fuse.range_a.low")
        assert isinstance(figure, FigureSpot)
        if figure.value is not None and assessment.limit_set.fuse.ambient != "none":
            steps = explain(assessment, figure).steps
            taken = {step.result for step in steps if step.equation.startswith("ambient at the holder")}
            assert taken == {assessment.results.network.holder_c[index]}
            seen += 1
    assert seen > 3


@pytest.mark.share
def test_a_part_without_a_zone_up_to_the_battery_is_said_to_be_judged_at_an_assumed_temperature(in_full: bool) -> None:
    for seed in range(8 if in_full else 3):
        data = random_plan(seed)
        assessment = assess(plan_of(data))
        [finding] = [each for each in assessment.findings if each.check == "zone-not-stated"]
        assert finding.figure == ASSUMED_C
        assert finding.subject == "root"
        data["battery"]["zone"] = "cabin"
        assessment = assess(plan_of(data))
        assert not [each for each in assessment.findings if each.check == "zone-not-stated"]
        assert all(row.ambient_c == 45.0 for row in assessment.results.network.fuses)


def test_a_relay_that_switches_a_feed_is_judged_at_the_hotter_end_unless_its_zone_is_stated() -> None:
    data = random_plan(1)
    data["feed"]["root"]["zone"], hot = "cabin", {"from": "root", "zone": "engine_bay"}
    relay = {"contact": "mini_40", "coil_feed": "root", "suppression": "diode"}
    data["feed"] |= {"bus": {**hot, "relay": relay}, "own": {**hot, "relay": {**relay, "zone": "boot"}},
                     "cool": {"from": "bus", "zone": "cabin", "relay": relay}}
    places = Places(plan_of(data))
    assert [places.relay(("feed", name)).ambient_c for name in ("bus", "own", "cool")] == [80.0, 40.0, 80.0]
