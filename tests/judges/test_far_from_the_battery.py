"""An alternator far from the battery: with its terminal at the regulator voltage the post may have less than a battery
at rest, and the battery then gives what does not get there.

Reference: scipy's sparse solver on the nodal equations, and ngspice (Debian package), with the battery as a source
behind its resistance wherever the post would else be below its rested voltage.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fuseplan.engine.computing import compute
from fuseplan.engine.results import Results
from fuseplan.limits import limit_set
from tests.judges import spice, test_scipy
from tests.judges.netlist import Builder
from tests.judges.test_ngspice import WITHIN_V, differences
from tests.plans import near_limit_plan, plan_of, random_plan

CABLE_M = (3, 12, 50)


def far(data: dict[str, Any], length_m: float, rated_a: float) -> Results:
    """A plan with an alternator of this rating at the end of a cable that may be far too long for it."""
    wire = {"size": "2.5 mm2", "length": f"{length_m} m", "zone": "cabin", "insulation": "pvc105"}
    known = data.get("alternator", {})
    data["alternator"] = {"rated": f"{rated_a} A", "pulley_ratio": 2.2, "regulator_voltage": "14.2 V", "cable": [wire],
                          "feed": known.get("feed", "root"), "earth": known.get("earth", "negative")}
    return compute(plan_of(data), limit_set("road"))


def helped(results: Results) -> int:
    """Conditions in which the battery gives beside an alternator that could give more."""
    solution, count = results.solution, len(results.network.condition_ids)
    gives, given_a, battery_a = results.source.available_a, solution.alternator_a[:count], solution.battery_a[:count]
    return int(((gives > 0) & (given_a < 0.99 * gives) & (battery_a > 0.1)).sum())


@pytest.mark.parametrize("rated_a", [30, 200])
@pytest.mark.parametrize("length_m", CABLE_M)
def test_against_scipy(length_m: float, rated_a: float) -> None:
    seen = 0
    for seed in range(200, 208):
        results = far(random_plan(seed), length_m, rated_a)
        conditions = Builder(results).conditions()
        worst = max(differences(results, conditions, [test_scipy.solve(each) for each in conditions]))
        assert worst[0] < WITHIN_V, (seed, worst)
        seen += helped(results)
    assert seen or (length_m, rated_a) != (50, 200)


@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")
@pytest.mark.parametrize("length_m", CABLE_M)
def test_against_ngspice(length_m: float, tmp_path: Path) -> None:
    for seed in (200, 203, 206):
        results = far(random_plan(seed), length_m, 90)
        conditions = Builder(results).conditions()
        worst = max(differences(results, conditions, spice.solve(conditions, tmp_path)))
        assert worst[0] < WITHIN_V, (seed, worst)


@pytest.mark.parametrize("seed", range(6))
def test_loads_of_constant_power_and_a_weak_battery(seed: int) -> None:
    results = far(near_limit_plan(seed, 0.0), 20, 90)
    conditions = Builder(results).conditions()
    worst = max(differences(results, conditions, [test_scipy.solve(each) for each in conditions]))
    assert worst[0] < WITHIN_V, worst


@pytest.mark.parametrize("seed", range(200, 220))
def test_the_battery_gives_where_the_post_is_below_its_own_voltage(seed: int) -> None:
    for length_m in CABLE_M:
        results = far(random_plan(seed), length_m, 90)
        solution = results.solution
        at = np.tile(np.arange(len(results.network.condition_ids)), 2)
        short = results.source.open_circuit_v[at] - solution.root_v
        assert solution.battery_a == pytest.approx(np.maximum(short, 0.0) / results.source.internal_ohm[at], abs=0.02)
