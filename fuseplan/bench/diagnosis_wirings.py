"""The car wired as planned, and wired wrongly: wires of two circuits swapped, feeds of coil and contact swapped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fuseplan.array_types import Flags
from fuseplan.bench.diagnosis_builder import car_model
from fuseplan.bench.diagnosis_points import SUPPLY, near, quantity_of
from fuseplan.bench.diagnosis_solve import Quantity
from fuseplan.bench.diagnosis_tree import CarModel
from fuseplan.bench.diagnosis_unknowns import Moves, Settings, moves_of
from fuseplan.bench.points import Point
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.backfeed import divided, law_of
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.plan.model import Circuit, Plan
from fuseplan.records import dataclass

NEIGHBOURS = 4
"""How many other circuits are looked at as those whose wires may be swapped or joined with this one's."""


@dataclass(frozen=True)
class Wiring:
    """One way the car may be wired, ready to be solved."""

    model: CarModel
    settings: Settings
    moves: Moves
    quantities: tuple[Quantity | None, ...]
    """What each point reads in it."""


def wiring_of(assessment: Assessment, circuit: str, settings: Settings, at: Sequence[tuple[Point, int | None]],
              used: Flags, swapped: str | None = None, refed: bool = False) -> Wiring:
    """The car with the circuit's parts as elements.

    Args:
        at: what is read, each point with its setting; None for what the network does not tell
        used: consumers that are on in anything asked (L,)
        swapped: circuit whose supply wire is swapped with this one's
        refed: whether coil and contact of its relay have each other's feed
    """
    moved = {} if swapped is None else {circuit: swapped, swapped: circuit}
    if swapped is not None:
        settings, used = _swapped(assessment, circuit, swapped, settings, used)
    parts = [each for each in (circuit, swapped) if each]
    model = car_model(assessment.results, parts, used, moved, circuit if refed else None)
    return Wiring(model, settings, moves_of(model, settings), tuple(
        None if setting is None else quantity_of(model, point, setting) for point, setting in at))


def _swapped(assessment: Assessment, one: str, other: str, settings: Settings, used: Flags) -> tuple[Settings, Flags]:
    """What is on where the switch of one circuit puts on the loads of the other."""
    from fuseplan.bench.model import bench_model

    network, bench = settings.network, bench_model(assessment)
    consumers, on = network.consumers, network.consumers.on.copy()
    loads = {name: (consumers.circuit == network.circuit_number[name]) & (consumers.kind == LOAD)
             for name in (one, other)}
    for row in settings.rows.tolist():
        was = {name: bool((on[row] & loads[name]).any()) for name in (one, other)}
        for name, partner in ((one, other), (other, one)):
            if was[partner] != was[name]:
                on[row] &= ~loads[name]
                if was[partner]:
                    on[row] |= bench.own_loads(network.circuit_number[name])
    changed = replace(network, consumers=replace(consumers, on=on))
    return replace(settings, network=changed), used | on[settings.rows].any(axis=0)


def neighbours(plan: Plan, circuit: str) -> list[str]:
    """The circuits whose wires meet this one's: in one connector, in one run, or between one feed and one earth."""
    mine = plan.circuit[circuit]
    found: list[tuple[int, str]] = []
    for name, other in plan.circuit.items():
        if name == circuit or other.out_of_scope is not None or not other.load:
            continue
        rank = 3 * bool(_connectors(mine) & _connectors(other)) or 2 * bool(_runs(mine) & _runs(other)) \
            or int((mine.feed, mine.earth) == (other.feed, other.earth))
        if rank:
            found.append((-rank, name))
    order = {name: number for number, name in enumerate(plan.circuit)}
    return [name for _, name in sorted(found, key=lambda each: (each[0], order[each[1]]))[:NEIGHBOURS]]


def tells_of(plan: Plan, circuit: str, point: Point) -> bool:
    """Whether a point may tell something about a circuit: near it, or whether it feeds another one that is off."""
    return near(plan, circuit, point) or (circuit != SUPPLY and point.kind == "circuit" and point.what == "off_v"
                                          and point.subject in neighbours(plan, circuit))


def left_on_dead_wire_v(results: Results, circuit: str, other: str) -> float | None:
    """Voltage left on the dead wire of a circuit by a live one through its load, both in series; None where either has
    no stated load."""
    plan = results.plan
    laws = []
    for name in (other, circuit):
        loads = [number for number, load in enumerate(plan.circuit[name].load)
                 if load.current is not None or load.power is not None]
        if not loads:
            return None
        laws.append([law_of(results, name, number) for number in (loads[:1] if name == other else loads)])
    volts, _ = divided(float(results.source.open_circuit_v[0]), *laws)
    return volts


def _connectors(circuit: Circuit) -> set[str]:
    wires = (circuit.wire, *(load.wire for load in circuit.load))
    return {end.connector for wire in wires for segment in wire for end in (segment.start, segment.end)
            if end is not None and end.connector}


def _runs(circuit: Circuit) -> set[str]:
    return {run for segment in circuit.wire for run in segment.along or ()}
