"""A fuse that breaks the short at the battery breaks it for all those after it, however many lie between: no fix asks
for what is fitted."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from fuseplan.checks.assessment import assess
from tests.plans import plan_of

PLAN = """
fuseplan = 1
[battery]
capacity = "60 Ah"
cold_crank = "{cranks} A"
[zone.cabin]
ambient = "25 degC"
[feed.post]
zone = "cabin"
[feed.ahead]
from = "post"
zone = "cabin"
fuse = {{ kind = "{kind}", rating = "{rating}", distance = "100 mm" }}
wire = [{{ size = "70 mm2", length = "0.3 m", zone = "cabin", insulation = "xlpe125" }}]
[feed.bus]
from = "ahead"
zone = "cabin"
fuse = {{ kind = "maxi", rating = "60 A", distance = "100 mm" }}
wire = [{{ size = "35 mm2", length = "0.2 m", zone = "cabin", insulation = "xlpe125" }}]
[earth.negative]
[circuit.fan]
feed = "bus"
fuse = {{ kind = "blade", rating = "20 A", distance = "100 mm" }}
wire = [{{ size = "4 mm2", length = "0.3 m", zone = "cabin", insulation = "xlpe125" }}]
earth = "negative"
[[circuit.fan.load]]
current = "8 A"
at = "13.5 V"
kind = "resistive"
evidence = "measured"
"""


def found(kind: str, rating: str, cranks: int) -> list[str]:
    data: dict[str, Any] = tomllib.loads(PLAN.format(kind=kind, rating=rating, cranks=cranks))
    return [each.subject for each in assess(plan_of(data)).findings if each.check == "breaking-capacity"]


@pytest.mark.parametrize("cranks", [320, 360])
def test_what_is_ahead_breaks_for_each_after_it(cranks: int) -> None:
    assert found("maxi", "80 A", cranks) == ["ahead"]
    assert found("strip", "150 A", cranks) == []
