"""An alternator cable on a feed whose fuse is too large for it gets a fuse where it starts, not the copper of the feed;
check and proposal say the same."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from tests.plans import plan_of

EXAMPLE = Path(__file__).parents[2] / "examples" / "boot_battery.toml"


@pytest.fixture
def data() -> dict[str, Any]:
    """The car with its battery in the boot, the fuse of its alternator cable left out, behind a 225 A fuse."""
    found = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))
    del found["alternator"]["fuse"]
    found["alternator"]["cable"] = [{"size": "35 mm2", "length": "0.9 m", "zone": "engine_bay", "insulation": "xlpe125",
                                     "cover": "sleeve"}]
    return found


def test_the_cable_is_fused_where_it_starts(data: dict[str, Any]) -> None:
    proposal = propose(plan_of(data), limit_set("road"), look_for_savings=False)
    fitted = [change.path for change in proposal.changes if change.path[0] == "alternator"]
    assert ("alternator", "fuse") in fitted
    after = proposal.after.plan.alternator
    assert after is not None
    assert after.fuse is not None
    assert after.fuse.kind == "mega"
    assert not [each for each in proposal.after.findings if each.check == "fuse-exceeds-wire"]


def test_the_check_names_that_fuse_first(data: dict[str, Any]) -> None:
    finding, = (each for each in assess(plan_of(data)).findings if each.check == "fuse-exceeds-wire")
    assert finding.fix.startswith("a fuse of at most")
    assert "alternator cable (35 mm²)" in finding.fix
    assert finding.fields[0] == "alternator.fuse"


def test_a_cable_that_has_a_fuse_gets_no_second_one(data: dict[str, Any]) -> None:
    data["alternator"]["fuse"] = {"kind": "mega", "rating": "200 A", "distance": "100 mm", "zone": "engine_bay"}
    proposal = propose(plan_of(data), limit_set("road"), look_for_savings=False)
    assert ("alternator", "fuse") not in [change.path for change in proposal.changes]


def test_a_cable_too_thin_for_what_the_alternator_gives_is_one_entry_and_gets_no_fuse_that_blows(data: dict[str, Any]
                                                                                                 ) -> None:
    data["alternator"]["cable"][0]["size"] = "10 mm2"
    found = assess(plan_of(data)).findings
    of_cable = [each for each in found if "the alternator cable" in each.message and each.level == "danger"]
    assert {each.check for each in of_cable} >= {"fuse-exceeds-wire", "wire-overloaded"}
    leader, = (each for each in of_cable if each.cause is None)
    named = re.match(r"fit ([\d.]+ mm)² in place of the alternator cable", leader.fix)
    assert named is not None
    data["alternator"]["cable"][0]["size"] = f"{named[1]}2"
    assert not [each for each in assess(plan_of(data)).findings if "the alternator cable" in each.message
                and each.level == "danger"]
