"""A fuse too large for its own wire and for a thinner branch behind it is one fault, whatever the battery: the smaller
fuse, with the wire the branch needs for it, removes it and all that follows."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.plan.model import Plan
from fuseplan.planfile.plain import with_value
from tests.laws.test_silence_never_helps import GOOD


def on_a_stud(fuse: str, length: str) -> dict[str, Any]:
    """The starter behind the fuse of a stud; 3.5 times the rating blows it."""
    data: Any = tomllib.loads(GOOD)
    data["feed"]["stud"] = {"from": "post", "zone": "bay", "wire": [
        {"size": "70 mm2", "length": "1 m", "zone": "bay", "insulation": "xlpe125", "cover": "sleeve"}], "fuse": {
            "kind": "mega", "rating": fuse, "blows_at": 3.5, "distance": "100 mm"}}
    data = with_value(data, ("circuit", "starter", "load", 0, "current"), "175 A")
    data = with_value(data, ("circuit", "starter", "wire", 0, "length"), length)
    return with_value(data, ("circuit", "starter", "feed"), "stud")


@pytest.mark.parametrize("length", ["2.5 m", "3.5 m", "4.5 m"])
def test_a_fuse_too_large_for_its_wires_leads_what_a_short_does_behind_it(length: str) -> None:
    data = on_a_stud("400 A", length)
    about = [each for each in assess(Plan.model_validate(data)).findings
             if each.subject in ("stud", "starter") and each.level == "danger"]
    assert {each.check for each in about} >= {"fuse-exceeds-wire", "no-trip-far-end"}
    leading, = (each for each in about if each.cause is None)
    assert leading.fields[0] == "feed.stud.fuse.rating"
    assert "battery" not in leading.fix
    for path, value in leading.values:
        data = with_value(data, tuple(int(step) if step.isdigit() else step for step in path.split(".")), value)
    left = {(each.check, each.subject) for each in assess(Plan.model_validate(data)).findings}
    assert not left & {(each.check, each.subject) for each in about}
