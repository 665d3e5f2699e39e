"""Switch-on surges against the least opening time and the melting heat.

Published: least times of the Littelfuse 297 (MINI) datasheet; pulse table of the Littelfuse catalogue rev. 03/03/17
p. 12 (100,000 pulses: 22 % of the melting I²t), a chart for electronic fuses; usual surges: common practice, no source.
"""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from fuseplan.checks.assessment import assess
from fuseplan.engine.clearing import limits, smallest_heat_a2s
from fuseplan.engine.devices import devices_of
from fuseplan.engine.inrush import MAY_BLOW, UNKNOWN, WITHSTOOD, _withstood, judged
from fuseplan.formulas.inrush import equal_pulse
from fuseplan.tables import fuses
from tests.plans import plan_of
from tests.protection.small import assessed, data, found


def _one(kind: str, rating_a: float, through_a: float, length_s: float) -> int:
    return int(judged(kind, rating_a, np.array([through_a]), np.array([length_s]))[0])


def test_a_long_surge_is_held_against_the_least_time():
    # MINI at 200 %: not before 0.15 s; at 350 %: not before 0.08 s.
    assert _one("mini", 10.0, 20.0, 0.15) == WITHSTOOD
    assert _one("mini", 10.0, 20.0, 0.16) == MAY_BLOW
    assert _one("mini", 10.0, 35.0, 0.2) == MAY_BLOW


def test_a_short_surge_may_ride_by_its_heat():
    allowed = 0.22 * fuses.melting_i2t_a2s("mini", 10.0).value
    current = 150.0
    assert _one("mini", 10.0, current, 0.99 * allowed / current**2) == WITHSTOOD
    assert _one("mini", 10.0, current, 1.01 * allowed / current**2) == MAY_BLOW


def test_a_printed_least_time_holds_for_short_surges_of_fuses_without_melting_heat():
    # Regular 35 A at 350 %: not before 0.08 s (Littelfuse 287); a surge of 0.1 s may open it.
    assert fuses.melting_i2t_a2s("blade", 35.0) is None
    assert _one("blade", 35.0, 122.0, 0.1) == MAY_BLOW
    assert _one("blade", 35.0, 122.0, 0.05) == WITHSTOOD


def test_no_limits_on_file_is_unknown():
    assert _one("midi", 40.0, 200.0, 0.2) == UNKNOWN
    # Regular 15 A past its last least time on file, 0.15 s at 200 %: a heat of 135 A²s.
    assert _one("blade", 15.0, 100.0, 0.013) == UNKNOWN
    assert _one("blade", 15.0, 100.0, 0.015) == MAY_BLOW


def test_a_larger_or_longer_surge_is_never_judged_better():
    """Past the last printed least time, too, where more current leaves a fuse no more heat (mini, 20 A: 432 A²s), and
    past the end of the chart for short pulses (blade, 5 A: 22 % of 26 A²s)."""
    assert _one("mini", 20.0, 157.8, 0.5) == MAY_BLOW
    assert [_one("blade", 5.0, 11.0, length) for length in (0.1, 0.101)] == [MAY_BLOW, MAY_BLOW]
    worse = {WITHSTOOD: 0, UNKNOWN: 1, MAY_BLOW: 2}
    multiples, tried = np.geomspace(0.5, 40.0, 60), 0
    lengths = np.unique([*np.geomspace(1e-4, 20.0, 30), 0.0999, 0.1, 0.1001, 0.11])
    for kind in fuses.KINDS:
        ladder = fuses.ratings(kind)
        for rating in (10.0,) if ladder is None else ladder.value:
            current, length = (each.ravel() for each in np.meshgrid(multiples * rating, lengths, indexing="ij"))
            alone = judged(kind, rating, current, length)
            devices = devices_of({kind: np.array([0])}, np.array([rating]))
            assert np.array_equal(_withstood(devices, np.zeros(len(current), dtype=np.int64), current, length), alone)
            gravity = np.vectorize(worse.get)(alone).reshape(len(multiples), len(lengths))
            assert (np.diff(gravity, axis=0) >= 0).all(), (kind, rating)
            assert (np.diff(gravity, axis=1) >= 0).all(), (kind, rating)
            tried += len(np.unique(gravity))
    assert tried > 100


def test_every_melting_heat_on_file_is_above_the_smallest_heat_of_a_printed_least_time():
    """So the smallest heat may stand in for the melting I²t of a rating of which none is printed."""
    known = [(kind, rating) for kind in fuses.KINDS for rating in getattr(fuses.ratings(kind), "value", ())
             if fuses.melting_i2t_a2s(kind, rating) is not None and limits(kind, rating) is not None]
    assert len(known) >= 15
    for kind, rating in known:
        assert smallest_heat_a2s(kind, rating) < fuses.melting_i2t_a2s(kind, rating).value, (kind, rating)


@pytest.mark.parametrize("kind", ["blade", "glass_british", "mega"])
def test_a_circuit_never_reads_better_with_a_larger_or_longer_surge(kind):
    read = np.array([[_reads(assessed(kind=kind, rating="15 A", size="4 mm2", load={
        "kind": "motor", "current": "6 A", "inrush": inrush, "inrush_time": length}))
        for length in ("1 ms", "100 ms", "2 s")] for inrush in (1.5, 5.0, 12.0)])
    assert (np.diff(read, axis=0) >= 0).all()
    assert (np.diff(read, axis=1) >= 0).all()
    assert read.min() == 0
    assert read.max() == (2 if kind == "blade" else 1)


def _reads(assessment):
    return 2 if found(assessment, "blows-at-switch-on") else len(_not_checked(assessment))


def _not_checked(assessment):
    """What is not checked of the surge; that no mega fuse of 15 A is on file is another question."""
    return [words for words in assessment.circuit("lamp").not_checked if "is sold with" not in words]


def test_a_surge_that_nothing_on_file_judges_is_said_wherever_the_circuit_is_read():
    from fuseplan.papers.circuit_text import circuit_report
    from fuseplan.papers.summary import first_page
    from fuseplan.papers.text import report

    assessment = assessed(kind="mega", rating="15 A", size="4 mm2", load=MOTOR)
    (words,) = _not_checked(assessment)
    assert "mega" in words
    (row,) = assessment.to_dict()["circuits"]
    assert words in row["not_checked"]
    assert words in assessment.circuits_frame()["not_checked"][0]
    assert [each["safety"] for each in assessment.to_dict()["unjudged"] if each["words"] == words] == [False]
    for text in (report(assessment), circuit_report(assessment, "lamp")):
        assert words in " ".join(text.split())
    assert re.search(r"Not checked \(\d+\): .*\blamp\b", " ".join(first_page(assessment).split()))
    assert "melting" in " ".join(each.what for each in assessed(
        kind="blade", rating="15 A", load={**MOTOR, "inrush": 8.0, "inrush_time": "2 ms"}).assumptions)


def test_a_surge_past_the_printed_multiples_fails_as_a_smaller_one_does():
    for inrush in (5.0, 12.0, 25.0):
        (finding,) = found(assessed(load={**MOTOR, "inrush": inrush}, size="4 mm2"), "blows-at-switch-on")
        assert finding.level == "warning"
        assert finding.figure > finding.limit > 0.0
        fits = re.search(r"fit (?:a )?([\d.]+ A)( maxi)?", finding.fix)
        if fits is not None:
            kind = {"kind": "maxi"} if fits[2] else {}
            assert not found(assessed(load={**MOTOR, "inrush": inrush}, size="4 mm2", rating=fits[1], **kind),
                             "blows-at-switch-on")


MOTOR = {"kind": "motor", "current": "6 A", "inrush": 5.0, "inrush_time": "300 ms"}


def test_a_motor_blows_a_fuse_that_carries_it():
    assessment = assessed(load=MOTOR, size="4 mm2")
    (finding,) = found(assessment, "blows-at-switch-on")
    assert finding.level == "warning"
    # As much heat as falls off within the 0.3 s to twice the running current, at the peak.
    assert finding.figure == pytest.approx(0.3 * 0.462, rel=0.01)
    fits = finding.fix.split("fit ")[1].split(" A")[0]
    assert not found(assessed(load=MOTOR, size="4 mm2", rating=f"{fits} A"), "blows-at-switch-on")


def test_a_usual_surge_that_fails_asks_for_a_measurement():
    assessment = assessed(load={"kind": "motor", "current": "6 A"}, size="4 mm2")
    (finding,) = found(assessment, "blows-at-switch-on")
    assert finding.measure
    assert "No inrush current is entered" in finding.message
    assert assessment.verdict("lamp") != "ok"
    assert "measure the inrush current" in finding.fix


def test_what_runs_beside_it_counts():
    from fuseplan.checks.assessment import assess
    from tests.plans import plan_of
    from tests.protection.small import data

    plan = data(load=MOTOR)
    alone = assess(plan_of(plan)).results.inrush
    plan["circuit"]["lamp"]["load"].append({"name": "second", "current": "2 A", "at": "13.5 V", "kind": "resistive",
                                            "evidence": "plate"})
    both = assess(plan_of(plan)).results.inrush
    assert both.through_a[0] > alone.through_a[0] + 1.5
    assert both.peak_a[0] == pytest.approx(alone.peak_a[0], rel=0.01)


def test_a_proposal_beside_an_entered_rating_rides_the_surge_too():
    """The same rating is proposed whether the plan enters one or leaves it out, and it is the one the cure names."""
    from fuseplan.checks import assess
    from tests.plans import plan_of
    from tests.protection.small import data

    entered = assessed(load=MOTOR, size="4 mm2")
    plan = data(load=MOTOR, size="4 mm2")
    del plan["circuit"]["lamp"]["fuse"]["rating"]
    left_out = assess(plan_of(plan)).circuit("lamp").fuse
    (finding,) = found(entered, "blows-at-switch-on")
    assert entered.circuit("lamp").fuse.proposed_a == left_out.proposed_a == left_out.rating_a > 10.0
    assert f"fit {left_out.rating_a:g} A" in finding.fix
    assert entered.circuit("lamp").fuse.rating_a == 10.0


LAMP = {"kind": "lamp", "current": "5 A"}


def test_a_usual_surge_never_passes_what_battery_and_wires_let_through_and_falls_with_the_length():
    peaks = [float(assessed(load=LAMP, size="0.75 mm2", length=f"{metres} m").results.inrush.peak_a[0])
             for metres in (0.5, 2, 5, 10, 20)]
    assert peaks == sorted(peaks, reverse=True)
    # Ten times the running current on a stiff supply (a switch maker's load table prints 10 for lamps).
    assert peaks[0] < 50.0
    # 20 m out of 0.75 mm2, 26 mΩ/m at 20 °C (IEC 60228 class 5): at most 14.2 V over 0.52 Ω.
    assert peaks[-1] < 14.5 / (20 * 0.026)


def test_a_motors_surge_that_the_plan_gives_is_taken_as_it_stands():
    found = assessed(load=MOTOR, size="4 mm2").results
    assert float(found.inrush.peak_a[0]) == pytest.approx(5.0 * float(found.demands.load[0, 0, 0]))


def test_a_lamps_surge_counts_as_a_pulse_of_its_heat_by_summing_many_instants():
    results = assessed(load={**LAMP, "inrush": 10.0, "inrush_time": "5 ms"}, size="10 mm2", length="0.2 m").results
    found, running = results.inrush, float(results.demands.load[0, 0, 0])
    more = float(found.through_a[0]) / running - 1.0
    assert 8.0 < more < 9.0, "ten times on a stiff supply, and so much less as battery and wires let through"
    times = np.linspace(0.0, 0.2, 400_001)
    # Nearly ten times at first, twice after 5 ms, the running current at last.
    current = running * (1.0 + more * np.exp(-times / (0.005 / np.log(more))))
    heat = float(((current**2 - running**2) * (times[1] - times[0])).sum())
    assert found.heat_a2s[0] == pytest.approx(heat, rel=0.01)
    assert found.length_s[0] < 0.005


@pytest.mark.parametrize("multiple", [3.0, 5.0, 10.0])
@pytest.mark.parametrize(("torque", "within"), [(0, 0.002), (1, 0.002), (2, 0.05)], ids=["steady", "grease", "fan"])
def test_a_motors_surge_counts_as_a_pulse_of_its_heat_by_running_one_up(
        multiple: float, torque: int, within: float) -> None:
    """Newton's and Ohm's laws of a brushed motor whose load does not rise with its speed, rises with it, or with its
    square: in multiples of the running current and of the voltage, the moment of inertia 1."""
    full = 1.0 - 1.0 / multiple
    def current(speed: Any) -> Any:
        return multiple * (1.0 - speed)
    run = solve_ivp(lambda _, at: current(at) - np.maximum(at / full, 0.0)**torque, (0.0, 10.0), [0.0],
                    rtol=1e-8, atol=1e-10, dense_output=True)
    times = np.linspace(0.0, 10.0, 200_001)
    drawn = current(run.sol(times)[0])
    heat = float(((drawn**2 - 1.0) * (times[1] - times[0])).sum())
    to_twice = float(times[np.argmax(drawn <= 2.0)])
    found = assessed(load={**MOTOR, "inrush": multiple, "inrush_time": f"{to_twice:.6f} s"}, size="4 mm2").results
    running = float(found.demands.load[0, 0, 0])
    assert found.inrush.heat_a2s[0] / running**2 == pytest.approx(heat, rel=within)
    assert found.inrush.length_s[0] < to_twice


def test_a_surge_with_nothing_after_it_has_the_heat_of_the_makers_chart():
    """An exponential wave: half the square of its peak times its time constant, Littelfuse catalogue rev. 03/03/17
    p. 12, chart 1."""
    assert equal_pulse(0.3, 40.0, 0.0) * 40.0**2 == pytest.approx(0.5 * 40.0**2 * 0.3)


def test_a_short_surge_of_a_motor_beside_a_long_one_counts_for_no_longer_than_it_lasts() -> None:
    """Nor does either count for longer than its own."""
    plan = data(load={**MOTOR, "inrush_time": "50 ms"}, size="4 mm2")
    plan["circuit"]["lamp"]["load"].append({"name": "slow", "evidence": "plate", **MOTOR, "inrush_time": "2 s"})
    short, slow = assess(plan_of(plan)).results.inrush.length_s[:2]
    assert 0.0 < short <= 0.05
    assert 0.05 < slow < 2.0


@pytest.mark.parametrize("multiple", [1.5, 2.5, 2.999, 3.0, 3.5, 6.0, 10.0, 15.0])
@pytest.mark.parametrize("length", ["0.2 m", "20 m"])
def test_a_lamps_surge_never_counts_for_longer_than_it_lasts(multiple: float, length: str) -> None:
    load = {**LAMP, "inrush": multiple, "inrush_time": "5 ms"}
    seconds = float(assessed(load=load, size="2.5 mm2", length=length).results.inrush.length_s[0])
    assert 0.0 < seconds < 0.005


@pytest.mark.share
def test_more_inrush_never_has_less_heat(in_full: bool) -> None:
    """Nor of a lamp, whose surge falls the faster the larger it is: alone, with another lamp, a motor, what runs."""
    multiples = [1.1, 1.5, 1.99, 2.0, 2.01, 2.9, 2.999, 3.0, 3.001, 3.1, 3.5, 4.0, 4.9, 5.0, 5.1, 7.0, 10.0, 16.0] \
        if in_full else [2.0, 2.999, 3.0, 3.5, 10.0]
    beside: list[list[dict[str, Any]]] = [
        [], [{"kind": "lamp", "inrush": 9.0, "inrush_time": "5 ms"}], [{"kind": "motor", "inrush": 6.0}],
        [{"kind": "resistive", "current": "40 A"}]]
    for others in beside:
        for own in ("lamp", "motor", "electronic") if in_full else ("lamp",):
            heat = []
            for multiple in multiples:
                plan = data(size="10 mm2", load={"kind": own, "inrush": multiple, "inrush_time": "5 ms"},
                            box={"fuse": {"kind": "blade", "rating": "25 A"},
                                 "wire": [{"size": "10 mm2", "length": "1 m", "zone": "place"}]})
                for number, other in enumerate(others):
                    plan["circuit"]["lamp"]["load"].append({"name": f"other {number}", "current": "3 A", "at": "13.5 V",
                                                            "evidence": "plate", **other})
                surges = assess(plan_of(plan)).results.surges
                box = surges.starts.through_a[0][0] ** 2 * surges.starts.length_s[0]
                heat.append([surges.through_a[0, 0] ** 2 * surges.length_s[0], box])
            assert (np.diff(heat, axis=0) > -1e-9 * np.max(heat)).all(), (own, others)
            assert np.ptp(heat) > 0


@pytest.mark.parametrize("load", [MOTOR, {"kind": "lamp", "current": "6 A", "inrush": 8.0, "inrush_time": "300 ms"}])
@pytest.mark.parametrize("when", [["always"], ["hot"]])
def test_the_fuse_of_a_feed_is_held_against_the_surge_of_a_single_load_behind_it(load, when):
    """As one of the same type and rating in the circuit is, whatever stands between them."""
    def judged_with(own: str, of_box: str | None) -> Any:
        box = {"wire": [{"size": "4 mm2", "length": "1 m", "zone": "place"}]}
        return assessed(load={**load, "when": when}, size="4 mm2", kind="blade", rating=own,
                        box={**box, **({"fuse": {"kind": "blade", "rating": of_box}} if of_box else {})})

    (alone,) = found(judged_with("10 A", None), "blows-at-switch-on")
    (ahead,) = found(judged_with("30 A", "10 A"), "blows-at-switch-on")
    assert (ahead.subject_kind, ahead.subject, ahead.level) == ("feed", "box", alone.level)
    assert ahead.figure == pytest.approx(alone.figure, rel=0.02)
    assert not ahead.measure
    fits = ahead.fix.split("fit ")[1].split(" A")[0]
    assert all(each.measure for each in found(judged_with("30 A", f"{fits} A"), "blows-at-switch-on"))
