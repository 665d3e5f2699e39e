"""A published span of a current: how far it moves both bounds, and who then uses them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from fuseplan.advice.evidence import measure_first, sample
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.fusing import propose
from fuseplan.engine.load_figures import bounds
from fuseplan.engine.stock import AtHand
from fuseplan.plan.parts import Load
from fuseplan.planfile.read import parse_plan
from fuseplan.trace import record, steps_of

BASE = (Path(__file__).parents[1] / "checks" / "base.toml").read_text(encoding="utf-8")
WINDOW = """
[circuit.window]
feed = "bus"
fuse = { kind = "blade", rating = "30 A" }
wire = [{ size = "6 mm2", length = "3 m", zone = "cabin", insulation = "xlpe125" }]
earth = "body"
[[circuit.window.load]]
name = "element"
current = "15 A"
at = "13.5 V"
kind = "resistive"
when = ["demist"]
evidence = "published"
"""
SPAN = 'range = ["8.8 A", "30 A"]\n'


def assessed(text: str) -> Assessment:
    return assess(parse_plan(BASE + text))


def the_load(assessment: Assessment) -> int:
    return int(np.flatnonzero(assessment.results.network.consumers.kind == LOAD)[0])


def own_bounds(assessment: Assessment) -> tuple[float, float]:
    consumers, index = assessment.results.network.consumers, the_load(assessment)
    entered = float(consumers.reference_a[index])
    return entered * (1 - float(consumers.lower[index])), entered * (1 + float(consumers.upper[index]))


def test_the_wider_of_tolerance_and_range_bounds_a_current() -> None:
    assert own_bounds(assessed(WINDOW)) == pytest.approx((12.75, 17.25))
    assert own_bounds(assessed(WINDOW + SPAN)) == pytest.approx((8.8, 30.0))
    assert own_bounds(assessed(WINDOW + 'range = ["14 A", "16 A"]\n')) == pytest.approx((12.75, 17.25))
    assert own_bounds(assessed(WINDOW + 'range = ["14 A", "20 A"]\n')) == pytest.approx((12.75, 20.0))
    assert own_bounds(assessed(WINDOW + 'range = ["20 A", "25 A"]\n')) == pytest.approx((12.75, 25.0))


def test_a_reading_outdoes_the_range() -> None:
    text = (WINDOW + SPAN).replace("published", "measured")
    assert own_bounds(assessed(text)) == pytest.approx((14.55, 15.45))


def test_a_range_of_a_power_is_a_current_at_the_same_voltage() -> None:
    text = (WINDOW + SPAN).replace('current = "15 A"', 'power = "202.5 W"')
    assert own_bounds(assessed(text)) == pytest.approx((8.8, 30.0))


def test_bounds_are_never_negative() -> None:
    assert bounds(Load(current="1 A", range=("0 A", "3 A")), 1.0, 0.3) == (1.0, 2.0)
    assert bounds(Load(current="1 A"), 1.0, 1.4) == (1.0, 1.4)


def test_a_fuse_within_the_range_is_to_be_measured_first() -> None:
    """15 A on a 30 A fuse carries; 30 A, at the upper end of the range, does not."""
    def told(text: str) -> list[bool]:
        return [each.measure for each in assessed(text).findings if each.check == "fuse-too-small"]

    assert told(WINDOW) == []
    assert told(WINDOW + SPAN) == [True]
    reading, = measure_first(assessed(WINDOW + SPAN))
    assert reading.low_a == pytest.approx(reading.entered_a * 8.8 / 15)
    assert reading.high_a == pytest.approx(reading.entered_a * 30 / 15)
    assert reading.reach >= 1


def test_samples_fill_the_range() -> None:
    """The fuse fails from some current within the range on: in the share of the range that lies above it."""
    found = sample(assessed(WINDOW + SPAN), 4000)
    share = next(each.share for each in found.checks if each.judged.check == "fuse-too-small")
    assert 0.2 < share < 0.5
    assert not any(each.judged.check == "fuse-too-small" for each in sample(assessed(WINDOW), 1000).checks)


def test_the_working_gives_the_range_as_the_reason() -> None:
    assessment = assessed(WINDOW + SPAN)
    with record():
        steps = steps_of(assessment.recorded.network.consumers.most_a[the_load(assessment)])
    assert steps[-1].result == pytest.approx(30.0)
    assert any(step.cite == "the plan, circuit.window.load.0.range" and step.result == 30.0 for step in steps)
    assert any("by its tolerance or its range" in step.equation for step in steps)


def proposed(kind: str, low_a: float, low_upper_a: float, high_a: float) -> float:
    """The rating proposed for one fuse range."""
    return float(propose(AtHand(None), kind, np.array([[low_a], [low_upper_a]]), np.array([high_a]))[0])


def test_no_blade_fuse_below_5_a_is_proposed_where_the_wire_allows_5_a() -> None:
    """Common practice, no source: smaller ones are hardly stocked. A wire that allows less still gets less."""
    assert proposed("blade", 0.4, 0.5, 20.0) == 5.0
    assert proposed("mini", 5.2, 5.4, 20.0) == 7.5
    assert proposed("blade", 0.4, 0.5, 3.5) == 1.0
    assert proposed("ceramic", 0.4, 0.5, 20.0) == 5.0
