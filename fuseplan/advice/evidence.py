"""How much a guessed current is worth: what to measure first, and how often each verdict fails over many samples."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from fuseplan.advice.sample_verdicts import Judged, SampleVerdicts
from fuseplan.array_types import Floats
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.subjects import SUPPLY_POINT, load_of
from fuseplan.engine.consumers import LOAD, MOMENTARY
from fuseplan.plan.model import Circuit, Condition
from fuseplan.plan.parts import Load
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables import fuses as fuse_tables

SEED = 20_000_101
MOST_ASKED = 400
"""Loads looked at one by one for what to measure first."""
COUNTS_FROM = 0.05
"""A load is named for a verdict when its uncertainty covers this share of the way to the limit."""
AT_LIMIT = 0.01
"""A figure closer to its limit than this share of it counts as so far away."""
NEARLY = 0.95
"""A condition with this share of the largest current does as well."""
CLAMP_FROM_A = 1.0
"""Below this a clamp meter for direct current shows mostly its own zero. Common practice, no source."""


@dataclass(frozen=True)
class Failing:
    """In what share of the samples one check fails."""

    judged: Judged
    share: float


@dataclass(frozen=True)
class Sample:
    """What many samples of the currents say.

    Each current lies anywhere between its bounds, all values alike, each independent of the others: the
    rectangular distribution, which is taken where only bounds are known (JCGM 100:2008, 4.3.7, from memory).
    """

    count: int
    seed: int
    finished: bool
    checks: tuple[Failing, ...]
    """Checks that fail in some sample, the most frequent first."""
    circuits: dict[str, float]
    """Share of the samples in which any of these checks fails, for every circuit."""
    short: dict[str, float]
    """Share of the samples in which the battery discharges, for every condition with the engine running."""


def sample(assessment: Assessment, count: int = 10_000, seed: int = SEED,
           progress: Callable[[int, int], None] | None = None,
           cancelled: Callable[[], bool] | None = None) -> Sample:
    """Judge a plan with its currents drawn between their bounds.

    Args:
        count: number of samples, 1 or more
        seed: the same seed draws the same samples
        progress(done, count): called after every batch of samples, 1,250 each where the plan is not large
        cancelled: asked before every batch; where it says yes, the answer is over the samples done so far
    """
    consumers = assessment.results.network.consumers
    verdicts = SampleVerdicts(assessment)
    random = np.random.default_rng(seed)
    circuits = _members(verdicts, "circuit")
    failed, by_circuit = np.zeros(len(verdicts.judged)), dict.fromkeys(assessment.plan.circuit, 0)
    done = 0
    while done < count and not (cancelled is not None and cancelled()):
        rows = min(verdicts.at_once, count - done)
        current = random.uniform(consumers.least_a, consumers.most_a, (rows, consumers.count))
        fails = verdicts.fails(current)
        failed += fails.sum(axis=0)
        for name, places in circuits.items():
            by_circuit[name] += int(fails[:, places].any(axis=1).sum())
        done += rows
        if progress is not None:
            progress(done, count)
    shares = failed / max(done, 1)
    checks = sorted((Failing(judged, float(share)) for judged, share in zip(verdicts.judged, shares, strict=True)
                     if share > 0 and judged.check != "discharge-while-running"), key=lambda each: -each.share)
    short = {judged.subject: float(share) for judged, share in zip(verdicts.judged, shares, strict=True)
             if judged.check == "discharge-while-running" and _runs(assessment, judged.subject)}
    return Sample(done, seed, done >= count, tuple(checks),
                  {name: number / max(done, 1) for name, number in by_circuit.items()}, short)


def _members(verdicts: SampleVerdicts, kind: str) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    for place, judged in enumerate(verdicts.judged):
        if judged.kind == kind:
            found.setdefault(judged.subject, []).append(place)
    return found


def _runs(assessment: Assessment, condition: str) -> bool:
    network = assessment.results.network
    number = network.condition_ids.index(condition)
    return assessment.results.source.alternator_known and network.conditions[number].state == "running"


@dataclass(frozen=True)
class Reading:
    """A current worth measuring, because how little it is known can change a verdict."""

    circuit: str
    load: int
    """Number of the load in its circuit, from 0."""
    name: str
    evidence: str
    low_a: float
    high_a: float
    """What the meter may show if its bounds are right."""
    entered_a: float
    reach: float
    """Its own uncertainty over the way to the nearest limit: from 1 on it flips a verdict alone."""
    flips: tuple[Judged, ...]
    """The verdicts it can flip alone, or help to flip, the nearest first."""
    instrument: str
    place: str
    condition: str
    condition_words: str


def _uncertain(assessment: Assessment) -> list[int]:
    """Loads whose current is not measured, by how many amperes it is open, the most first."""
    consumers = assessment.results.network.consumers
    open_a = consumers.most_a - consumers.least_a
    found = [index for index in np.flatnonzero((consumers.kind == LOAD) & (open_a > 0)).tolist()
             if load_of(assessment.results, index).evidence != "measured"]
    return sorted(found, key=lambda index: (-float(open_a[index]), index))


def not_asked(assessment: Assessment) -> int:
    """How many loads `measure_first` leaves out, the least uncertain."""
    return max(0, len(_uncertain(assessment)) - MOST_ASKED)


def measure_first(assessment: Assessment) -> tuple[Reading, ...]:
    """The readings whose uncertainty can change a verdict, those that can most first.

    A verdict can be flipped when it comes out otherwise with all currents at their upper, or all at their lower
    bound. Loads that are measured already are left out, and beyond `MOST_ASKED` those whose currents are open by the
    fewest amperes: the network is solved twice for each.
    """
    consumers = assessment.results.network.consumers
    asked = _uncertain(assessment)[:MOST_ASKED]
    if not asked:
        return ()
    verdicts = SampleVerdicts(assessment)
    nominal, most, least = consumers.reference_a, consumers.most_a, consumers.least_a
    rows = [nominal, most, least]
    ends = verdicts.of(np.stack(rows)).fails
    if not (ends[1:] != ends[0]).any():
        return ()
    for index in asked:
        for bound in (most, least):
            one = nominal.copy()
            one[index] = bound[index]
            rows.append(one)
    few = verdicts.at_once
    parts = [verdicts.of(np.stack(rows[low:low + few])) for low in range(0, len(rows), few)]
    fails, ratios = (np.concatenate(each) for each in zip(*parts, strict=True))
    open_ = np.flatnonzero((fails[1:3] != fails[0]).any(axis=0) & np.isfinite(ratios[0]))
    found = []
    for place, index in enumerate(asked):
        moved = ratios[3 + 2 * place:5 + 2 * place, open_] - ratios[0, open_]
        way = 1.0 - ratios[0, open_]
        reach = (moved / np.where(np.abs(way) < AT_LIMIT, np.copysign(AT_LIMIT, way), way)).max(axis=0, initial=0.0)
        order = [each for each in np.argsort(-reach).tolist() if reach[each] >= COUNTS_FROM]
        if order:
            flips = tuple(verdicts.judged[open_[each]] for each in order)
            found.append(_reading(assessment, index, float(reach[order[0]]), flips))
    return tuple(sorted(found, key=lambda each: -each.reach))


def _reading(assessment: Assessment, index: int, reach: float, flips: tuple[Judged, ...]) -> Reading:
    results = assessment.results
    network, consumers = results.network, results.network.consumers
    number = int(consumers.circuit[index])
    circuit, load = network.circuits[number], load_of(results, index)
    currents = np.where(consumers.possible[:, index], results.solution.consumer_a[:len(network.conditions), index], 0.0)
    best = _best_condition(network.conditions, currents)
    entered = float(currents[best]) or float(consumers.reference_a[index])
    low, high = (float(each[index] / consumers.reference_a[index]) for each in (consumers.least_a, consumers.most_a))
    return Reading(
        circuit=network.circuit_ids[number], load=int(consumers.number[index]),
        name=load.name or f"load {int(consumers.number[index]) + 1}", evidence=load.evidence or "guess",
        low_a=entered * low, high_a=entered * high, entered_a=entered, reach=reach,
        flips=flips, instrument=_instrument(assessment, index, entered), place=_place(circuit, load),
        condition=network.condition_ids[best], condition_words=_condition_words(network.conditions[best],
                                                                                network.condition_ids[best]),
    )


def _best_condition(conditions: tuple[Condition, ...], currents: Floats) -> int:
    """Where to measure: nearly the largest current, with the engine as slow as may be, and never while cranking if
    there is another way."""
    calm = np.array([condition.state != "crank" for condition in conditions])
    able = np.where(calm, currents, 0.0) if (currents[calm] > 0).any() else currents
    speed = np.array([float(condition.engine) for condition in conditions])
    return int(np.where(able >= NEARLY * able.max(initial=0.0), speed, np.inf).argmin())


def _instrument(assessment: Assessment, index: int, current_a: float) -> str:
    """What to measure with. Common practice, no source."""
    results = assessment.results
    number = int(results.network.consumers.circuit[index])
    alone = len(results.network.circuits[number].load) == 1
    words = "clamp meter for direct current, set to zero beside the wire"
    if results.network.consumers.use[index] == MOMENTARY:
        words += ", holding the peak"
    elif current_a < CLAMP_FROM_A:
        words = "multimeter in its 10 A range, in place of the fuse"
    device = assessment.fuse_of.get(("circuit", results.network.circuit_ids[number]))
    if alone and device is not None and not math.isnan(results.fusing.rating_a[device]):
        found = fuse_tables.cold_resistance_ohm(results.network.fuses[device].fuse.kind,
                                                float(results.fusing.rating_a[device]))
        if found is not None:
            across = writing.burden(1000 * current_a * found.value, "mV")
            words += f", or millivolts across the fuse (about {across} cold)"
    return words


def _place(circuit: Circuit, load: Load) -> str:
    """Where to measure."""
    if load.wire:
        return "round its own wire, behind the branch"
    where = "round the supply wire, right behind "
    if circuit.fuse is not None and circuit.fuse.position is not None:
        where += f"fuse {circuit.fuse.position}"
    else:
        where += "its fuse" if circuit.fuse is not None else SUPPLY_POINT
    return where if len(circuit.load) == 1 else f"{where}, the circuit's other loads unplugged"


def _condition_words(condition: Condition, name: str) -> str:
    words = condition.name or name
    return f"{words}, engine at {writing.stated(condition.engine, 'r/min')}" if condition.engine > 0 else words
