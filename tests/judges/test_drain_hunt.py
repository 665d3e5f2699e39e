"""A drain put into the ngspice netlist of the parked car, hunted by the millivolts across the fuses asked for.

Judge: ngspice (Debian package), operating point of the parked condition with one more load behind one fuse.
"""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from fuseplan.bench.diagnosis_records import Diagnosis, Taken
from fuseplan.bench.drain_hunt import drain_hunt
from fuseplan.bench.instruments import instrument_for
from fuseplan.bench.points import Point, points
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.standing import parked_condition
from fuseplan.planfile.limit_files import assessed
from tests.judges.netlist import NEGATIVE, ROOT, Builder
from tests.judges.spice import solve

EXAMPLES = Path(__file__).parents[2] / "examples"
MOST_PROBES = 25

pytestmark = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")


def _hunted(assessment: Assessment, circuit: str | None, amps: float, rng: random.Random, folder: Path
            ) -> tuple[Diagnosis, int]:
    network, plan = assessment.results.network, assessment.plan
    index = parked_condition(network)
    builder = Builder(assessment.results)
    made = builder.condition(network.condition_ids[index], index, 0)
    # A load of a constant current keeps drawing it at any voltage: at rest all are near the battery's.
    if circuit is not None:
        made.loads.append((f"circuit:{circuit}", NEGATIVE, amps, made.open_v, 1.0))
    volts = solve([made], folder)[0]
    drawn = (made.open_v - volts[ROOT]) / made.inner_ohm
    flow = {node: (volts[up] - volts[node]) / ohm for up, node, ohm in made.resistors}

    def read(point: Point) -> float:
        true = drawn
        if point.what == "fuse_mv":
            device = assessment.fuse_of[point.kind, point.subject]
            true = flow.get(f"{point.kind}:{point.subject}", 0.0) * float(assessment.results.fuse_ohm[device]) \
                * rng.uniform(0.9, 1.1)
        return true + rng.uniform(-1.0, 1.0) * instrument_for(point.unit, true).error(true)

    assert plan.circuit
    taken = [Taken(points(assessment)["battery.drain"], network.condition_ids[index],
                   read(points(assessment)["battery.drain"]))]
    while True:
        found = drain_hunt(assessment, taken)
        if found.settled or found.next is None or len(taken) >= MOST_PROBES:
            return found, len(taken)
        taken.append(Taken(found.next.point, found.next.condition, read(found.next.point)))


@pytest.mark.one_in(2, first=1)
@pytest.mark.parametrize("example", ["coupe_turbo", "track_car", "van_24v"])
def test_the_circuit_that_drains_is_found_without_pulling_a_fuse(example: str, tmp_path: Path) -> None:
    assessment = assessed(EXAMPLES / f"{example}.toml", None)
    network, plan = assessment.results.network, assessment.plan
    rng = random.Random(7)
    fused = [name for name, circuit in plan.circuit.items() if circuit.fuse is not None and circuit.out_of_scope is None
             and network.feed_live[circuit.feed or ""][0]]
    assert fused
    for circuit in rng.sample(fused, min(2, len(fused))):
        amps = rng.uniform(0.15, 1.5)
        found, probes = _hunted(assessment, circuit, amps, rng, tmp_path)
        first = found.suspects[0]
        told = [each.fault.id for each in found.suspects[:3]]
        assert first.fault.place == f"circuit.{circuit}", (circuit, probes, told)
        assert first.size == pytest.approx(amps, rel=0.25)
        # Halving the fuses at a time asks for far fewer than all of them.
        assert probes < len(network.fuses)


def test_a_car_that_draws_what_is_planned_has_no_drain(tmp_path: Path) -> None:
    assessment = assessed(EXAMPLES / "coupe_turbo.toml", None)
    found, _ = _hunted(assessment, None, 0.0, random.Random(1), tmp_path)
    assert found.suspects[0].fault.kind == "healthy"
