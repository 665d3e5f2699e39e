"""Coils on a feed of their own share its fuse: where it is left out, that is one fault and one fuse mends it."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import assess
from fuseplan.checks.rule import Finding
from fuseplan.limits import limit_set
from fuseplan.plan.coils import only_coils
from fuseplan.plan.model import Plan
from fuseplan.planfile.library import shipped_folder
from fuseplan.planfile.read import parse_plan

VAN = (shipped_folder("examples") / "van_24v.toml").read_text(encoding="utf-8")


def _fuse_of(text: str, feed: str, fuse: str) -> str:
    """The plan with another fuse in a feed."""
    head, line, tail = text.partition(f"[feed.{feed}]\n")
    changed = re.sub(r"^fuse = .*\n", fuse, tail, count=1, flags=re.MULTILINE)
    assert line
    assert changed != tail
    return head + line + changed


FUSE = 'fuse = { kind = "blade", rating = "5 A", distance = "0.1 m" }\n'


def _dangers(text: str) -> list[Finding]:
    return [each for each in assess(parse_plan(text)).findings if each.level == "danger"]


@pytest.mark.parametrize("before", [None, "main_bus"], ids=["the main fuse before it", "no fuse before it either"])
def test_one_fuse_mends_what_the_coils_on_one_feed_lack(before: str | None) -> None:
    plan = VAN if before is None else _fuse_of(VAN, before, "")
    assert bool(_dangers(plan)) == (before is not None)
    found = [each for each in _dangers(_fuse_of(plan, "coils_15", "")) if "coil wire" in each.message]
    assert len(found) > 2
    assert {each.fields[0] for each in found} == {"feed.coils_15.fuse.rating"}
    assert len([each for each in found if each.cause is None]) == 1
    for each in found:
        asked = re.search(r"a fuse of at most ([0-9.]+) A in 'Relay coils on the ignition bus'", each.fix)
        assert asked
        assert float(asked[1]) >= 5.0
    if before is None:
        assert len([each for each in _dangers(_fuse_of(plan, "coils_15", "")) if each.cause is None]) == 1
    assert not [each for each in _dangers(_fuse_of(plan, "coils_15", FUSE)) if "coil wire" in each.message]


def test_the_proposal_is_that_one_fuse() -> None:
    changes = propose(parse_plan(_fuse_of(VAN, "coils_15", "")), limit_set("road"), look_for_savings=False).changes
    assert {each.path[:2] for each in changes} == {("feed", "coils_15")}


@pytest.mark.parametrize("beside", [
    {"alternator": {"sense": "battery", "sense_feed": "coils_15"}},
    {"alternator": {"feed": "coils_15"}},
    {"connector": {"plug": {"pin": {"1": {"feed": "coils_15"}}}}},
    {"feed": {"more": {"from": "coils_15"}}},
    {"circuit": {"more": {"feed": "coils_15"}}},
    {"circuit": {"more": {"feed": "main_bus", "also_from": ["coils_15"]}}},
    {"circuit": {"more": {"feed": "main_bus", "load": [{"to_feed": "coils_15"}]}}},
], ids=str)
def test_a_feed_is_for_coils_alone_where_nothing_else_is_on_it(beside: dict[str, dict[str, Any]]) -> None:
    data: dict[str, Any] = tomllib.loads(VAN)
    assert only_coils(Plan.model_validate(data), "coils_15")
    changed = data | {kind: data.get(kind, {}) | table for kind, table in beside.items()}
    assert not only_coils(Plan.model_validate(changed), "coils_15")


COILS = [number for number, line in enumerate(VAN.splitlines()) if line.startswith("relay = ") and "coil_feed" in line]


@pytest.mark.one_in(2)
@pytest.mark.parametrize("feed", ["main_bus", "ignition_bus"])
@pytest.mark.parametrize("line", COILS)
def test_a_coil_on_a_feed_with_other_things_on_it_is_one_entry(line: int, feed: str) -> None:
    """A fuse too large for the coil's wires and too slow for a short in them is mended by a small one for the coil."""
    lines = VAN.splitlines()
    lines[line] = re.sub(r'coil_feed = "\w+"', f'coil_feed = "{feed}"', lines[line])
    found = assess(parse_plan("\n".join(lines))).findings
    danger = [each for each in found if each.level == "danger"]
    assert {each.check for each in danger} >= {"fuse-exceeds-wire", "no-trip-far-end"}
    leader, = (each for each in danger if each.cause is None)
    assert leader.fields[0].endswith("relay.coil_feed")
    assert "as the feed of the coil" in leader.fix
