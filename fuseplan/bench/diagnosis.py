"""What is wrong with a circuit, by its readings: the most probable faults in order, and the reading to take next.

Every fault is put into the solved network of the plan, its size searched for, and held against what was read in the
light of what the meters may be off by and of how well the plan's currents and resistances are known. That nothing is
wrong is held against the readings in the same way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from fuseplan.bench.diagnosis_belief import Hypotheses, Posterior, information, judged
from fuseplan.bench.diagnosis_faults import Fault, faults_of, healthy
from fuseplan.bench.diagnosis_meters import OUTSIDE, compared, meter_error, plain, shown_outside
from fuseplan.bench.diagnosis_network import car_model
from fuseplan.bench.diagnosis_points import near, quantity_of
from fuseplan.bench.diagnosis_records import Diagnosis, Evidence, NextReading, Suspect, Taken
from fuseplan.bench.diagnosis_solve import Cases, Quantity, solved
from fuseplan.bench.diagnosis_unknowns import SPREAD, Settings, moves_of
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import Point, points
from fuseplan.checks.assessment import Assessment

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SURE, SURE_HEALTHY = 0.97, 0.985
"""A fault of this share of the whole weight is settled, and that nothing is wrong."""
LEAST_SHOWN = 0.02
"""What a reading would show is told of suspects of this share or more."""
WORTH_BITS = 0.02
"""A reading that tells less is not worth taking."""
MODEL_V, MODEL_SHARE = 3e-4, 1e-3
"""What the network itself may be off by in a voltage or current."""
FLOATING_V = 0.1
"""What is cut off shows anything a few other loads leave on it."""
OTHERS_A = 0.3
"""What relays, control units and lamps may draw besides a circuit that is switched on by itself."""
EFFORT = {"contact_mv": 1.5, "wire_mv": 1.3, "earth_mv": 1.1, "coil_v": 1.3, "coil_current": 2.0, "cold_ohm": 2.0,
          "plus_to_earth_ohm": 2.0, "wire_ohm": 2.0, "return_ohm": 2.0, "off_v": 1.0, "strap_mv": 1.2}
"""How much trouble a reading is, over volts at an open connector. Judgement."""
ROUNDS, FEW = 2, 3
"""Rounds of searching closer, and how many readings it takes to be worth it."""
NUDGE = 0.01
"""Change of the logarithm of a size by which its slopes are found."""
KERNEL = 0.6
"""Standard deviation of the logarithm of a size around each one looked at, in steps between them."""
NEAREST = 9.0
"""A fault whose best size agrees worse than the best of all by more than this (natural log) is not searched closer."""


def diagnose(assessment: Assessment, circuit: str, readings: Sequence[Taken], *, ask: bool = True) -> Diagnosis:
    """What is wrong with a circuit.

    Parameters
    ----------
    assessment : Assessment
    circuit : str
        Id of a circuit with loads.
    readings : sequence of Taken
        Readings of it, its feeds and its earth points; later ones of a point and condition replace earlier ones.
    ask : bool
        Whether to look for the reading to take next.
    """
    return _Diagnosing(assessment, circuit, readings).run(ask)


def diagnosable(assessment: Assessment, circuit: str) -> bool:
    """Whether a circuit can be put on in any condition, so that there is something to read."""
    return bool(_usual_conditions(assessment, circuit))


def _usual_conditions(assessment: Assessment, circuit: str) -> list[str]:
    """The condition a circuit is read in: on by itself, else, where it is on only then, while cranking."""
    bench = bench_model(assessment)
    if bench.row("alone", circuit) is not None:
        return ["alone"]
    network = assessment.results.network
    own = network.consumers.circuit == network.circuit_number[circuit]
    return [name for name, on in zip(network.condition_ids, network.consumers.on, strict=True) if (on & own).any()][:1]


class _Diagnosing:
    def __init__(self, assessment: Assessment, circuit: str, readings: Sequence[Taken]) -> None:
        self.assessment, self.circuit = assessment, circuit
        bench = bench_model(assessment)
        network, source = bench.chosen
        latest = {(each.point.address, each.condition): each for each in readings
                  if near(assessment.plan, circuit, each.point)}
        asked = list(dict.fromkeys([*_usual_conditions(assessment, circuit), *(condition for _, condition in latest)]))
        rows = {name: row for name in asked if (row := bench.row(name, circuit)) is not None}
        self.settings = Settings(network, source, np.array(list(rows.values()), dtype=np.int64))
        self.setting = {name: number for number, name in enumerate(rows)}
        used = np.array(network.consumers.on[self.settings.rows].any(axis=0), dtype=bool)
        for load in network.load_consumers.tolist():
            used[load] |= network.consumers.owner[load] == ("circuit", circuit)
        self.model = car_model(assessment.results, [circuit], used)
        self.points: list[tuple[Point, str]] = []
        self.quantities: list[Quantity | None] = []
        self.latest = latest
        self._collect()

    def _collect(self) -> None:
        """Everything that can be read, what was read first."""
        known = points(self.assessment)
        ways = [(each.point, each.condition) for each in self.latest.values()]
        for point in known.values():
            if near(self.assessment.plan, self.circuit, point):
                ways += [(point, name) for name in (["unpowered"] if point.unit == "ohm" else list(self.setting))]
        for point, condition in dict.fromkeys(ways):
            if point.what in OUTSIDE:
                self.points.append((point, condition))
                self.quantities.append(None)
            elif condition in self.setting:
                quantity = quantity_of(self.model, point, condition, self.setting[condition])
                if quantity is not None:
                    self.points.append((point, condition))
                    self.quantities.append(quantity)
        self.place = {(point.address, condition): number for number, (point, condition) in enumerate(self.points)}

    def run(self, ask: bool) -> Diagnosis:
        """See `diagnose`."""
        self.moves = moves_of(self.model, self.settings)
        self.wet = [number for number, each in enumerate(self.quantities) if each is not None]
        self.faults = [healthy(), *faults_of(self.model, self.circuit)]
        taken = [each for key, each in self.latest.items() if key in self.place]
        unused = tuple(each for key, each in self.latest.items() if key not in self.place)
        read = np.array([self.place[each.point.address, each.condition] for each in taken], dtype=np.int64)
        values = np.array([compared(each.point, each.value) for each in taken])
        error = np.array([meter_error(each.point, each.value, each.instrument) for each in taken])
        found = self._all_sizes()
        self.limited = np.array([number for number, each in enumerate(self.moves.of_load) if each], dtype=np.int64)
        posterior = self._judged(found, read, values, error)
        for _ in range(ROUNDS if len(read) >= FEW else 0):
            found, posterior = self._closer(found, posterior, read, values, error)
        suspects = self._suspects(found, posterior, taken)
        return Diagnosis(self.circuit, suspects, bool(taken) and suspects[0].weight >= (
            SURE_HEALTHY if suspects[0].fault.kind == "healthy" else SURE),
                         self._next(found, posterior, read, suspects) if ask else None, unused)

    # --- hypotheses --------------------------------------------------------------------------------------------

    def _all_sizes(self) -> Hypotheses:
        """Every fault at every size looked at."""
        fault = np.concatenate([np.full(len(each.sizes), number) for number, each in enumerate(self.faults)])
        size = np.concatenate([each.sizes for each in self.faults])
        mean, slopes, own = self._solve(fault, size)
        total = math.fsum(each.prior for each in self.faults)
        prior = np.concatenate([np.full(len(each.sizes), each.prior / total / len(each.sizes)) for each in self.faults])
        of_size, step = np.zeros(mean.shape), np.zeros(len(fault))
        for number, each in enumerate(self.faults):
            if each.searched:
                rows, log = np.flatnonzero(fault == number), np.log(each.sizes)
                step[rows] = KERNEL * (log[1] - log[0])
                of_size[rows] = np.gradient(mean[rows], log, axis=0) * step[rows, None]
        return Hypotheses(fault, size, np.log(prior), mean, np.concatenate([slopes, of_size[..., None]], axis=2), own,
                          step, self._ends(fault))

    def _ends(self, fault: Ints) -> Floats:
        """Least and largest logarithm of the size of each (C, 2)."""
        ends = np.array([each.sizes[[0, -1]] for each in self.faults], dtype=float)
        return np.asarray(np.log(ends)[fault])

    def _closer(self, found: Hypotheses, posterior: Posterior, read: Ints, values: Floats, error: Floats
                ) -> tuple[Hypotheses, Posterior]:
        """The faults that agree best, worked out again at the size and at the load currents that agree best."""
        best, kept = posterior.log_weight.max(), np.ones(len(found.fault), dtype=bool)
        again: list[tuple[int, float, float, float, int]] = []
        total = math.fsum(each.prior for each in self.faults)
        for number, fault in enumerate(self.faults):
            rows = np.flatnonzero(found.fault == number)
            top = int(rows[int(np.argmax(posterior.log_weight[rows]))])
            if posterior.log_weight[top] < best - NEAREST:
                continue
            if not fault.searched or posterior.size_spread[top] > 0.6:
                near_by = rows[posterior.log_weight[rows] >= best - NEAREST]
                kept[near_by] = False
                again += [(number, math.log(found.size[row]), float(found.step[row]), float(found.log_prior[row]), row)
                          for row in near_by.tolist()]
                continue
            step, ends = float(found.step[top]), found.ends[top]
            closer = float(np.clip(np.log(found.size[top]) + np.clip(step * posterior.size_shift[top], -1.0, 1.0),
                                   *ends))
            width = float(np.clip(6.0 * step * posterior.size_spread[top], 0.01, 0.36))
            kept[rows] = False
            density = fault.prior / total / (ends[1] - ends[0]) * math.sqrt(2.0 * math.pi) * width
            again.append((number, closer, width, math.log(density), top))
        numbers, origin = (np.array([each[at] for each in again], dtype=np.int64) for at in (0, 4))
        log, widths, prior = (np.array([each[at] for each in again], dtype=float) for at in (1, 2, 3))
        theta = np.zeros((len(again), len(self.moves.of_load)))
        theta[:, self.limited] = np.clip(posterior.unknowns[origin][:, self.limited], -1.0 / SPREAD, 1.0 / SPREAD)
        mean, slopes, own = self._solve(numbers, np.exp(log), theta)
        nudged, *_ = self._solve(numbers, np.exp(log + NUDGE), theta, sloped=False)
        of_size = (nudged - mean) / NUDGE * widths[:, None]
        # The slopes hold where the loads are; what is known beforehand of a load is known of its planned current.
        mean = mean - np.einsum("cqp,cp->cq", slopes, theta)
        joined = found.some(kept).joined(Hypotheses(
            numbers, np.exp(log), prior, mean, np.concatenate([slopes, of_size[..., None]], axis=2), own, widths,
            self._ends(numbers)))
        return joined, self._judged(joined, read, values, error)

    def _judged(self, found: Hypotheses, read: Ints, values: Floats, error: Floats) -> Posterior:
        return judged(found, read, values, error, self.limited, 1.0 / SPREAD)

    def _solve(self, fault: Ints, size: Floats, theta: Floats | None = None, sloped: bool = True
               ) -> tuple[Floats, Floats, Floats]:
        """Means, slopes and own variances of all readings (C, Q …), with the unknowns moved by so many of their
        standard deviations (C, P); slopes of 0 where they are not asked for."""
        cases = Cases.healthy(self.model, len(fault))
        for number, (which, each) in enumerate(zip(fault.tolist(), size.tolist(), strict=True)):
            self.faults[which].put(cases, number, each)
        if theta is not None:
            cases.factor *= 1.0 + self.moves.factor @ theta.T
        wet = [each for each in self.quantities if each is not None]
        mean = np.zeros((len(fault), len(self.quantities)))
        slopes = np.zeros((*mean.shape, len(self.moves.of_load)))
        own = np.zeros(mean.shape)
        if wet and len(self.settings.rows):
            shown, rising = solved(self.model, self.settings, cases, self.moves if sloped else self.moves.none, wet)
            mean[:, self.wet] = shown
            if sloped:
                slopes[:, self.wet] = rising
            own[:, self.wet] = MODEL_V**2 + (MODEL_SHARE * mean[:, self.wet])**2
        for number, (point, condition) in enumerate(self.points):
            if condition == "alone" and point.what == "current" and point.kind != "circuit":
                own[:, number] += OTHERS_A**2
        cut_off = np.array([each is not None for each in cases.open_at], dtype=bool)
        own[np.ix_(cut_off, np.array(self.wet, dtype=np.int64))] += FLOATING_V**2
        for unknown, load in enumerate(self.moves.of_load):
            if load:
                mine = [which for which, each in enumerate(self.faults) if each.place == load]
                slopes[np.isin(fault, mine), :, unknown] = 0.0
        whole = self.assessment.plan.circuit[self.circuit]
        live_v = float(self.settings.source.open_circuit_v[0])
        for number, (point, _) in enumerate(self.points):
            for which in np.unique(fault).tolist():
                each = self.faults[which]
                if self.quantities[number] is not None and point.address not in each.shown:
                    continue
                rows = np.flatnonzero(fault == which)
                mean[rows, number], own[rows, number] = shown_outside(self.assessment, whole, point, each, size[rows],
                                                                      live_v)
                slopes[rows, number] = 0.0
        return mean, slopes, own

    # --- answers -----------------------------------------------------------------------------------------------

    def _suspects(self, found: Hypotheses, posterior: Posterior, taken: Sequence[Taken]) -> tuple[Suspect, ...]:
        weight = posterior.weight
        first = int(np.flatnonzero(found.fault == 0)[0])
        spread = np.sqrt((found.slopes[first]**2).sum(axis=1) + found.own[first])
        suspects = []
        for number, fault in enumerate(self.faults):
            rows = np.flatnonzero(found.fault == number)
            top = int(rows[int(np.argmax(posterior.log_weight[rows]))])
            size = None
            if fault.searched:
                size = math.exp(float(np.clip(math.log(found.size[top]) + found.step[top] * posterior.size_shift[top],
                                              *found.ends[top])))
            lines = tuple(Evidence(each.point, each.condition, each.value, plain(each.point, found.mean[first, at]),
                                   float(spread[at]), plain(each.point, posterior.mean[top, at]))
                          for each in taken for at in [self.place[each.point.address, each.condition]])
            suspects.append(Suspect(fault, float(weight[rows].sum()), size, lines))
        return tuple(sorted(suspects, key=lambda each: -each.weight))

    def _next(self, found: Hypotheses, posterior: Posterior, read: Ints, suspects: Sequence[Suspect]
              ) -> NextReading | None:
        error = np.empty(posterior.mean.shape)
        for number, (point, _) in enumerate(self.points):
            error[:, number] = [meter_error(point, plain(point, value)) for value in posterior.mean[:, number]]
        bits = information(found, posterior, error)
        bits[read] = 0.0
        effort = np.array([EFFORT.get(point.what, 1.0) * (1.0 if point.kind == "circuit" else 1.2)
                           for point, _ in self.points])
        best = int(np.argmax(bits / np.sqrt(effort)))
        if bits[best] < WORTH_BITS:
            return None
        point, condition = self.points[best]
        weight = posterior.weight
        shows: list[tuple[Fault, float]] = []
        for each in suspects[:4]:
            if shows and each.weight < LEAST_SHOWN:
                break
            rows = np.flatnonzero(found.fault == self.faults.index(each.fault))
            top = int(rows[int(np.argmax(weight[rows]))])
            shows.append((each.fault, plain(point, posterior.mean[top, best])))
        return NextReading(point, condition, float(bits[best]), tuple(shows))
