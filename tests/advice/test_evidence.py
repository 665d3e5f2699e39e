"""Samples and readings, against sums done with numpy alone and against the checks' own findings."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fuseplan.advice.evidence import measure_first, sample
from fuseplan.advice.sample_verdicts import Judged, SampleVerdicts
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.checks.rule import all_rules, judge
from fuseplan.engine.at_limit import ROUNDING
from fuseplan.engine.sampling import Sampler
from fuseplan.limits import names
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import parse_plan, read_plan
from tests.advice.worlds import around, gappy_plan
from tests.checks.check_plans import failing, passing
from tests.plans import cabin_wire, circuit_text, fuse, load

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
COUNT = 10_000
FAR_COIL = "relay-cannot-pull-in", failing("output-overloaded").replace('"0.1 A"', '''"1 A"
relay.coil = "5 ohm"
relay.wire_86 = [{ size = "0.35 mm2", length = "90 m", zone = "cabin", insulation = "pvc105" }]''')
"""A coil with too few volts: the check's own failing plan is one fed from behind its own contact."""


def compare_with_findings(assessment: Assessment) -> int:
    """Entered currents and upper bounds through the samples' own sums, against the findings; number of failures."""
    consumers = assessment.results.network.consumers
    verdicts = SampleVerdicts(assessment)
    rows = np.stack([consumers.reference_a, consumers.most_a])
    # The samples take assumed resistances as they are, and so do the checks before that is looked at.
    findings, _ = judge(assessment.results)
    fails, ratios = verdicts.of(rows)
    assert (fails == (ratios > 1.0 + ROUNDING)).all()
    checks = {name for name, rule in all_rules().items() if rule.limits} - {"discharge-while-running"}
    assert {judged.check for judged in verdicts.judged} <= checks | {"discharge-while-running"}
    for bound in (0, 1):
        mine = {judged for judged, failed in zip(verdicts.judged, fails[bound], strict=True)
                if failed and judged.check != "discharge-while-running"}
        theirs = {Judged(each.check, each.subject_kind, each.subject) for each in findings if each.check in checks
                  and (bound or not each.measure) and each.limit is not None and each.unit != "ways"}
        if bound == 0:
            assert mine == theirs
        else:
            # The checks take for each load the bus voltage that is worst of all its conditions and of both bounds.
            assert mine <= theirs
    short = sum(bool(failed) for judged, failed in zip(verdicts.judged, fails[0], strict=True)
                if judged.check == "discharge-while-running")
    assert short == sum(each.check == "discharge-while-running" and not each.measure for each in findings)
    return int(fails.sum())


@pytest.mark.one_in(4)
@pytest.mark.parametrize("name", names())
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_entered_plan_fails_in_the_samples_where_it_fails_in_the_checks(path: Path, name: str) -> None:
    compare_with_findings(assess(read_plan(path), name))


def test_generated_plans_fail_in_the_samples_where_they_fail_in_the_checks() -> None:
    assert sum(compare_with_findings(assess(gappy_plan(40, seed), name)) for seed in range(3)
               for name in names()) > 20


@settings(max_examples=15, deadline=None)
@given(circuits=st.integers(1, 25), seed=st.integers(0, 1000))
def test_the_sampled_network_is_the_solved_network(circuits: int, seed: int) -> None:
    """Both bounds of the engine's own solution, with what is on in each condition alone and with all beside it: to a
    millivolt and a few milliamperes."""
    results = assess(gappy_plan(circuits, seed), "road").results
    consumers, solution = results.network.consumers, results.solution
    sampled = Sampler(results).of(np.stack([consumers.reference_a, consumers.most_a])).solution
    seen = 0
    for name in ("root_v", "supply_v", "return_v", "consumer_a"):
        mine, theirs = sampled.cases.parted(getattr(sampled, name)), solution.cases.parted(getattr(solution, name))
        known = ~np.isnan(theirs)
        assert mine[known] == pytest.approx(theirs[known], abs=1e-2 if name == "consumer_a" else 1e-3)
        seen += int(known.sum())
    assert seen


@settings(max_examples=15, deadline=None)
@given(circuits=st.integers(1, 25), seed=st.integers(0, 1000))
def test_the_sampled_demand_of_the_entered_plan_is_the_engines(circuits: int, seed: int) -> None:
    """Loads, circuits, feeds and earths over all three intervals: other choices of a group, the average, and the
    lowest voltage of a converter all count there as they do in the engine."""
    compare_demands(assess(gappy_plan(circuits, seed), "road"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_sampled_demand_of_the_examples_is_the_engines(path: Path) -> None:
    compare_demands(assess(read_plan(path), "road"))


def compare_demands(assessment: Assessment) -> None:
    results = assessment.results
    demands, consumers = results.demands, results.network.consumers
    found = Sampler(results).of(consumers.reference_a[None, :]).demands
    assert found.load[0] == pytest.approx(demands.load[0], rel=1e-3, abs=1e-2)
    assert found.supply[0] == pytest.approx(demands.supply[0], rel=1e-3, abs=1e-2)
    assert found.returns[0] == pytest.approx(demands.returns[0], rel=1e-3, abs=1e-2)
    assert demands.supply[0].max() > 1.0


THIN = cabin_wire("1.5 mm2", "3 m")
GROUPED = """
[feed.bus]
from = "battery_post"
wire = [{ size = "1.5 mm2", length = "6 m", zone = "cabin", insulation = "pvc70" }]
[feed.seldom]
from = "battery_post"
live = ["accessory"]
wire = [{ size = "1.5 mm2", length = "6 m", zone = "cabin", insulation = "pvc70" }]
""" + circuit_text(
    "converter", load(None, name="Weaker of the group", power="60 W", kind="electronic", when=["key_on"], either="one"),
    feed="bus", wire=THIN,
) + circuit_text(
    "seldom", load(None, name="On in no condition", power="40 W", kind="electronic", when=["always"]), feed="seldom",
    wire=THIN,
) + circuit_text(
    "other", load(None, power="160 W", when=["key_on", "engine"], duty=0.3, either="one"),
    wire=cabin_wire("6 mm2", "1 m"),
)


def test_the_weaker_load_of_a_group_counts_on_its_feed() -> None:
    """160 W at the post and 60 W on a thin feed exclude each other; the feed must carry the 60 W all the same, at the
    10.5 V a load of constant power is taken at (ISO 16750-2:2010, code D, second-hand)."""
    assessment = assess(around(GROUPED), "road")
    compare_demands(assessment)
    feed = assessment.results.network.feed_node["bus"]
    found = float(assessment.results.demands.supply[0, :, feed].max())
    assert found == pytest.approx(60 / 10.5)


# The alternator holds its own terminal, here the battery post, at 14.2 V while it can: every current below is the
# entered one times its factor, whatever the others do.
THICK = cabin_wire("6 mm2", "0.2 m")
THREE = circuit_text(
    "fused", load("7 A", name="Heater", evidence="typical"), fuse=fuse("10 A"), wire=THICK,
) + circuit_text(
    "wired", load("14 A", name="Motor", kind="motor", evidence="guess"), fuse=fuse("25 A"),
    wire=cabin_wire("0.75 mm2", "0.2 m"),
) + circuit_text(
    "pair", load("5 A", name="One", evidence="guess"), load("5 A", name="Other", kind="motor", evidence="typical"),
    fuse=fuse("15 A"), wire=THICK,
)


def three() -> Plan:
    return around(THREE)


def share(assessment: Assessment, check: str, circuit: str) -> float:
    found = sample(assessment, COUNT)
    assert found.finished
    assert found.count == COUNT
    return next((each.share for each in found.checks if each.judged == Judged(check, "circuit", circuit)), 0.0)


def test_failure_shares_agree_with_numpy_alone() -> None:
    """Tolerances: typical 30 %, guess 50 % (common practice). A continuous load may use 75 % of a fuse at 25 °C; the
    0.75 mm² bears 15 A at 30 °C, 70 °C insulation (DIN VDE 0298-4:2023 table 11), at 25 °C √(45/40) times that."""
    assessment = assess(three(), "road")
    random = np.random.default_rng(7)
    draw = random.uniform(-1, 1, (4, 400_000))
    expected = {
        ("fuse-too-small", "fused"): (7.0 * (1 + 0.3 * draw[0]) / 0.75 > 10.0).mean(),
        ("wire-overloaded", "wired"): (14.0 * (1 + 0.5 * draw[1]) > 15.0 * np.sqrt(45 / 40)).mean(),
        ("fuse-too-small", "pair"): ((5 * (1 + 0.5 * draw[2]) + 5 * (1 + 0.3 * draw[3])) / 0.75 > 15.0).mean(),
    }
    for (check, circuit), wanted in expected.items():
        assert 0.05 < wanted < 0.95
        # Four standard deviations of a share over 10,000 samples.
        assert share(assessment, check, circuit) == pytest.approx(wanted, abs=4 * np.sqrt(0.25 / COUNT)), circuit


def test_the_share_of_a_single_uniform_current_is_its_closed_form() -> None:
    """7 A ± 30 % pass 7.5 A in the top (1.3 · 7 − 7.5) / (0.6 · 7) of their range."""
    wanted = (1.3 * 7 - 7.5) / (0.6 * 7)
    assert share(assess(three(), "road"), "fuse-too-small", "fused") == pytest.approx(wanted, abs=0.02)


def test_the_alternator_falls_short_as_often_as_numpy_says() -> None:
    """What the machine gives hot at that speed stands against 1.1 times as much at 14.2 V, known to 30 %."""
    plan = around("""
[condition.idle_hot_day]
state = "running"
engine = "800 r/min"
when = ["hot"]
duration = "15 min"
""" + circuit_text("heater", load("60 A", when=["hot"], evidence="typical"), fuse=fuse("80 A", "maxi"),
                   wire=cabin_wire("25 mm2", "0.2 m"), earth_wire=cabin_wire("95 mm2", "1 mm")))
    assessment = assess(plan, "road")
    number = assessment.results.network.condition_ids.index("idle_hot_day")
    gives = float(assessment.results.source.available_a[number])
    current = 60.0
    # Short once the battery, 12.6 V at rest, has to give: a resistance draws 12.6/14.2 of its current there.
    wanted = (1.3 - gives / (current * 12.6 / 14.2)) / 0.6
    assert 0.05 < wanted < 0.95
    assert sample(assessment, COUNT).short["idle_hot_day"] == pytest.approx(wanted, abs=0.02)


def test_the_same_seed_draws_the_same_samples_and_another_others() -> None:
    assessment = assess(three(), "road")
    assert sample(assessment, 800, seed=1) == sample(assessment, 800, seed=1)
    assert sample(assessment, 800, seed=1).checks != sample(assessment, 800, seed=2).checks


def test_progress_is_told_and_a_sample_can_be_stopped() -> None:
    assessment = assess(three(), "road")
    told: list[tuple[int, int]] = []
    few = Sampler(assessment.results).at_once
    count = 2 * few + few // 2
    found = sample(assessment, count, progress=lambda done, whole: told.append((done, whole)))
    assert told == [(few, count), (2 * few, count), (count, count)]
    assert found.finished
    stopped = sample(assessment, count, cancelled=lambda: True)
    assert (stopped.count, stopped.finished, stopped.checks) == (0, False, ())


def test_what_is_measured_first_is_what_can_flip_a_verdict_most() -> None:
    readings = measure_first(assess(three(), "road"))
    by_name = {each.name: each for each in readings}
    assert set(by_name) == {"Heater", "Motor", "One", "Other"}
    # The engine's strap takes a few millivolts from the 14.2 V.
    # 9.33 A asked of 10 A: 30 % more is 2.8 A over a way of 0.67 A.
    assert by_name["Heater"].reach == pytest.approx(0.3 * 7 / (7.5 - 7), rel=0.02)
    # 10 A of 11.25 A allowed: 2.5 A and 1.5 A more against 1.25 A.
    assert by_name["One"].reach == pytest.approx(2.5 / 1.25, rel=0.02)
    assert by_name["Other"].reach == pytest.approx(1.5 / 1.25, rel=0.02)
    assert [each.name for each in readings] == sorted(by_name, key=lambda name: -by_name[name].reach)
    for each in readings:
        assert each.instrument
        assert each.place
        assert each.condition_words
        assert each.low_a < each.entered_a < each.high_a
    assert Judged("fuse-too-small", "circuit", "fused") in by_name["Heater"].flips


def test_a_measured_current_is_not_measured_again() -> None:
    text = THREE.replace('"typical"', '"measured"').replace('"guess"', '"measured"')
    assert measure_first(assess(around(text), "road")) == ()


def test_a_plan_without_loads_has_nothing_to_measure() -> None:
    assessment = assess(around(""), "road")
    assert measure_first(assessment) == ()
    assert sample(assessment, 10).checks == ()


@pytest.mark.one_in(4)
@pytest.mark.parametrize("check", sorted({name for name, rule in all_rules().items() if rule.limits}
                                         - {"discharge-while-running"}))
def test_what_a_check_finds_in_its_own_plans_the_samples_find(check: str) -> None:
    """Of the other checks too, but where no voltage was found at all: there they see the last one tried."""
    failures = 0
    far_coil = [text for name, text in (FAR_COIL,) if name == check]
    for text in (failing(check), passing(check), *far_coil):
        assessment = assess(parse_plan(text))
        verdicts = SampleVerdicts(assessment)
        fails = verdicts.of(assessment.results.network.consumers.reference_a[None, :]).fails[0]
        mine = {judged for judged, failed in zip(verdicts.judged, fails, strict=True) if failed}
        theirs = {Judged(each.check, each.subject_kind, each.subject) for each in judge(assessment.results)[0]
                  if each.check == check and not each.measure and each.limit is not None and each.unit != "ways"}
        assert {judged for judged in mine if judged.check == check} == theirs
        failures += len(theirs)
        if not assessment.results.lost.any():
            compare_with_findings(assessment)
    assert failures
