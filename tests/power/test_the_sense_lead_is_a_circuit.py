"""A sense lead is a thin wire that is always live: its fuse and wire are asked, and judged as those of any circuit."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.errors import FuseplanError
from fuseplan.papers.summary import verdict
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value
from fuseplan.planfile.read import parse_plan
from tests.laws.test_silence_never_helps import GOOD
from tests.plans import plan_of

LEAD: dict[str, Any] = {
    "feed": "post", "role": "other", "earth": "engine", "drop_class": "regulator_sense",
    "fuse": {"kind": "blade", "rating": "5 A", "distance": "100 mm"},
    "wire": [{"size": "1 mm2", "length": "1.5 m", "zone": "bay", "insulation": "xlpe125"}],
    "load": [{"current": "20 mA", "at": "13.5 V", "kind": "electronic", "when": ["always"], "evidence": "measured"}]}


def car(lead: dict[str, Any] | None = None, **sensing: str) -> Plan:
    data: Any = tomllib.loads(GOOD)
    data["alternator"] |= {"sense": "battery", **sensing}
    if lead is not None:
        data["circuit"]["sense"] = lead
        data["alternator"]["sense_lead"] = "sense"
    return plan_of(data)


def asked(found: Assessment) -> list[tuple[str, bool]]:
    return [(each.key, each.safety) for each in found.not_said if each.key.startswith("alternator.sense")]


def test_a_lead_from_an_unfused_point_that_is_not_described_is_never_ready() -> None:
    found = assess(car())
    assert asked(found) == [("alternator.sense_lead", True)]
    assert "No fault found" not in verdict(found)[1]
    assert asked(assess(car(sense_feed="bus"))) == [("alternator.sense_lead", False)]
    assert not asked(assess(plan_of(with_value(tomllib.loads(GOOD), ("alternator", "sense"), "own_terminal"))))


def test_a_lead_that_is_described_is_judged_as_a_circuit() -> None:
    good = assess(car(LEAD))
    assert not asked(good)
    assert good.verdict("sense") == "ok"
    bare = assess(car({key: value for key, value in LEAD.items() if key != "fuse"}))
    assert [each.level for each in bare.findings if (each.check, each.subject) == ("no-fuse", "sense")] == ["danger"]
    large = assess(car(with_value(LEAD, ("fuse", "rating"), "30 A")))
    assert [each.level for each in large.findings if (each.check, each.subject) == ("fuse-exceeds-wire", "sense")] == [
        "danger"]


def test_where_it_ends_is_asked_if_two_points_are_stated() -> None:
    assert asked(assess(car(LEAD, sense_feed="bus"))) == [("alternator.sense_feed", False)]
    assert not asked(assess(car(LEAD | {"feed": "bus"}, sense_feed="bus")))


@pytest.mark.parametrize("sense", ["", 'sense = "own_terminal"\n'])
def test_a_lead_is_refused_where_none_is_stated(sense: str) -> None:
    with pytest.raises(FuseplanError, match="sense_lead"):
        parse_plan(GOOD.replace("[alternator]\n", f'[alternator]\n{sense}sense_lead = "fan"\n', 1))
    with pytest.raises(FuseplanError, match="nobody"):
        parse_plan(GOOD.replace("[alternator]\n", '[alternator]\nsense = "battery"\nsense_lead = "nobody"\n', 1))
