"""What is said to go on two fuses, wires or relay contacts is at least two loads: a single one would be on two side by
side, where neither protects it. The plans are those that break the checks, their one load entered as it is, as two
halves, and as two of which one is on at a time.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fuseplan.checks import Assessment, assess
from tests.checks.check_plans import failing
from tests.plans import plan_of

APART = re.compile(r"two fuses|two relays|second relay|(relay|fuse) for each load")
CHECKS = ("fuse-too-small", "no-fuse-fits", "fuse-exceeds-equipment", "relay-overloaded", "relay-inrush-too-high")


def of_loads(check: str, change: Any) -> dict[str, Any]:
    """The plan that fails a check, with other loads in the circuit that fails it."""
    data = tomllib.loads(failing(check))
    circuit = list(data["circuit"].values())[-1]
    circuit["load"] = change(circuit["load"][0])
    if check == "fuse-exceeds-equipment":  # a limit that no fuse keeps which carries the load
        for each in circuit["load"]:
            each.pop("max_fuse", None)
        circuit["max_fuse"] = "5 A"
    if check == "fuse-too-small":  # a wire too thin for the fuse that carries the load
        circuit["wire"][0]["size"] = "0.75 mm2"
    return data


def halves(load: dict[str, Any]) -> list[dict[str, Any]]:
    half = f"{float(load['current'].removesuffix(' A')) / 2} A"
    return [{**load, "name": f"half {number}", "current": half} for number in (1, 2)]


def steps(load: dict[str, Any]) -> list[dict[str, Any]]:
    return [{**load, "name": f"step {number}", "either": "step"} for number in (1, 2)]


def fixes(assessment: Assessment, check: str) -> list[str]:
    found = [each.fix for each in assessment.findings if each.check == check]
    assert found, check
    return found


@pytest.mark.parametrize("check", CHECKS)
def test_only_several_loads_are_shared_out(check: str) -> None:
    for change in (lambda load: [load], steps):
        assert not any(APART.search(fix) for fix in fixes(assess(plan_of(of_loads(check, change))), check))
    assert any(APART.search(fix) for fix in fixes(assess(plan_of(of_loads(check, halves))), check))


@pytest.mark.parametrize("fuse", ["50 A", "80 A"])
def test_an_alternator_is_on_one_fuse(fuse: str) -> None:
    data = tomllib.loads(failing("fuse-too-small"))
    data["alternator"]["cable"][0] |= {"size": "16 mm2", "length": "9 m"}
    data["alternator"]["fuse"] = {"kind": "mega", "rating": fuse, "distance": "100 mm"}
    found = [each.fix for each in assess(plan_of(data)).findings
             if each.check == "fuse-too-small" and each.subject_kind == "alternator"]
    assert found
    assert not any(APART.search(fix) for fix in found)
