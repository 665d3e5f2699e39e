"""What to switch off, in order, until the alternator carries the rest."""

from __future__ import annotations

import numpy as np

from fuseplan.engine.consumers import ALTERNATOR, LOAD
from fuseplan.engine.loads_table import essential_consumers
from fuseplan.engine.power import held_back, still_a
from fuseplan.engine.results import Results
from fuseplan.engine.scenario import rows, weighed
from fuseplan.engine.solve import solve
from fuseplan.plan.roles import must_run
from fuseplan.records import dataclass

MOST_STEPS = 12
LEAST_A = 0.1
"""A load that draws less on average is not worth switching off."""


@dataclass(frozen=True)
class Shed:
    """One step: a load switched off, and the balance then. Currents in A."""

    circuit: str
    what: str
    lamp: bool
    """A lamp may be required by law: only after everything else, and only where it may be off."""
    average_a: float
    balance_a: float


def shedding_of(results: Results, condition: int) -> tuple[Shed, ...]:
    """Loads to switch off in a condition, the largest first, until the battery no longer discharges.

    Loads marked essential, circuits that must run with the engine, and what draws next to nothing stay on. Lamps
    come last.
    """
    network, consumers = results.network, results.network.consumers
    mean = results.balance.average.consumer_a[condition]
    kept = essential_consumers(network)
    order = []
    for number in np.flatnonzero((consumers.kind == LOAD) & (mean > LEAST_A) & ~kept).tolist():
        at = int(consumers.circuit[number])
        if "running" not in must_run(network.circuit_ids[at], network.circuits[at]):
            order.append((consumers.load_kind[number] == "lamp", -float(mean[number]), number))
    few, narrow = rows(weighed(network), results.source, [condition])
    on = few.consumers.on.copy()
    found: list[Shed] = []
    balance = float(results.balance.balance_a[0, condition])
    for lamp, negative_a, number in sorted(order):
        if balance >= 0.0 or len(found) == MOST_STEPS:
            break
        on[0, number] = False
        solution = solve(few, narrow, results.fuse_ohm, on)
        real = few.consumers.kind != ALTERNATOR
        gives = solution.alternator_a if held_back(solution, narrow.available_a)[0, 0] else narrow.available_a
        balance = float(gives[0] - (solution.consumer_a[0] * real).sum())
        balance = 0.0 if abs(balance) < still_a(narrow.available_a[0]) else balance
        circuit = network.circuit_ids[int(consumers.circuit[number])]
        place = int(consumers.number[number])
        name = network.plan.circuit[circuit].load[place].name or f"load {place + 1}"
        found.append(Shed(circuit, name, lamp, -negative_a, balance))
    return tuple(found)
