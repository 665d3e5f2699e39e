"""Neither the first plan nor a proposal takes a type of fuse without opening times on file where one with times has a
rating that fits and breaks a short there."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.stock import ladder
from fuseplan.limits import limit_set
from fuseplan.planfile.starter import starter_plan
from fuseplan.tables.time_current import DOCUMENTS, time_current
from tests.plans import plan_of

EXAMPLE = Path(__file__).parents[2] / "examples" / "boot_battery.toml"


def at_fault(assessment: Assessment, kind: str, subject: str) -> bool:
    return any(each.check == "breaking-capacity" and each.subject_kind == kind and each.subject == subject
               and each.level != "advice" for each in assessment.findings)


def test_no_type_with_times_breaks_the_short_at_a_fuse_of_the_first_plan_that_has_none() -> None:
    data = tomllib.loads(starter_plan("car")) | {"battery": {"zone": "engine_bay", "cold_crank": "540 A"}}
    found = [(name, kind) for name, feed in data["feed"].items() if "fuse" in feed
             and time_current(feed["fuse"]["kind"], 60.0) is None for kind in DOCUMENTS
             if float(feed["fuse"]["rating"].removesuffix(" A")) in ladder(kind)]
    assert {name for name, _ in found} == {"engine_bus", "lamp_bus"}
    assert not [each for each in assess(plan_of(data)).findings if each.check == "breaking-capacity"
                and each.level != "advice"]
    for name, kind in found:
        tried = data | {"feed": data["feed"] | {name: data["feed"][name] | {
            "fuse": data["feed"][name]["fuse"] | {"kind": kind}}}}
        assert at_fault(assess(plan_of(tried)), "feed", name), (name, kind)


def car(cold_crank: str, cable: str, label: str) -> dict[str, Any]:
    """The car with its battery in the boot and no fuse in its alternator cable, behind 225 A."""
    found = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))
    del found["alternator"]["fuse"]
    found["battery"]["cold_crank"], found["alternator"]["label"] = cold_crank, label
    found["alternator"]["cable"] = [{"size": cable, "length": "0.9 m", "zone": "engine_bay", "insulation": "xlpe125",
                                     "cover": "sleeve"}]
    return found


@pytest.mark.parametrize(("cold_crank", "cable", "label", "kind"), [
    ("400 A", "16 mm2", "14V 18/35A", "maxi"),  # 35 A continuous fit a maxi, and the mega before it breaks the short
    ("400 A", "35 mm2", "14V 55/90A", "mega"),  # no maxi carries 90 A
    ("900 A", "16 mm2", "14V 18/35A", "mega"),  # no maxi breaks the short, nor does what lies before it
])
def test_the_fuse_proposed_for_an_alternator_cable(cold_crank: str, cable: str, label: str, kind: str) -> None:
    proposal = propose(plan_of(car(cold_crank, cable, label)), limit_set("road"), look_for_savings=False)
    after = proposal.after.plan.alternator
    assert after is not None
    assert after.fuse is not None
    assert after.fuse.kind == kind
    assert not at_fault(proposal.after, "alternator", "alternator")
