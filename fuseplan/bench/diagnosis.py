"""What is wrong with a circuit, by its readings: the most probable faults in order, and the reading to take next.

Every fault is put into the solved network of the plan, its size searched for, and held against what was read in the
light of what the meters may be off by and of how well the plan's currents and resistances are known. That nothing is
wrong is held against the readings in the same way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from fuseplan.bench.diagnosis_belief import Hypotheses, Posterior, information
from fuseplan.bench.diagnosis_fault import Fault
from fuseplan.bench.diagnosis_meters import meter_error, plain
from fuseplan.bench.diagnosis_points import SUPPLY
from fuseplan.bench.diagnosis_records import Diagnosis, Evidence, NextReading, Suspect, Taken
from fuseplan.bench.diagnosis_trial import Trial, usual_conditions
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.missing import Unknown, leaves_unknown

SURE, SURE_HEALTHY = 0.97, 0.985
"""A fault of this share of the whole weight is settled, and that nothing is wrong."""
LEAST_SHOWN = 0.02
"""What a reading would show is told of suspects of this share or more."""
WORTH_BITS = 0.02
"""A reading that tells less is not worth taking."""
EFFORT = {"contact_mv": 1.5, "wire_mv": 1.3, "earth_mv": 1.1, "coil_v": 1.3, "coil_current": 2.0,
          "coil_86_v": 1.2, "coil_85_mv": 1.2, "cold_ohm": 2.0,
          "plus_to_earth_ohm": 2.0, "wire_ohm": 2.0, "return_ohm": 2.0, "off_v": 1.0, "strap_mv": 1.2, "bulb_v": 1.6,
          "own_wire_mv": 1.3, "own_earth_mv": 1.3, "relay_feed_v": 1.5}
"""How much trouble a reading is, over volts at an open connector. Judgement."""

DEAD = ("open", "short_to_earth", "short_across_load")
"""Faults that leave a circuit dead, its fuse blown perhaps."""


def diagnose(assessment: Assessment, circuit: str, readings: Sequence[Taken], *, ask: bool = True) -> Diagnosis:
    """What is wrong with a circuit.

    Args:
        circuit: id of a circuit with loads
        readings: readings of it, its feeds and its earth points; later ones of a point and condition replace earlier
            ones
        ask: whether to look for the reading to take next
    """
    trial = Trial(assessment, circuit, readings)
    found, posterior = trial.hypotheses()
    suspects = _suspects(trial, found, posterior)
    sure = SURE_HEALTHY if suspects[0].fault.kind == "healthy" else SURE
    return Diagnosis(circuit, suspects, bool(trial.taken) and suspects[0].weight >= sure,
                     _next(trial, found, posterior, suspects) if ask else None, trial.unused)


def why_not(assessment: Assessment, circuit: str) -> str:
    """Why a circuit cannot be diagnosed, as a sentence; empty where it can."""
    if circuit == SUPPLY:
        return ""
    if assessment.plan.circuit[circuit].out_of_scope is not None:
        return f"'{circuit}' is out of scope: this program gives no figures for it"
    missing = [each.words for each in assessment.lacks(circuit) if leaves_unknown([each], Unknown.CURRENT)
               or leaves_unknown([each], Unknown.VOLTAGE)]
    if missing:
        return f"'{circuit}' cannot be diagnosed: the plan does not say {', '.join(missing)}"
    return "" if usual_conditions(assessment, circuit) else \
        f"'{circuit}' has no load that is on in any condition: nothing can be read of it"


def _suspects(trial: Trial, found: Hypotheses, posterior: Posterior) -> tuple[Suspect, ...]:
    weight = posterior.weight
    first = int(np.flatnonzero(found.fault == 0)[0])
    spread = np.sqrt((found.slopes[first]**2).sum(axis=1) + found.own[first])
    suspects = []
    for number, fault in enumerate(trial.faults):
        rows = np.flatnonzero(found.fault == number)
        top = int(rows[int(np.argmax(posterior.log_weight[rows]))])
        size = None
        if fault.searched:
            size = math.exp(float(np.clip(math.log(found.size[top]) + found.step[top] * posterior.size_shift[top],
                                          *found.ends[top])))
        lines = tuple(Evidence(each.point, each.condition, each.value, plain(each.point, found.mean[first, at]),
                               float(spread[at]), plain(each.point, posterior.mean[top, at]))
                      for each in trial.taken for at in [trial.place[each.point.address, each.condition]])
        suspects.append(Suspect(fault, float(weight[rows].sum()), size, lines))
    return tuple(sorted(suspects, key=lambda each: -each.weight))


def _next(trial: Trial, found: Hypotheses, posterior: Posterior, suspects: Sequence[Suspect]) -> NextReading | None:
    error = np.empty(posterior.mean.shape)
    for number, (point, _) in enumerate(trial.points):
        error[:, number] = [meter_error(point, plain(point, value)) for value in posterior.mean[:, number]]
    bits = information(found, posterior, error)
    bits[trial.read] = 0.0
    if sum(each.weight for each in suspects if each.fault.kind in DEAD) < 0.5:
        # A fuse that has not blown is not taken out for a bulb.
        bits[[point.what == "bulb_v" for point, _ in trial.points]] = 0.0
    effort = np.array([EFFORT.get(point.what, 1.0) * (1.0 if point.kind == "circuit" else 1.2)
                       for point, _ in trial.points])
    best = int(np.argmax(bits / np.sqrt(effort)))
    if bits[best] < WORTH_BITS:
        return None
    point, condition = trial.points[best]
    weight = posterior.weight
    shows: list[tuple[Fault, float]] = []
    for each in suspects[:4]:
        if shows and each.weight < LEAST_SHOWN:
            break
        rows = np.flatnonzero(found.fault == trial.faults.index(each.fault))
        top = int(rows[int(np.argmax(weight[rows]))])
        shows.append((each.fault, plain(point, posterior.mean[top, best])))
    return NextReading(point, condition, float(bits[best]), tuple(shows))
