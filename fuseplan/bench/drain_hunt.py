"""Which circuit drains a parked car: by the total and by the millivolts across fuses, without pulling one.

Every circuit and every feed that is live with the key off is tried with a current too much, searched for in size; what
each fuse then shows follows from the plan's own parked currents and the fuses' resistances.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats
from fuseplan.bench.diagnosis_belief import Hypotheses, Posterior, information, judged
from fuseplan.bench.diagnosis_fault import ONE, Fault
from fuseplan.bench.diagnosis_meters import meter_error
from fuseplan.bench.diagnosis_records import Diagnosis, Evidence, NextReading, Suspect, Taken
from fuseplan.bench.diagnosis_solve import Cases
from fuseplan.bench.diagnosis_unknowns import UNIFORM
from fuseplan.bench.fuse_millivolts import BAND
from fuseplan.bench.points import Point, points
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.standing import parked_condition
from fuseplan.records import dataclass
from fuseplan.results.address import joined

DRAIN = "parked car"
"""Stands for a circuit in a diagnosis of a drain."""
SIZES_A = np.geomspace(0.02, 8.0, 14)
"""Currents too much that are searched: less is no drain to hunt, more blows small fuses or is noticed."""
STEP, SURE, WORTH_BITS = 0.6, 0.97, 0.02
NO_DRAIN_PRIOR, DRAIN_PRIOR = 0.5, 0.5
DEAD_SHARE = 0.3
"""How probable a drain is behind a key switch or relay, over one that is always fed: contacts stick."""
FLOOR_A = 0.003
"""One standard deviation of the parked current of any circuit besides what is planned of it: clocks, memories, dirt."""


def _unput(cases: Cases, number: int, size: float) -> None:
    """A drain is no change of the network a meter is put to with a circuit on."""


@dataclass(frozen=True)
class _Parked:
    """The car as it should stand: what each point shows, and what it passes."""

    points: tuple[Point, ...]
    ohm: Floats
    """Resistance by which each shows a current; 1 for a current itself (Q,)."""
    planned_a: Floats
    unsure_a: Floats
    behind: tuple[frozenset[str], ...]
    """Faults whose current each point sees."""


def drain_hunt(assessment: Assessment, readings: Sequence[Taken]) -> Diagnosis:
    """Which circuit drains a parked car, and which fuse to look at next; readings in its parked condition.

    Raises:
        ValueError: The plan has no condition in which the car is parked.
    """
    network = assessment.results.network
    index = parked_condition(network)
    if index < 0:
        raise ValueError("no condition with the key off")
    condition = network.condition_ids[index]
    faults = [Fault("healthy", "", "no more is drawn than planned", NO_DRAIN_PRIOR, ONE, _unput), *_faults(assessment)]
    parked = _parked(assessment, index, faults)
    latest = {each.point.address: each for each in readings if each.condition == condition}
    place = {point.address: number for number, point in enumerate(parked.points)}
    taken = [each for address, each in latest.items() if address in place]
    hypotheses = _hypotheses(faults, parked)
    read = np.array([place[each.point.address] for each in taken], dtype=np.int64)
    found = judged(hypotheses, read, np.array([each.value for each in taken]),
                   np.array([meter_error(each.point, each.value, each.instrument) for each in taken]),
                   np.zeros(0, dtype=np.int64), 1.0)
    suspects = _suspects(faults, hypotheses, found, taken, place)
    settled = bool(taken) and suspects[0].weight >= SURE
    return Diagnosis(DRAIN, suspects, settled, None if settled else _next(
        faults, hypotheses, found, read, parked, condition, suspects),
        tuple(each for address, each in latest.items() if address not in place))


def _faults(assessment: Assessment) -> list[Fault]:
    """A current too much in every circuit and on every feed; less probable where the key switches it off."""
    plan, network = assessment.plan, assessment.results.network
    live = {name for name, states in network.feed_live.items() if states[0]}
    found = []
    for name, circuit in plan.circuit.items():
        if circuit.feed is not None and circuit.out_of_scope is None:
            found.append((joined(("circuit", name)), f"'{circuit.name or name}' draws while the car is parked",
                          1.0 if circuit.feed in live else DEAD_SHARE))
    for name, feed in plan.feed.items():
        found.append((joined(("feed", name)), f"something on '{feed.name or name}' itself draws while the car is "
                      "parked: alternator, box, a wire that is not in the plan", 1.0 if name in live else DEAD_SHARE))
    total = sum(share for *_, share in found)
    return [Fault("drain", place, words, DRAIN_PRIOR * share / total, SIZES_A, _unput, searched=True)
            for place, words, share in found]


def _parked(assessment: Assessment, index: int, faults: Sequence[Fault]) -> _Parked:
    network, solution = assessment.results.network, assessment.results.solution
    known, consumers = points(assessment), network.consumers
    nodes = {joined(("circuit", name)): int(node)
             for name, node in zip(network.circuit_ids, network.circuit_node, strict=True)}
    nodes |= {joined(("feed", name)): node for name, node in network.feed_node.items()}
    share = UNIFORM * 0.5 * (consumers.lower + consumers.upper) * np.abs(solution.consumer_a[index])
    unsure = np.sqrt(network.supply.branch_sums(share**2))
    rows: list[tuple[Point, float, float, float, frozenset[str]]] = []
    every = frozenset(each.place for each in faults if each.place)
    drain = known.get("battery.drain")
    if drain is not None:
        rows.append((drain, 1.0, float(solution.battery_a[index]), float(unsure[0]), every))
    places = {place: set(network.supply.way(node).tolist()) for place, node in nodes.items() if place in every}
    for number, row in enumerate(network.fuses):
        kind, name = row.owner
        point, node = known.get(joined((kind, name, "fuse_mv"))), nodes.get(joined(row.owner), -1)
        ohm = float(assessment.results.fuse_ohm[number])
        if point is not None and ohm > 0:
            seen = frozenset(place for place, way in places.items() if node in way)
            if seen:
                rows.append((point, ohm, float(solution.supply_a[index, node]), float(unsure[node]), seen))
    shown, ohm_of, planned, spread, behind = zip(*rows, strict=True) if rows else ((), (), (), (), ())
    return _Parked(tuple(shown), np.array(ohm_of), np.array(planned), np.array(spread), tuple(behind))


def _hypotheses(faults: Sequence[Fault], parked: _Parked) -> Hypotheses:
    fault = np.concatenate([np.full(len(each.sizes), number) for number, each in enumerate(faults)])
    size = np.concatenate([each.sizes for each in faults])
    sees = np.array([[each.place in behind for behind in parked.behind] for each in faults], dtype=float)[fault]
    amps = parked.planned_a + sees * np.where(fault > 0, size, 0.0)[:, None]
    band = np.where(parked.ohm == 1.0, 0.0, BAND * UNIFORM)
    own = (parked.ohm * np.sqrt(parked.unsure_a**2 + FLOOR_A**2 + (band * amps)**2))**2
    mean = parked.ohm * amps
    step = np.where(fault > 0, STEP * (math.log(SIZES_A[1]) - math.log(SIZES_A[0])), 0.0)
    slopes = (parked.ohm * sees * (size * step)[:, None])[:, :, None]
    prior = np.array([each.prior / len(each.sizes) for each in faults])[fault]
    ends = np.log(np.array([each.sizes[[0, -1]] for each in faults]))[fault]
    return Hypotheses(fault, size, np.log(prior), mean, slopes, own, step, ends)


def _suspects(faults: Sequence[Fault], hypotheses: Hypotheses, found: Posterior, taken: Sequence[Taken],
              place: dict[str, int]) -> tuple[Suspect, ...]:
    weight, suspects = found.weight, []
    for number, fault in enumerate(faults):
        rows = np.flatnonzero(hypotheses.fault == number)
        top = int(rows[int(np.argmax(found.log_weight[rows]))])
        size = None if not fault.searched else float(
            hypotheses.size[top] * math.exp(float(np.clip(hypotheses.step[top] * found.size_shift[top], -1.0, 1.0))))
        lines = tuple(Evidence(each.point, each.condition, each.value, float(hypotheses.mean[0, at]),
                               math.sqrt(float(hypotheses.own[0, at])), float(found.mean[top, at]))
                      for each in taken for at in [place[each.point.address]])
        suspects.append(Suspect(fault, float(weight[rows].sum()), size, lines))
    return tuple(sorted(suspects, key=lambda each: -each.weight))


def _next(faults: Sequence[Fault], hypotheses: Hypotheses, found: Posterior, read: NDArray[np.int64], parked: _Parked,
          condition: str, suspects: Sequence[Suspect]) -> NextReading | None:
    error = np.empty(found.mean.shape)
    for number, point in enumerate(parked.points):
        error[:, number] = [meter_error(point, value) for value in found.mean[:, number]]
    bits = information(hypotheses, found, error)
    bits[read] = 0.0
    if not bits.size or bits.max() < WORTH_BITS:
        return None
    best, shows = int(np.argmax(bits)), []
    for each in suspects[:3]:
        rows = np.flatnonzero(hypotheses.fault == list(faults).index(each.fault))
        top = int(rows[int(np.argmax(found.log_weight[rows]))])
        shows.append((each.fault, float(found.mean[top, best])))
    return NextReading(parked.points[best], condition, float(bits[best]), tuple(shows))
