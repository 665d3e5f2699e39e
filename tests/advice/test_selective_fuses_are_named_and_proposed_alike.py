"""Fuses that are not selective: the fuse that a check names, above or below, is what a proposal fits, or the proposal
says why not."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.advice import propose
from fuseplan.limits import limit_set
from fuseplan.planfile.plain import with_value
from tests.checks.check_plans import failing
from tests.plans import plan_of

PLAN = tomllib.loads(failing("not-selective"))
NAMED = re.compile(r"fit a (\d[\d.]*) A (mini|standard|maxi) blade fuse (at \w+|here)")
KINDS = {"mini": "mini", "standard": "blade", "maxi": "maxi"}


def plan_with(upper: tuple[str, str], lower: tuple[str, str], current: str, size: str) -> Any:
    data = with_value(PLAN, ("battery", "cold_crank"), "200 A")
    data = with_value(data, ("feed", "box", "fuse"), {"kind": upper[0], "rating": upper[1]})
    data = with_value(data, ("feed", "box", "wire", 0, "size"), size)
    data = with_value(data, ("circuit", "lamp", "fuse"), {"kind": lower[0], "rating": lower[1]})
    return plan_of(with_value(data, ("circuit", "lamp", "load", 0, "current"), current))


@pytest.mark.one_in(5)
@pytest.mark.parametrize("size", ["6 mm2", "10 mm2", "16 mm2"])
@pytest.mark.parametrize("upper", [("blade", "30 A"), ("blade", "40 A"), ("maxi", "30 A"), ("maxi", "40 A")])
@pytest.mark.parametrize("lower", [("mini", "15 A"), ("mini", "20 A"), ("blade", "15 A"), ("blade", "20 A")])
@pytest.mark.parametrize("current", ["3 A", "6 A", "9 A"])
def test_the_fuse_named_is_fitted(size: str, upper: tuple[str, str], lower: tuple[str, str], current: str) -> None:
    proposal = propose(plan_with(upper, lower, current, size), limit_set("road"), look_for_savings=False)
    said = {each.identity: each.fix for each in proposal.collisions}
    others = {each.subject for each in proposal.before.findings
              if each.check not in ("not-selective", "voltage-drop") and not each.measure and each.level != "advice"}
    for finding in proposal.before.findings:
        if finding.check != "not-selective" or others & {"box", "lamp"}:
            continue
        if finding.identity in said:
            assert said[finding.identity] == finding.fix
            continue
        fitted = {row.owner[1]: (row.fuse.kind, row.fuse.rating) for row in proposal.after.results.network.fuses}
        named = NAMED.findall(finding.fix)
        assert named
        for rating, kind, where in named:
            kind_fitted, rating_fitted = fitted["box" if where == "here" else where.removeprefix("at ")]
            assert (kind_fitted, float(rating_fitted or 0)) == (KINDS[kind], float(rating)), finding.fix


def with_main(size: str, key: str, part: object) -> Any:
    """The plan of the check with a 20 A main fuse that is selective with the 15 A one below it only where it becomes a
    60 A one; and what it feeds through."""
    data = with_value(PLAN, ("feed", "box", "fuse"), {"kind": "maxi", "rating": "20 A"})
    data = with_value(data, ("feed", "box", "wire", 0, "size"), size)
    data = with_value(data, ("circuit", "lamp", "fuse"), {"kind": "blade", "rating": "15 A"})
    data = with_value(data, ("circuit", "lamp", "load", 0), {
        "current": "10 A", "at": "13.5 V", "kind": "resistive", "evidence": "measured"})
    return plan_of(with_value(data, ("feed", "box", key), part))


@pytest.mark.parametrize(("key", "part", "words"), [
    ("relay", {"contact": "mini_40", "coil_feed": "battery_post"}, "its relay contact at 25 °C is rated for "),
    ("switch", {"rating": "20 A"}, "its switch is rated for 20 A"),
    ("limit", "25 A", "its bus or stud is rated for 25 A")])
def test_a_fuse_becomes_no_larger_than_what_it_feeds_through(key: str, part: object, words: str) -> None:
    """That a contact carries the fuse before it is common practice, no source."""
    free = propose(with_main("10 mm2", "terminal", "30"), limit_set("road"), look_for_savings=False)
    assert ("60 A", "not-selective") in [(change.new, change.check) for change in free.changes]
    bound = propose(with_main("10 mm2", key, part), limit_set("road"), look_for_savings=False)
    said, = (each for each in bound.before.findings if each.check == "not-selective")
    assert words in said.fix
    assert not NAMED.findall(said.fix)
    assert not [change for change in bound.changes if change.path[:3] == ("feed", "box", "fuse")]


def test_selectivity_alone_is_said_to_be_no_reason_for_a_thicker_wire() -> None:
    proposal = propose(with_main("4 mm2", "terminal", "30"), limit_set("road"), look_for_savings=False)
    said, = (each for each in proposal.collisions if each.check == "not-selective")
    assert "its wire is not rated for it, and this alone is no reason for a thicker one" in said.fix
    assert not NAMED.findall(said.fix)
    assert not proposal.changes
