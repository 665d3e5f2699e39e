"""The solved network against ngspice, a circuit simulator that shares nothing with the engine.

Reference: ngspice (Debian package), operating point analysis of the same resistors, loads and sources.
"""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from fuseplan.engine.computing import compute
from fuseplan.engine.consumers import COIL
from fuseplan.engine.results import Results
from fuseplan.limits import limit_set
from fuseplan.planfile.read import read_plan
from tests.judges.netlist import Builder, Condition
from tests.judges.spice import solve
from tests.plans import plan_of, resistive_plan

EXAMPLES = Path(__file__).parents[2] / "examples"
WITHIN_V = 1e-3

pytestmark = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")


def differences(results: Results, conditions: Sequence[Condition], answers: Sequence[dict[str, float]]
                ) -> list[tuple[float, str]]:
    """|engine − judge| in V with the place in words, for every live feed, every earth, load and driven coil."""
    network, solution = results.network, results.solution
    consumers = network.consumers
    named = zip(consumers.circuit.tolist(), consumers.number.tolist(), consumers.kind.tolist(), strict=True)
    number = {(network.circuit_ids[circuit], index): consumer
              for consumer, (circuit, index, kind) in enumerate(named) if kind == 0}
    coil = {owner: index for index, owner in enumerate(consumers.owner) if consumers.kind[index] == COIL}
    found = []
    for condition, answer in zip(conditions, answers, strict=True):
        row = condition.row
        for feed, node in condition.feed_nodes.items():
            if node in answer:
                engine = float(solution.supply_v[row, network.feed_node[feed]])
                found.append((abs(engine - answer[node]), f"feed {feed} in {condition.name}"))
        for earth, node in condition.earth_nodes.items():
            engine = float(solution.return_v[row, network.earth_node[earth]])
            found.append((abs(engine - answer[node]), f"earth {earth} in {condition.name}"))
        for (circuit, index), (plus, minus) in condition.load_nodes.items():
            consumer = number[circuit, index]
            engine = float(solution.supply_v[row, consumers.supply_node[consumer]]
                           - solution.return_v[row, consumers.return_node[consumer]])
            found.append((abs(engine - (answer[plus] - answer[minus])),
                          f"load {index} of {circuit} in {condition.name}"))
        for owner, (plus, minus) in condition.coil_nodes.items():
            engine = float(solution.across_v[row, coil[owner]])
            found.append((abs(engine - (answer[plus] - answer[minus])), f"coil of {owner} in {condition.name}"))
    return found


@pytest.mark.one_in(4)
@pytest.mark.parametrize("bound", [0, 1])
@pytest.mark.parametrize("example", sorted(path.stem for path in EXAMPLES.glob("*.toml")))
def test_examples(example: str, bound: int, tmp_path: Path) -> None:
    plan = read_plan(EXAMPLES / f"{example}.toml")
    results = compute(plan, limit_set(plan.vehicle.limits))
    conditions = Builder(results).conditions(bound)
    found = differences(results, conditions, solve(conditions, tmp_path))
    assert len(found) > 100
    worst = max(found)
    assert worst[0] < WITHIN_V, worst


@pytest.mark.one_in(4)
@pytest.mark.parametrize("seed", [*range(15), *(pytest.param(seed, marks=pytest.mark.rest) for seed in range(15, 50))])
def test_generated_plans(seed: int, tmp_path: Path) -> None:
    results = compute(plan_of(resistive_plan(seed)), limit_set("road"))
    conditions = Builder(results).conditions()
    found = differences(results, conditions, solve(conditions, tmp_path))
    assert len(found) > 50
    worst = max(found)
    assert worst[0] < WITHIN_V, worst
