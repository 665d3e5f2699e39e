"""A wire between two batteries gets its fuse at the second one, too: makers of battery chargers and a seller of
split-charge kits ask for one at each."""

from __future__ import annotations

from tomllib import loads as toml
from typing import Any

import pytest

from fuseplan.advice import Proposal, propose
from fuseplan.advice.proposal import edits_of
from fuseplan.limits import limit_set
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.read import parse_plan
from tests.checks.check_plans import passing
from tests.plans import plan_of

CHECK = "second-battery-unprotected"
FUSE = ("circuit", "link", "second_battery", "fuse")
ROAD = limit_set("road")


def linked() -> dict[str, Any]:
    """A car with a split-charge relay whose second battery has no fuse."""
    data = toml(passing(CHECK))
    del data["circuit"]["link"]["second_battery"]["fuse"]
    return data


def proposed(data: dict[str, Any]) -> Proposal:
    found = propose(plan_of(data), ROAD)
    again = propose(found.plan, ROAD)
    assert not again.changes
    return found


def test_it_is_that_of_the_other_end() -> None:
    found = proposed(linked())
    assert {each.path: each.new for each in found.changes} == {
        FUSE: {"kind": "maxi", "rating": "50 A", "distance": "100 mm"}}
    assert found.accepted


def test_it_breaks_what_the_second_battery_drives() -> None:
    """ISO 8820: a maxi breaks 1000 A; a battery of 700 A cold cranking, or one of which nothing is said, may drive
    more."""
    for current in ("700 A", None):
        data = linked()
        data["circuit"]["link"]["second_battery"] = {} if current is None else {"cold_crank": current}
        found = proposed(data)
        assert [dict(each.new)["kind"] for each in found.changes if not isinstance(each.new, str)] == ["mega"]


def test_a_wire_too_thin_for_the_load_grows_first() -> None:
    data = linked()
    data["circuit"]["link"]["wire"][0]["size"] = "1.5 mm2"
    found = proposed(data)
    assert {each.path[2] for each in found.changes} == {"second_battery", "wire"}
    assert found.accepted


def test_without_a_fuse_of_its_own_at_the_other_end_it_suits_the_wire_all_the_same() -> None:
    data = linked()
    del data["circuit"]["link"]["fuse"]
    [change] = [each for each in proposed(data).changes if each.path == FUSE]
    assert dict(change.new)["rating"] == "60 A"


@pytest.mark.parametrize("rating", ["400 A", "200 A"])
def test_one_too_large_for_its_wire_is_changed(rating: str) -> None:
    data = toml(passing(CHECK))
    data["circuit"]["link"]["second_battery"]["fuse"] |= {"kind": "mega", "rating": rating}
    found = proposed(data)
    assert {each.path: each.new for each in found.changes} == {(*FUSE, "kind"): "maxi", (*FUSE, "rating"): "50 A"}
    assert found.accepted


def test_why_the_circuit_has_no_fuse_stays_where_the_second_battery_gets_one() -> None:
    data = linked()
    del data["circuit"]["link"]["fuse"]
    data["circuit"]["link"]["unfused"] = "the link is short"
    found = proposed(data)
    assert FUSE in {each.path for each in found.changes}
    assert found.plan.circuit["link"].unfused == "the link is short"


def test_it_is_written_into_the_file() -> None:
    text = passing(CHECK).replace(', fuse = { kind = "maxi", rating = "50 A", distance = "150 mm" } }', " }")
    plan = parse_plan(text)
    found = propose(plan, ROAD)
    document = PlanDocument.from_text(text)
    document.change(edits_of(found.changes, plan))
    assert parse_plan(document.text) == found.plan
