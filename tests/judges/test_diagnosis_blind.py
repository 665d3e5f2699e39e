"""The diagnosis against cars it does not know: faults put into ngspice netlists, read with meters that are off, and
looked for by following what the program asks for.

Judge: ngspice (Debian package), operating points of the faulty car; `faulty_car.py` says what is off from the plan.
"""

from __future__ import annotations

import random
import shutil
from collections import defaultdict
from functools import cache
from pathlib import Path

import pytest

from fuseplan.bench.model import bench_model
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.limits import limit_set
from fuseplan.planfile.limit_files import assessed
from tests.judges.probing import KINDS, MOST_PROBES, Walk, random_fault, walk
from tests.plans import plan_of, random_plan

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
LOOKED_AT = 8
"""Walks of the ordinary run."""

pytestmark = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")


@cache
def _assessment(name: str) -> Assessment:
    if name.isdigit():
        return assess(plan_of(random_plan(int(name))), limit_set("road"))
    return assessed(next(path for path in EXAMPLES if path.stem == name), None)


def walks(names: list[str], seeds: range, folder: Path) -> dict[str, list[Walk]]:
    """A random fault of each kind in turn, in a random circuit of a random plan, looked for; by kind."""
    found: dict[str, list[Walk]] = defaultdict(list)
    for seed in seeds:
        rng = random.Random(seed * 7919 + 13)
        assessment = _assessment(rng.choice(names))
        circuits = [each for each in bench_model(assessment).static if not assessment.lacks(each)]
        kind = KINDS[seed % len(KINDS)]
        if not circuits:
            continue
        circuit = rng.choice(circuits)
        fault = random_fault(assessment, circuit, kind, rng)
        if fault is not None:
            found[kind].append(walk(assessment, circuit, fault, seed, folder))
    return found


def told(found: dict[str, list[Walk]]) -> str:
    """The shares by kind of fault, and the probes it took."""
    lines = []
    for kind, each in found.items():
        probes = sorted(one.probes for one in each)
        lines.append(f"{kind}: {len(each)}, first {sum(one.place == 1 for one in each)}, among three "
                     f"{sum(one.place <= 3 for one in each)}, probes {probes[len(probes) // 2]}, at most {probes[-1]}; "
                     + "; ".join(f"{one.fault} was {one.place}" for one in each if one.place > 1))
    return "\n".join(lines)


def _hold(found: dict[str, list[Walk]], first: float, among_three: float) -> None:
    every = [one for each in found.values() for one in each]
    assert sum(one.place == 1 for one in every) >= first * len(every), told(found)
    assert sum(one.place <= 3 for one in every) >= among_three * len(every), told(found)
    good = found["healthy"]
    assert sum(one.place == 1 for one in good) >= among_three * len(good), told(found)
    assert max(one.probes for one in every) <= MOST_PROBES


def test_the_fault_is_found_by_following_what_the_program_asks_for(tmp_path: Path) -> None:
    found = walks([path.stem for path in EXAMPLES], range(LOOKED_AT), tmp_path)
    assert sum(map(len, found.values())) == LOOKED_AT
    _hold(found, 1.0, 1.0)


@pytest.mark.long
def test_thirty_cars_nobody_chose(tmp_path: Path) -> None:
    """One example, a fault, a place and a size at random: the sheet's readings, then what the program asks for."""
    assessment, found = _assessment("coupe_turbo"), []
    circuits = [each for each in bench_model(assessment).static if not assessment.lacks(each)]
    for seed in range(30):
        rng, fault = random.Random(f"nobody chose {seed}"), None
        while fault is None:
            circuit, kind = rng.choice(circuits), rng.choice(KINDS[1:])
            fault = random_fault(assessment, circuit, kind, rng)
        found.append(walk(assessment, circuit, fault, seed, tmp_path))
    probes = sorted(each.probes for each in found)
    print(f"probes: median {probes[15]}, at most {probes[-1]}")  # noqa: T201 - the closing note of the walk
    missed = [(each.fault, each.place) for each in found if each.place > 1]
    assert len(missed) <= 3, missed
    assert all(place <= 3 for _, place in missed), missed
    assert probes[15] <= 10


@pytest.mark.long
def test_on_the_examples(tmp_path: Path) -> None:
    found = walks([path.stem for path in EXAMPLES], range(600), tmp_path)
    print(told(found))  # noqa: T201 - the shares by kind are what the long run is for
    _hold(found, 0.95, 0.99)


@pytest.mark.long
def test_on_generated_plans(tmp_path: Path) -> None:
    found = walks([str(seed) for seed in range(100)], range(1000, 1600), tmp_path)
    print(told(found))  # noqa: T201 - the shares by kind are what the long run is for
    _hold(found, 0.95, 0.99)
