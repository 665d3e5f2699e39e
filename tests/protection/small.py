"""One battery, one box, one circuit, built from a few figures: the plan the tests of protection vary."""

from __future__ import annotations

from typing import Any

from fuseplan.checks.assessment import Assessment, assess
from tests.plans import plan_of


def data(**changes: Any) -> dict[str, Any]:
    """The plan as it would stand in a file; names of `changes` are those of the figures below."""
    given: dict[str, Any] = {"kind": "mini", "rating": "10 A", "size": "1 mm2", "length": "4 m", "insulation": "pvc70",
                             "ambient": "20 degC", "inner": "9 mohm", "load": {}, "box": None, "fuse": {}, **changes}
    load = {"name": "lamp", "current": "3 A", "at": "13.5 V", "kind": "resistive", "evidence": "plate", **given["load"]}
    feed: dict[str, Any] = {"battery_post": {"zone": "place"}}
    if given["box"] is not None:
        feed["box"] = {"from": "battery_post", "zone": "place", **given["box"]}
    return {
        "fuseplan": 1, "vehicle": {"name": "One circuit"},
        "battery": {"open_circuit": "12.6 V", "internal_resistance": given["inner"]},
        "zone": {"place": {"ambient": given["ambient"]}}, "feed": feed, "earth": {"negative": {}},
        "circuit": {"lamp": {
            "feed": "box" if "box" in feed else "battery_post",
            "fuse": {"kind": given["kind"], "rating": given["rating"], **given["fuse"]},
            "wire": [{"size": given["size"], "length": given["length"], "zone": "place",
                      "insulation": given["insulation"]}],
            "earth": "negative", "load": [load]}},
    }


def assessed(**changes: Any) -> Assessment:
    """The plan assessed."""
    return assess(plan_of(data(**changes)))


def found(assessment: Assessment, check: str) -> list[Any]:
    """Findings of one check."""
    return [each for each in assessment.findings if each.check == check]
