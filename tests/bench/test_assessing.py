"""One full assessment of generated plans of 60, 1,000 and 10,000 circuits in ten conditions, and how it grows."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from fuseplan.checks import assess
from fuseplan.choose import propose
from fuseplan.choose.evidence import sample
from fuseplan.guidance import guidance
from fuseplan.plan.conditions import conditions_of
from fuseplan.store.read import read_plan
from tests.plans import large_plan, plan_of

Note = Callable[[str, str, str], None]
EXAMPLES = Path(__file__).parents[2] / "examples"
AIM_MS = {60: 5.0, 1_000: 60.0, 10_000: 700.0}
LEAST_MS: dict[int, float] = {}


def _least_ms(benchmark: BenchmarkFixture) -> float:
    assert benchmark.stats is not None
    return float(benchmark.stats.stats.min) * 1e3


@pytest.mark.parametrize("circuits", list(AIM_MS))
def test_assess(benchmark: BenchmarkFixture, circuits: int, note: Note) -> None:
    plan = plan_of(large_plan(circuits))
    assert len(conditions_of(plan)) == 10
    assess(plan)
    assessment = benchmark.pedantic(assess, args=(plan,), rounds=40 if circuits < 500 else 7)
    assert len(assessment.plan.circuit) == circuits
    assert assessment.results.solution.settled
    least = LEAST_MS[circuits] = _least_ms(benchmark)
    note(f"assess {circuits:>6,} circuits, {len(assessment.findings):,} findings", f"{least:.1f} ms",
         f"{AIM_MS[circuits]:.0f} ms")
    smaller = [size for size in LEAST_MS if size < circuits]
    if smaller:
        exponent = math.log(least / LEAST_MS[smaller[-1]]) / math.log(circuits / smaller[-1])
        note(f"growth {smaller[-1]:,} to {circuits:,}", f"n^{exponent:.2f}", "n^1.1")


@pytest.mark.parametrize("example", sorted(path.stem for path in EXAMPLES.glob("*.toml")))
def test_assess_example(benchmark: BenchmarkFixture, example: str, note: Note) -> None:
    plan = read_plan(EXAMPLES / f"{example}.toml")
    assess(plan)
    benchmark.pedantic(assess, args=(plan,), rounds=40)
    note(f"assess {example}, {len(plan.circuit)} circuits", f"{_least_ms(benchmark):.1f} ms", "")


def test_read_example(benchmark: BenchmarkFixture, note: Note) -> None:
    benchmark.pedantic(read_plan, args=(EXAMPLES / "coupe_turbo.toml",), rounds=20, warmup_rounds=1)
    note("read coupe_turbo.toml", f"{_least_ms(benchmark):.1f} ms", "")


def test_sample_example(benchmark: BenchmarkFixture, note: Note) -> None:
    assessment = assess(read_plan(EXAMPLES / "coupe_turbo.toml"))
    sample(assessment, 500)
    benchmark.pedantic(sample, args=(assessment, 10_000), rounds=3)
    note("10,000 samples of coupe_turbo", f"{_least_ms(benchmark):.0f} ms", "1000 ms")


def test_propose_sixty(benchmark: BenchmarkFixture, note: Note) -> None:
    plan = plan_of(large_plan(60))
    benchmark.pedantic(propose, args=(plan, guidance("road")), rounds=3, warmup_rounds=1)
    note("propose, 60 circuits", f"{_least_ms(benchmark):.0f} ms", "2000 ms")
