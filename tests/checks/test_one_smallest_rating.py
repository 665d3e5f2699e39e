"""What a load asks of its fuse is one figure, whether the fuse is missing or there: the one that is named for a missing
fuse is the low end of the range once it is fitted, at the place where it then is."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.fusing import smallest_at_start
from fuseplan.engine.stock import ladder
from fuseplan.plan.words import FUSE_KINDS
from fuseplan.tables.fuses import kind_words
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


@pytest.mark.parametrize("kind", [kind for kind in FUSE_KINDS if not ladder(kind)])
def test_a_type_without_ratings_on_file_is_not_said_to_end_below_the_load(kind: str) -> None:
    entered = around(CIRCUIT.format(t=25, use="continuous", evidence="measured", current=33,
                                    fuse=f'fuse = {{ kind = "{kind}", rating = "20 A" }}'))
    assessment = assess(entered)
    fix, = (each.fix for each in assessment.findings if each.check == "fuse-too-small")
    low_a = assessment.results.fusing.low_a[0, assessment.fuse_of["circuit", "one"]]
    told = re.search(rf"fit a {kind_words(kind)} of ([\d.]+) A or more", fix)
    assert told is not None, fix
    assert float(told[1]) == pytest.approx(low_a, rel=0.02)
    assert "larger type" not in fix


SECOND = """
[[circuit.one.load]]
current = "{brief} A"
at = "14.2 V"
kind = "resistive"
evidence = "measured"
use = "intermittent"
when = ["engine"]
"""


@pytest.mark.parametrize(("brief", "told", "needs_a"), [
    (12, "for up to five minutes", 20.0), (1, "continuous", 8 / 0.75), (0, "continuous", 8 / 0.75)])
def test_what_asks_for_the_larger_fuse_is_what_is_told(brief: int, told: str, needs_a: float) -> None:
    """8 A that flow on need 10.7 A at 75 % of the rating; 20 A for a while need 20 A, and 9 A no more than 9 A."""
    text = CIRCUIT.format(t=25, use="continuous", evidence="measured", current=8,
                          fuse='fuse = { kind = "blade", rating = "10 A" }')
    found, = (each for each in assess(around(text + (SECOND.format(brief=brief) if brief else ""))).findings
              if each.check == "fuse-too-small" and not each.measure)
    assert told in found.message
    assert found.figure == pytest.approx(needs_a, rel=0.03)
