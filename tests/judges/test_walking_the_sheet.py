"""The whole sheet walked on a car with a fault nobody chose: its required rows in their order, each stored by the
command, until the command says LOOK or FAULT; then what `--diagnose` asks for, until it has settled.

Judge: ngspice (Debian package), operating points of the faulty car. Rows of feeds, but for the reading of all at once,
and of what is not tried one circuit at a time are taken as planned; the walk ends before cranking. What it does not
find hurts nobody until then: too little is lost, or a circuit that may stay on does not stop.
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
from fuseplan.checks.assessment import Assessment
from fuseplan.cli.running import run
from fuseplan.plan.roles import must_stop
from fuseplan.planfile.limit_files import assessed
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
        arguments = []
        for point, condition, value in read:
            typed = "open" if value == float("inf") else f"{value / point.scale:.6f}"
            arguments += ["--read", f"{point.address}@{condition}={typed}"]
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
            if point.what == "all_earth_ohm" and self.fault.kind == "short_to_earth":
                self.store([(point, row.condition, 0.2)])
                return self._pull_fuses()
            if row.key == ("battery.volts", "rested"):
                self.store([(point, row.condition, self.meter(self.circuit).car.netlist.open_v)])
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

    def _pull_fuses(self) -> tuple[str, str] | None:
        """One fuse after the other is pulled, as the row says, until what is left reads open; the rows that the sheet
        then asks for of that circuit are read."""
        self.asked += 1 + list(self.assessment.plan.circuit).index(self.circuit)
        now = assessed(self.plan, None)
        rows = [row for each in sheet_of(now, only=SECTIONS[:1]) for row in each.open_rows
                if row.point.subject == self.circuit and row.point.what == "plus_to_earth_ohm"]
        assert rows, "the sheet asks for what says where the short is"
        return self._judge([(row.point, row.condition, value) for row in rows
                            if (value := self.value(row.point)) is not None])

    def is_harmless(self) -> bool:
        """Whether a fault that no required row shows hurts nobody before the engine is cranked."""
        stops = must_stop(self.circuit, self.assessment.plan.circuit[self.circuit])
        if self.fault.kind in ("feeds_swapped", "contact_stuck", "sneak_path"):
            return not stops
        if self.fault.kind != "resistance":
            return False
        amps = self.meter(self.circuit).read(points(self.assessment)[f"circuit.{self.circuit}.current"]) or 0.0
        return amps * self.fault.size < 0.5 * self.assessment.results.network.system_v / 12.0 \
            or amps**2 * self.fault.size < 3.0

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
    assessment = assessed(plan, None)
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
    assert found == (fault.kind, shown_place(fault)) or (found is None and walker.is_harmless())
    assert walker.asked <= 3 * MOST_ASKED, "a circuit in good order may have to be cleared on the way"
