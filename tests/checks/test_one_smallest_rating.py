"""What a load asks of its fuse is one figure, whether the fuse is missing or there: the one that is named for a missing
fuse is the low end of the range once it is fitted, at the place where it then is."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.fusing import smallest_at_start
from tests.advice.worlds import around

CIRCUIT = """
[zone.bay]
ambient = "{t} degC"
[circuit.one]
feed = "battery_post"
{fuse}
wire = [{{ length = "2 m", zone = "bay", insulation = "xlpe125", size = "10 mm2" }}]
earth = "battery_negative"
[[circuit.one.load]]
current = "{current} A"
at = "14.2 V"
kind = "resistive"
evidence = "{evidence}"
use = "{use}"
when = ["engine"]
"""


@pytest.mark.parametrize("t", [25, 70, 100])
@pytest.mark.parametrize("use", ["continuous", "intermittent"])
@pytest.mark.parametrize("evidence", ["measured", "guess"])
@pytest.mark.parametrize("current", [3, 14, 33])
def test_missing_and_fitted_it_is_the_same(current: int, evidence: str, use: str, t: int) -> None:
    bare, fitted = (assess(around(CIRCUIT.format(t=t, use=use, evidence=evidence, current=current, fuse=fuse)))
                    for fuse in ("", 'fuse = { kind = "maxi", rating = "60 A" }'))
    low_a = fitted.results.fusing.low_a[:, fitted.fuse_of["circuit", "one"]]
    network, demands = bare.results.network, bare.results.demands
    assert smallest_at_start(network, demands.supply, ("circuit", "one")) == pytest.approx(low_a, rel=0.01)
    told = next(re.search(r"fit a fuse from ([\d.]+) A", each.fix) for each in bare.findings if each.check == "no-fuse")
    assert told is not None
    assert float(told[1]) == pytest.approx(low_a[0], rel=0.02)
