"""An engine without a strap of its own is found whatever else is not said of its starter or its alternator: the current
returns through a cable or a pipe all the same."""

from __future__ import annotations

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import without
from fuseplan.planfile.read import parse_data
from tests.checks.check_plans import failing, passing


@pytest.mark.parametrize("key", ["use", "current", "when", "kind", "at", "evidence"])
def test_a_starter_is_one_by_its_role(key: str) -> None:
    data = parse_data(failing("no-engine-strap"), "plan")
    plan = Plan.model_validate(without(data, ("circuit", "starter", "load", 0, key)))
    assert [each.subject for each in assess(plan).findings if each.check == "no-engine-strap"] == ["gearbox"]


def test_a_starter_without_loads_is_on_the_engine_too() -> None:
    data = parse_data(failing("no-engine-strap"), "plan")
    found = assess(Plan.model_validate(without(data, ("circuit", "starter", "load"))))
    assert [each.subject for each in found.findings if each.check == "no-engine-strap"] == ["gearbox"]
    assert [each.kind for each in found.not_said if (each.subject_kind, each.subject) == ("earth", "gearbox")] == []


def test_a_point_with_a_strap_that_nothing_marks_as_the_engine_is_to_be_marked() -> None:
    data = parse_data(passing("no-engine-strap"), "plan")
    point = data["circuit"]["starter"]["earth"]
    assert data["earth"][point].pop("engine")
    found, = {each.fix: each for each in assess(Plan.model_validate(data)).findings
              if each.check == "no-engine-strap"}.values()
    assert found.fields[0] == f"earth.{point}.engine"
    data["earth"][point]["engine"] = True
    assert not [each for each in assess(Plan.model_validate(data)).findings if each.check == "no-engine-strap"]


@pytest.mark.parametrize("key", ["rated", "pulley_ratio"])
def test_an_alternator_of_unknown_output_is_on_the_engine_too(key: str) -> None:
    data = parse_data(failing("alternator-cable-unfused"), "plan")
    assert "earth" not in data["alternator"]
    plan = Plan.model_validate(without(data, ("alternator", key)))
    found = [each for each in assess(plan).findings if each.check == "no-engine-strap"]
    assert [each.level for each in found] == ["danger"]
