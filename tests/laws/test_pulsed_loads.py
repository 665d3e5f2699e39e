"""What is switched many times a second heats wires and fuse by its effective current and loads the alternator by its
mean."""

from __future__ import annotations

import numpy as np
import pytest

from fuseplan.checks.assessment import Assessment, assess
from fuseplan.errors import PlanError
from fuseplan.planfile.read import parse_plan

PLAN = """
fuseplan = 1
[battery]
cold_crank = "500 A"
[alternator]
rated = "90 A"
[zone.bay]
ambient = "40 degC"
[feed.battery]
zone = "bay"
[earth.chassis]
[circuit.drive]
feed = "battery"
fuse = {{ kind = "blade", rating = "15 A" }}
wire = [{{ size = "2.5 mm2", length = "2 m", zone = "bay", insulation = "xlpe125" }}]
earth = "chassis"
[[circuit.drive.load]]
name = "Drive"
current = "5 A"
at = "14.2 V"
kind = "resistive"
evidence = "measured"
{pulse}
"""


def _assessed(pulse: str) -> Assessment:
    return assess(parse_plan(PLAN.format(pulse=pulse)))


def _figures(assessment: Assessment) -> tuple[float, float, float]:
    """Fuse's continuous demand, what heats the wire, and the average demand while cruising, in A."""
    results = assessment.results
    cruise = results.network.condition_ids.index("cruise_day")
    return (float(results.fusing.continuous_a[0, 0]), float(results.demands.lasting[0].max()),
            float(results.balance.demand_a[0, cruise]))


@pytest.mark.parametrize(("share", "mean_a", "rms_a"), [
    # 20 A pulses, effective value by √D (derived).
    (0.10, 2.0, 6.32), (0.25, 5.0, 10.0), (0.50, 10.0, 14.14), (0.75, 15.0, 17.32), (0.90, 18.0, 18.97),
    (1.00, 20.0, 20.0)])
def test_square_pulses_by_hand(share: float, mean_a: float, rms_a: float) -> None:
    text = PLAN.format(pulse='pulse_peak = "20 A"').replace('"5 A"', f'"{mean_a} A"')
    fuse_a, wire_a, alternator_a = _figures(assess(parse_plan(text)))
    assert share * 20.0 == pytest.approx(mean_a)
    assert fuse_a == pytest.approx(rms_a, abs=0.01)
    assert wire_a == pytest.approx(rms_a, abs=0.01)
    assert alternator_a == pytest.approx(mean_a, rel=0.05)


def test_a_ramp_is_its_own_average_over_time() -> None:
    # One in four charged from nothing to 20 A: the mean is 2.5 A; the mean square by summing many instants.
    instants = np.concatenate([np.linspace(0.0, 20.0, 10_001), np.zeros(30_000)])
    mean = float(instants.mean())
    text = PLAN.format(pulse='pulse_peak = "20 A"\npulse_shape = "ramp"').replace('"5 A"', f'"{mean} A"')
    fuse_a, _, alternator_a = _figures(assess(parse_plan(text)))
    assert fuse_a == pytest.approx(float(np.sqrt((instants**2).mean())), rel=1e-3)
    assert alternator_a == pytest.approx(mean, rel=0.02)


@pytest.mark.parametrize("shape", ["square", "ramp"])
def test_a_higher_peak_never_heats_less_and_never_draws_more(shape: str) -> None:
    found = [_figures(_assessed(f'pulse_peak = "{peak} A"\npulse_shape = "{shape}"')) for peak in (10, 12, 20, 40, 80)]
    plain = _figures(_assessed(""))
    heats = [plain[0], *(fuse_a for fuse_a, _, _ in found)]
    assert heats == sorted(heats)
    assert heats[-1] > 2 * heats[0]
    assert all(alternator_a == pytest.approx(plain[2]) for *_, alternator_a in found)


@pytest.mark.parametrize(("pulse", "words"), [
    ('pulse_peak = "4 A"', "the mean or more"), ('pulse_peak = "8 A"\npulse_shape = "ramp"', "twice the mean or more")])
def test_a_peak_below_what_its_mean_needs_is_refused(pulse: str, words: str) -> None:
    with pytest.raises(PlanError, match=words):
        _assessed(pulse)
