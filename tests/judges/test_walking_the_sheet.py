"""The whole sheet walked on a car with a fault nobody chose: its required rows in their order, each stored by the
command, until the command says LOOK or FAULT; then what `--diagnose` asks for, until it has settled.

Judge: ngspice (Debian package), operating points of the faulty car. Rows of feeds and of what is not tried one circuit
at a time are taken as planned; the walk ends before cranking.
"""

from __future__ import annotations

import json
import random
import shutil
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from fuseplan.bench.model import bench_model
from fuseplan.bench.points import Point, points
from fuseplan.bench.sheet import sheet_of
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.cli.running import run
from fuseplan.planfile.limit_files import read_judged
from tests.judges.faulty_car import Fault, FaultyCar, Meters, alone
from tests.judges.probing import KINDS, loads_fed, loads_on, random_fault, shown_place

EXAMPLES = Path(__file__).parents[2] / "examples"
SECTIONS = ("before_power", "first_power", "static")
MOST_ASKED = 15
"""Readings asked for of one circuit."""

pytestmark = [pytest.mark.long, pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")]


@dataclass
class Walker:
    """Somebody who reads what the program says, and no more."""

    plan: Path
    assessment: Assessment
    circuit: str
    fault: Fault
    seed: int
    output: pytest.CaptureFixture[str]
    meters: dict[str, Meters] = field(default_factory=dict)
    probes: int = 0
    asked: int = 0

    def meter(self, circuit: str) -> Meters:
        """The meters on the car with one circuit switched on; feeds and earths may be faulty for all of them."""
        if circuit not in self.meters:
            shared = circuit == self.circuit or self.fault.place.startswith(("feed.", "earth."))
            fault = self.fault if shared else Fault("healthy", "")
            live = fault.place.rpartition(".")[2] if fault.kind == "wires_swapped" else circuit
            plan, state = self.assessment, bench_model(self.assessment).static[circuit]
            on = alone(plan, live, state, loads_fed(plan, live, circuit), circuit, loads_on(plan, circuit))
            car = FaultyCar(on, circuit, state, fault, self.seed)
            folder = self.plan.parent / circuit
            folder.mkdir()
            car.solved(folder)
            self.meters[circuit] = Meters(car, self.seed + len(self.meters))
        return self.meters[circuit]

    def value(self, point: Point) -> float | None:
        """What is read."""
        if point.what == "lamp_v":
            # With its loads unplugged a bulb in the fuse's place is dark but for a short to earth.
            short = self.fault.kind == "short_to_earth" and point.subject == self.circuit
            return 12.3 if short else 0.0
        if point.what == "plug_v":
            return self.value(points(self.assessment)[f"circuit.{point.subject}.feed_v"])
        return self.meter(point.subject).read(point)

    def store(self, read: list[tuple[Point, str, float]]) -> str:
        """Store readings; what the command says."""
        arguments = [each for point, condition, value in read for each in (
            "--read", f"{point.address}@{condition}={'open' if value == float('inf') else repr(value / point.scale)}")]
        run(["bench", str(self.plan), *arguments, "--anyway"])
        said = self.output.readouterr()
        return said.out + said.err

    def diagnose(self, circuit: str) -> tuple[str, str] | None:
        """Follow the diagnosis to its end: kind and place of the first suspect; None where all is within tolerance."""
        known = points(self.assessment)
        for _ in range(MOST_ASKED):
            run(["bench", str(self.plan), "--diagnose", circuit, "--json"])
            told = json.loads(self.output.readouterr().out)
            if told["settled"] or told["next"] is None:
                break
            point = known[told["next"]["point"]]
            value = self.meter(circuit).read(point)
            if value is None:
                break
            self.asked += 1
            self.store([(point, told["next"]["condition"], value)])
        first = told["suspects"][0]
        return None if first["fault"] == "healthy" else (first["fault"], first["place"])

    def walk(self) -> tuple[str, str] | None:
        """The required rows in their order, circuit by circuit as they stand, to the first fault that is found."""
        batch: list[tuple[Point, str, float]] = []
        rows = [row for each in sheet_of(self.assessment, only=SECTIONS) for row in each.rows if row.required]
        for row in rows:
            point = row.point
            self.probes += 1
            if point.kind != "circuit" or point.subject not in bench_model(self.assessment).static:
                continue
            if batch and batch[0][0].subject != point.subject:
                found = self._judge(batch)
                if found is not None:
                    return found
                batch = []
            value = self.value(point)
            if value is not None:
                batch.append((point, row.condition, value))
        return self._judge(batch)

    def _judge(self, batch: list[tuple[Point, str, float]]) -> tuple[str, str] | None:
        said = self.store(batch)
        odd = "FAULT" in said or ("LOOK" in said and batch[0][1] == "alone")
        return self.diagnose(batch[0][0].subject) if odd else None


@pytest.mark.parametrize("seed", range(8))
def test_a_fault_nobody_chose_is_found_by_the_sheet_and_what_is_asked_for(
        seed: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rng = random.Random(f"the whole sheet {seed}")
    plan = tmp_path / rng.choice(["track_car.toml", "van_24v.toml"])
    shutil.copy(EXAMPLES / plan.name, plan)
    assessment = assess(*read_judged(plan, None))
    circuits = [each for each in bench_model(assessment).static if not assessment.lacks(each)]
    fault = None
    while fault is None:
        circuit = rng.choice(circuits)
        fault = random_fault(assessment, circuit, rng.choice(KINDS[1:]), rng)
    walker = Walker(plan, assessment, circuit, fault, seed, capsys)
    found = walker.walk()
    with capsys.disabled():
        print(f"\n{plan.stem}, {fault.kind} at {shown_place(fault)}: {walker.probes} probes by the sheet, "  # noqa: T201
              f"{walker.asked} asked for by the diagnosis: {found}")
    assert found == (fault.kind, shown_place(fault))
    assert walker.asked <= 2 * MOST_ASKED, "a circuit in good order may have to be cleared on the way"
