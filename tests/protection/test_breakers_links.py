"""Circuit breakers and fusible links as protective devices; the unfused length before the first of them.

Published: reset behaviour SAE J553 types 1 to 3 (second-hand); links four gauge numbers thinner, 4 to 9 inches long
(SAE J156, second-hand, and trade pages); unfused length 33 CFR 183.455(b), a rule for boats (7 and 40 inches).
"""

from __future__ import annotations

import pytest

from tests.protection.small import assessed, found


@pytest.mark.parametrize(("kind", "load", "finds"), [
    ("breaker_1", "motor", True), ("breaker_2", "motor", True), ("breaker_3", "motor", False),
    ("breaker_1", "lamp", False), ("breaker_2", "lamp", True), ("breaker_3", "lamp", True),
    ("breaker_1", "resistive", False), ("mini", "motor", False)])
def test_reset_matters_for_motors_and_lamps(kind, load, finds):
    findings = found(assessed(kind=kind, load={"kind": load}), "automatic-reset-breaker")
    assert bool(findings) is finds
    assert all(finding.level == "advice" and finding.caution for finding in findings)


def test_a_breaker_upstream_counts():
    box = {"fuse": {"kind": "breaker_1", "rating": "20 A"},
           "wire": [{"size": "4 mm2", "length": "1 m", "zone": "place"}]}
    from fuseplan.checks.assessment import assess
    from tests.plans import plan_of
    from tests.protection.small import data

    plan = data(box=box, load={"kind": "motor"})
    del plan["circuit"]["lamp"]["fuse"]
    (finding,) = found(assess(plan_of(plan)), "automatic-reset-breaker")
    assert finding.subject == "box"


@pytest.mark.parametrize(("link", "wire", "finds"), [
    # Pairs of two trade pages: 18 for 14, 16 for 12, 14 for 10, 12 for 8.
    ("AWG 18", "AWG 14", False), ("AWG 16", "AWG 12", False), ("AWG 14", "AWG 10", False), ("AWG 12", "AWG 8", False),
    ("AWG 16", "AWG 14", True), ("AWG 12", "AWG 10", True)])
def test_link_gauges(link, wire, finds):
    assessment = assessed(kind="link", rating="30 A", size=wire, fuse={"link_size": link, "link_length": "150 mm"})
    assert bool(found(assessment, "unsuitable-fusible-link")) is finds


@pytest.mark.parametrize(("length", "finds"), [("90 mm", True), ("4 inch", False), ("9 inch", False), ("300 mm", True)])
def test_link_lengths(length, finds):
    link = {"link_size": "AWG 14", "link_length": length}
    assessment = assessed(kind="link", rating="30 A", size="AWG 10", fuse=link)
    assert bool(found(assessment, "unsuitable-fusible-link")) is finds


@pytest.mark.parametrize(("distance", "cover", "level"), [
    ("7 inch", None, None), ("200 mm", None, "danger"), ("40 inch", None, "danger"), ("41 inch", None, "danger"),
    ("200 mm", "sleeve", None), ("40 inch", "conduit", None), ("41 inch", "conduit", "danger")])
def test_unfused_length(distance, cover, level):
    fuse = {"distance": distance} | ({"cover": cover} if cover else {})
    assert [each.level for each in found(assessed(fuse=fuse), "fuse-far-from-battery")] == ([level] if level else [])
