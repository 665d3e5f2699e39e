"""An alternator whose output nobody entered: the currents are those at the regulator voltage, the balance unknown."""

from __future__ import annotations

import numpy as np
import pytest

from fuseplan.checks import assess
from fuseplan.checks.explain import explain
from fuseplan.engine.sampling import Sampler
from fuseplan.limits import names
from fuseplan.papers.car_facts import car_lines
from fuseplan.papers.paragraphs import unpainted
from fuseplan.papers.summary import LINES
from fuseplan.planfile.read import parse_plan
from fuseplan.results.address import figures
from tests.checks.check_plans import BASE
from tests.explain.agreeing import agrees

LAMPS = """
[circuit.dip]
feed = "bus"
wire = [{ size = "2.5 mm2", length = "3 m", zone = "cabin", insulation = "pvc70" }]
earth = "engine"
[[circuit.dip.load]]
power = "55 W"
at = "12 V"
kind = "lamp"
when = ["engine"]
evidence = "measured"
"""
ENTERED = 'rated = "90 A"\nlow_speed = "50 A"\n'
KNOWN = BASE + LAMPS
UNKNOWN = KNOWN.replace(ENTERED, "")
STRONG = KNOWN.replace(ENTERED, 'rated = "300 A"\nlow_speed = "290 A"\n')
assert UNKNOWN != KNOWN != STRONG


def test_demands_are_those_of_an_alternator_that_carries_everything() -> None:
    unknown, strong = (assess(parse_plan(text), "road").results for text in (UNKNOWN, STRONG))
    assert unknown.demands.load == pytest.approx(strong.demands.load, rel=1e-6)
    shared = [node for name, node in unknown.network.feed_node.items() if name != "battery_post"]
    assert unknown.demands.supply[..., shared] == pytest.approx(strong.demands.supply[..., shared], rel=1e-3)
    # 55 W at 12 V; 14.2 V at the regulator, less no more than its own lead's drop; exponent 0.55 of a lamp's
    # current over voltage: Lamp rerating article (Fink and Beaty, 11th ed., p. 22-8).
    dip = unknown.demands.load[0].max()
    assert 55 / 12 * (14.0 / 12) ** 0.55 < dip < 55 / 12 * (14.3 / 12) ** 0.55


def test_the_balance_stays_unknown() -> None:
    assessment = assess(parse_plan(UNKNOWN), "road")
    assert not assessment.results.source.alternator_known
    assert assessment.results.power.cures(assessment.results.network.condition_ids.index("idle_hot_day")) == ()
    assert any(each.check == "figures-missing" and "alternator" in each.subject for each in assessment.findings)


@pytest.mark.parametrize("label", ["90", "50 / ", "120/50A", "big one"])
def test_a_label_that_cannot_be_read_is_named_wherever_the_output_is_said_to_be_unknown(label: str) -> None:
    assessment = assess(parse_plan(KNOWN.replace(ENTERED, f'label = "{label}"\n')), "road")
    assert not assessment.results.source.alternator_known
    told = [each.message for each in assessment.findings_for("alternator", "alternator")
            if each.check == "figures-missing"]
    page = " ".join("\n".join(car_lines(assessment, 100, unpainted, LINES)).split())
    for words in (*told, page):
        assert f"'{label}'" in words
    assert len(told) == 1


def test_no_alternator_at_all_is_no_unknown_one() -> None:
    """A car without one runs on its battery: nothing lifts its voltage."""
    start, end = UNKNOWN.index("[alternator]"), UNKNOWN.index("[zone.cabin]")
    results = assess(parse_plan(UNKNOWN[:start] + UNKNOWN[end:]), "road").results
    assert results.regulated is None
    assert results.demands.load[0].max() < 55 / 12 * (12.9 / 12) ** 0.55


@pytest.mark.one_in(3, first=1)
@pytest.mark.parametrize("name", names())
def test_working_and_samples_end_in_the_same_demand(name: str) -> None:
    assessment = assess(parse_plan(UNKNOWN), name)
    results = assessment.results
    for figure in figures(assessment.whole):
        if figure.value is not None:
            working = explain(assessment, figure)
            assert agrees(figure, working.steps[-1].result), figure.address
    found = Sampler(results).of(results.network.consumers.reference_a[None, :]).demands
    assert found.load[0] == pytest.approx(results.demands.load[0], rel=1e-3, abs=1e-2)
    assert found.supply[0] == pytest.approx(results.demands.supply[0], rel=1e-3, abs=1e-2)
    assert np.isfinite(results.demands.supply).all()
