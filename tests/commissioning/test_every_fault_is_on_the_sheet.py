"""Whatever single fault a car has, a required row of the sheet reads outside its band; shorts do before power.

What each row shows with a fault is the network's, of the diagnosis, the fault put into it.
"""

from __future__ import annotations

import math
from functools import cache

import pytest

from fuseplan.bench.diagnosis import why_not
from fuseplan.bench.diagnosis_fault import DIAGNOSED_SHORT_OHM, Fault
from fuseplan.bench.diagnosis_meters import plain
from fuseplan.bench.diagnosis_trial import Trial
from fuseplan.bench.expected import expected
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import Point, points
from fuseplan.bench.readings import TakenReading
from fuseplan.bench.sheet import SheetRow, sheet_of, verdict_on
from fuseplan.checks.assessment import Assessment, assess
from fuseplan.plan.roles import must_stop
from fuseplan.planfile.read import read_plan
from fuseplan.results.address import joined

HURTS_V, HURTS_W = 0.5, 3.0
"""Lost in one place of a circuit on 12 V, and how warm that place gets: the volts the trade allows for the whole way
(from memory), and watts that no contact is burnt by (common practice, no source)."""
EXAMPLES = ("coupe_turbo", "track_car", "van_24v")
STILL = ("before_power", "first_power", "static")


@cache
def car(name: str) -> Assessment:
    return assess(read_plan(f"examples/{name}.toml"))


@cache
def required(name: str) -> dict[tuple[str, str], tuple[str, SheetRow]]:
    """Section and row of every required row, by its key."""
    return {row.key: (each.section.key, row) for each in sheet_of(car(name)) for row in each.rows if row.required}


def taken(point: Point, condition: str, value: float) -> TakenReading:
    return TakenReading(-1, point, condition, value, "", None, None, accepted=False)


def shown(name: str, circuit: str) -> list[tuple[Fault, float, dict[tuple[str, str], float]]]:
    """Every fault of a circuit, its size, and what each required row shows with it."""
    trial = Trial(car(name), circuit, [])
    found, _ = trial.hypotheses()
    rows = {key: at for key, at in trial.place.items() if key in required(name)}
    every = []
    for number, which in enumerate(found.fault.tolist()):
        fault = trial.faults[which]
        read = {key: plain(points(car(name))[key[0]], float(found.mean[number, at])) for key, at in rows.items()}
        # Where the network has no state the load has too few volts to run on: it draws nothing for long.
        read = {key: 0.0 if math.isnan(value) else value for key, value in read.items()}
        if fault.kind == "short_to_earth":
            read["battery.all_earth_ohm", "unpowered"] = DIAGNOSED_SHORT_OHM
        every.append((fault, float(found.size[number]), read))
    return every


def not_ok(name: str, read: dict[tuple[str, str], float]) -> list[str]:
    """Sections of the rows that are not ok."""
    at = points(car(name))
    readings = {key: taken(at[key[0]], key[1], value) for key, value in read.items() if math.isfinite(value)
                or at[key[0]].unit == "ohm"}
    rest = at["battery.volts"]
    readings.setdefault((rest.address, "rested"), taken(rest, "rested", expected(car(name), rest, "rested").value or 0))
    return [required(name)[key][0] for key, reading in readings.items() if key in required(name)
            and verdict_on(car(name), reading, readings).level in ("look", "fault")]


def hurts(name: str, circuit: str, fault: Fault, size: float, healthy_a: float) -> bool:
    """Whether a fault of a size must be found."""
    assessment = car(name)
    stops = bool(must_stop(circuit, assessment.plan.circuit[circuit])) if circuit else True
    if fault.kind == "healthy" or fault.kind == "weak_battery_ohm":
        return False
    if fault.kind == "resistance":
        # Of a coil that still pulls nothing is amiss, and of a path in common more flows at full load.
        system_v = assessment.results.network.system_v
        flowing = healthy_a * system_v / (system_v + healthy_a * size)
        return "coil_8" not in fault.place and flowing * size >= HURTS_V * system_v / 12.0 \
            and flowing**2 * size >= HURTS_W
    if fault.kind in ("load_strong", "load_weak"):
        return size > 1.4 * fault.sizes[0] if fault.kind == "load_strong" else size < min(0.5, fault.sizes[-1] / 1.4)
    # Coil and contact on each other's feed, a contact that sticks and what is left on a dead wire: where it must stop.
    return stops or fault.kind not in ("feeds_swapped", "contact_stuck", "sneak_path")


def missed(name: str, circuit: str) -> list[str]:
    assessment = car(name)
    condition = "alone"
    amps = expected(assessment, points(assessment)[joined(("circuit", circuit, "current"))], condition).value or 0.0
    found, tried = [], 0
    for fault, size, read in shown(name, circuit):
        of = fault.place.rsplit(".", 1)
        own = points(assessment).get(joined(("circuit", circuit, "load", of[1], "load_current"))) if ".own_" in of[0] \
            else None
        flowing = amps if own is None else expected(assessment, own, condition).value or 0.0
        if not hurts(name, circuit, fault, size, flowing):
            continue
        tried += 1
        sections = not_ok(name, read)
        if not sections or (fault.kind == "short_to_earth" and "before_power" not in sections):
            found.append(f"{name} {circuit}: {fault.id} {size:.3g} {sections}")
    assert tried > 8
    return found


def circuits_of(name: str) -> list[str]:
    return [each for each in bench_model(car(name)).static if not why_not(car(name), each)]


@pytest.mark.parametrize("name", [pytest.param("coupe_turbo", marks=pytest.mark.rest), *EXAMPLES[1:]])
def test_a_fault_of_some_circuits_shows_in_a_required_row(name: str) -> None:
    circuits = circuits_of(name)
    assert not [line for each in circuits[:: max(1, len(circuits) // 2)][:2] for line in missed(name, each)]


@pytest.mark.long
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_fault_of_any_circuit_shows_in_a_required_row(name: str) -> None:
    assert not [line for each in circuits_of(name) for line in missed(name, each)]
