"""What is plugged into a socket is not known and no reading shows it: a rated current is the most that may be drawn."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.plan.model import Plan
from fuseplan.planfile.starter import starter_plan


def judged(evidence: str, current_a: float = 10.0) -> Assessment:
    data: dict[str, Any] = tomllib.loads(starter_plan("car", ["power_socket"]))
    data["battery"] |= {"cold_crank": "500 A", "capacity": "60 Ah"}
    circuit = data["circuit"]["power_socket"]
    circuit["fuse"]["rating"] = "20 A"
    circuit["load"][0] |= {"evidence": evidence, "current": f"{current_a} A"}
    return assess(Plan.model_validate(data))


def asks_for_a_reading(assessment: Assessment) -> bool:
    return any(each.measure for each in assessment.findings_for("circuit", "power_socket"))


def test_the_socket_of_the_library_asks_for_no_reading() -> None:
    assert judged("limit").verdict("power_socket") == "ok"
    assert not asks_for_a_reading(judged("limit"))


def test_at_another_evidence_the_same_socket_is_to_be_measured() -> None:
    assert judged("guess").verdict("power_socket") == "measure"
    assert asks_for_a_reading(judged("guess"))


@pytest.mark.parametrize(("current_a", "fails"), [(10.0, False), (14.0, True)])
def test_a_rating_that_the_fuse_does_not_carry_fails_outright(current_a: float, fails: bool) -> None:
    assert (judged("limit", current_a).verdict("power_socket") == "fails") is fails
