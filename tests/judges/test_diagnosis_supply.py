"""Faults of battery, alternator, its cable and its earth, put into ngspice netlists of a plan's own conditions.

Judge: ngspice (Debian package). Ripple is no direct current: what a meter shows with a dead diode is taken, not solved.
"""

from __future__ import annotations

import random
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from fuseplan.bench.diagnosis import diagnose
from fuseplan.bench.diagnosis_points import SUPPLY
from fuseplan.bench.diagnosis_records import Diagnosis, Taken
from fuseplan.bench.instruments import instrument_for
from fuseplan.bench.points import Point, points
from fuseplan.checks.assessment import Assessment
from fuseplan.planfile.limit_files import assessed
from tests.judges.netlist import NEGATIVE, ROOT, Builder, Condition
from tests.judges.spice import solve

EXAMPLE = Path(__file__).parents[2] / "examples" / "track_car.toml"
MOST_PROBES = 12
RUNNING = "town_day"
CASES = {
    "healthy:": 0.0, "not_charging:alternator": 0.0, "diode_failed:alternator": 0.55,
    "resistance:alternator.cable": 0.05, "weak_battery:battery": 0.9, "weak_battery_ohm:battery": 0.05,
    "resistance:earth.{earth}.strap": 0.03,
}

pytestmark = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")


@dataclass
class SupplyOf:
    """One car with one fault of its supply, read in any condition."""

    assessment: Assessment
    fault: str
    size: float
    rng: random.Random
    folder: Path

    def __post_init__(self) -> None:
        self.shift_v, self.kelvin = self.rng.uniform(-0.1, 0.1), self.rng.uniform(0.0, 30.0)
        self.solved: dict[str, tuple[Condition, dict[str, float]]] = {}

    def at(self, name: str) -> tuple[Condition, dict[str, float]]:
        """The netlist of a condition and its voltages."""
        if name not in self.solved:
            names = list(self.assessment.results.network.condition_ids)
            made = Builder(self.assessment.results).condition(name, names.index(name), 0)
            made.loads = [(plus, minus, amps * self.rng.uniform(0.92, 1.08), volts, power)
                          for plus, minus, amps, volts, power in made.loads]
            made.open_v += self.shift_v
            made.regulator_v += self.shift_v
            self._put(made)
            self.solved[name] = (made, solve([made], self.folder)[0])
        return self.solved[name]

    def _put(self, made: Condition) -> None:
        kind, place = self.fault.split(":")
        if kind == "not_charging":
            made.available_a = 0.0
        elif kind == "diode_failed":
            made.available_a *= self.size
        elif kind == "weak_battery":
            made.open_v -= self.size
        elif kind == "weak_battery_ohm":
            made.inner_ohm += self.size
        elif kind == "resistance":
            end = "machine" if place == "alternator.cable" else f"earth:{place.split('.')[1]}"
            made.resistors = [(a, b, ohm + (self.size if a == end else 0.0)) for a, b, ohm in made.resistors]

    def read(self, point: Point, condition: str) -> float | None:
        """What a meter shows; None where there is no such place."""
        if point.what == "ripple_mv":
            true: float | None = 0.7 if self.fault.startswith("diode") else 0.03
        elif condition == "rested":
            true = float(self.assessment.results.source.open_circuit_v[0]) + self.shift_v - (
                self.size if self.fault.startswith("weak_battery:") else 0.0)
        else:
            true = self._true(point, *self.at(condition))
        if true is None:
            return None
        return true + self.rng.uniform(-1.0, 1.0) * instrument_for(point.unit, true).error(true)

    def _true(self, point: Point, made: Condition, volts: dict[str, float]) -> float | None:
        ohm_of = {a: (b, ohm) for a, b, ohm in made.resistors}
        if point.kind == "battery":
            flows = (made.open_v - volts[ROOT]) / made.inner_ohm if made.available_a <= 0 else None
            return {"volts": volts[ROOT], "current": flows}.get(point.what)
        if point.kind == "alternator" and made.alternator is not None:
            plus, minus = (volts[each] for each in made.alternator)
            far, ohm = ohm_of["machine"]
            return {"volts": plus - minus, "cable_mv": plus - volts[ROOT], "case_mv": -minus,
                    "current": (plus - volts[far]) / ohm}.get(point.what)
        if point.kind == "earth" and made.earth_nodes[point.subject] != NEGATIVE:
            node = made.earth_nodes[point.subject]
            far, ohm = ohm_of[node]
            return {"drop_mv": volts[node], "strap_mv": volts[node] - volts[far],
                    "current": (volts[node] - volts[far]) / ohm}.get(point.what)
        return None


def _found(assessment: Assessment, fault: str, size: float, seed: int, folder: Path) -> tuple[Diagnosis, int]:
    car, known = SupplyOf(assessment, fault, size, random.Random(seed), folder), points(assessment)
    first = (("battery.volts", "rested"), ("battery.volts", RUNNING), ("battery.volts", "crank"),
             ("battery.ripple_mv", RUNNING), ("alternator.volts", RUNNING))
    taken = [Taken(known[address], condition, value) for address, condition in first
             if (value := car.read(known[address], condition)) is not None]
    while True:
        found = diagnose(assessment, SUPPLY, taken)
        if found.settled or found.next is None or len(taken) >= MOST_PROBES:
            return found, len(taken)
        value = car.read(found.next.point, found.next.condition)
        if value is None:
            return found, len(taken)
        taken.append(Taken(found.next.point, found.next.condition, value))


ORDINARY = ("not_charging:alternator", "resistance:alternator.cable")
"""Those of the ordinary run: each solves every load of the car in three conditions many times."""


@pytest.mark.one_in(2)
@pytest.mark.parametrize("fault", [each if each in ORDINARY else pytest.param(each, marks=pytest.mark.long)
                                   for each in CASES])
def test_faults_of_the_supply_are_found(fault: str, tmp_path: Path) -> None:
    assessment = assessed(EXAMPLE, None)
    machine = assessment.plan.alternator
    assert machine is not None
    named = fault.format(earth=machine.earth)
    found, probes = _found(assessment, named, CASES[fault], 5, tmp_path)
    told = [(each.fault.id, each.weight) for each in found.suspects[:4]]
    assert named in [each for each, _ in told[:1]], (told, probes)
