"""A fuse that is named so that fuses are selective carries the load that is there and withstands its inrush: no fix
trades one fault for another."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.checks.assessment import assess
from fuseplan.limits import limit_set
from fuseplan.planfile.plain import with_value
from tests.checks.check_plans import failing
from tests.plans import plan_of

NAMED = re.compile(r"fit a (\d[\d.]*) A (mini|standard|maxi) blade fuse (at \w+|here)")
KINDS = {"mini": "mini", "standard": "blade", "maxi": "maxi"}
ABOUT = ("fuse-too-small", "blows-at-switch-on")
PLAN = tomllib.loads(failing("not-selective"))


def with_motor(current_a: float, multiple: float, rating: str) -> Any:
    """The plan of the check, its lamp a motor behind a standard blade."""
    data = with_value(PLAN, ("circuit", "lamp", "fuse"), {"kind": "blade", "rating": rating})
    data = with_value(data, ("feed", "box", "fuse", "kind"), "maxi")
    data = with_value(data, ("circuit", "lamp", "wire", 0, "length"), "4 m")
    return with_value(data, ("circuit", "lamp", "load", 0), {
        "current": f"{current_a} A", "at": "13.5 V", "kind": "motor", "evidence": "published", "use": "continuous",
        "inrush": multiple, "inrush_time": "250 ms"})


@pytest.mark.parametrize("multiple", [1.2, 4, 7])
@pytest.mark.parametrize(("current_a", "rating"), [(3, "15 A"), (6.5, "15 A"), (9, "20 A"), (12, "20 A")])
def test_the_fuse_named_carries_the_load_and_withstands_its_inrush(current_a: float, multiple: float,
                                                                   rating: str) -> None:
    data = with_motor(current_a, multiple, rating)
    before = assess(plan_of(data))
    finding = next(each for each in before.findings if each.check == "not-selective")
    named = NAMED.findall(finding.fix)
    assert named or finding.fix.startswith(("no pair on file", "no fuse that fits here"))
    for fitted, kind, where in named:
        owner = ("feed", "box") if where == "here" else ("circuit", where.removeprefix("at "))
        mended = with_value(data, (*owner, "fuse"), {"kind": KINDS[kind], "rating": f"{fitted} A"})
        after = assess(plan_of(mended))
        assert not {each.check for each in after.findings if each.subject == owner[1]} & set(ABOUT), finding.fix
        assert not [each for each in after.findings if each.check == "not-selective"]


def test_what_leads_two_findings_is_changed_one_way() -> None:
    """A fuse that is too small for a surge is not said to be mended by a smaller one."""
    for current_a, multiple, rating in ((6.5, 4.0, "10 A"), (9.0, 4.0, "15 A"), (6.5, 6.0, "15 A")):
        findings = assess(plan_of(with_motor(current_a, multiple, rating))).findings
        surges = [each for each in findings if each.check == "blows-at-switch-on"]
        assert surges
        for order in (each for each in findings if each.check == "not-selective"):
            assert not [each for each in NAMED.findall(order.fix) if each[1:] == ("standard", "at lamp")]
            assert not order.fix.startswith("no pair") or order.cause is None


def test_the_fuse_of_a_feed_with_nothing_on_it_is_not_asked_to_blow_first() -> None:
    """It is left out of the car; with a load on the feed it is in."""
    box = PLAN["circuit"]["lamp"]
    data = with_value(PLAN, ("feed", "spare"), {"from": box["feed"], "fuse": box["fuse"], "wire": box["wire"]})
    moved = with_value(data, ("circuit", "lamp"), {key: each for key, each in box.items() if key != "fuse"}
                       | {"feed": "spare"})
    idle = with_value(data, ("circuit", "lamp", "fuse"), {"kind": "mini", "rating": "5 A"})
    for plan, told in ((moved, True), (idle, False)):
        found = assess(plan_of(plan))
        assert any("spare" in each.message for each in found.findings if each.check == "not-selective") is told
    changed = [each.path for each in propose(plan_of(idle), limit_set("road"), look_for_savings=False).changes]
    assert not [path for path in changed if "spare" in path]
