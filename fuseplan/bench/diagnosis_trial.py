"""One circuit put to the trial: every fault in the solved network, and how well it agrees with the readings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.bench.diagnosis_belief import Hypotheses, Posterior, judged
from fuseplan.bench.diagnosis_fault import healthy
from fuseplan.bench.diagnosis_faults import faults_of
from fuseplan.bench.diagnosis_meters import compared, is_outside, is_rest, meter_error, shown_outside
from fuseplan.bench.diagnosis_points import SUPPLY
from fuseplan.bench.diagnosis_records import Taken
from fuseplan.bench.diagnosis_solve import Cases, solved
from fuseplan.bench.diagnosis_unknowns import SPREAD, Settings
from fuseplan.bench.diagnosis_wirings import Wiring, neighbours, tells_of, wiring_of
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import Point, points
from fuseplan.checks.assessment import Assessment

MODEL_V, MODEL_SHARE = 3e-4, 1e-3
"""What the network itself may be off by in a voltage or current."""
FLOATING_V = 0.1
"""What is cut off shows anything a few other loads leave on it."""
OTHERS_A = 0.3
"""What relays, control units and lamps may draw besides a circuit that is switched on by itself."""
ROUNDS, FEW = 2, 3
"""Rounds of searching closer, and how many readings it takes to be worth it."""
NUDGE = 0.01
"""Change of the logarithm of a size by which its slopes are found."""
KERNEL = 0.6
"""Standard deviation of the logarithm of a size around each one looked at, in steps between them."""
NEAREST = 9.0
"""A fault whose best size agrees worse than the best of all by more than this (natural log) is not searched closer."""


def usual_conditions(assessment: Assessment, circuit: str) -> list[str]:
    """The condition a circuit is read in: on by itself, else, where it is on only then, while cranking; battery and
    alternator while charging and while cranking."""
    if circuit == SUPPLY:
        states = [each.state for each in assessment.results.network.conditions]
        return [assessment.results.network.condition_ids[states.index(state)] for state in ("running", "crank")
                if state in states]
    bench = bench_model(assessment)
    if bench.row("alone", circuit) is not None:
        return ["alone"]
    network = assessment.results.network
    own = network.consumers.circuit == network.circuit_number[circuit]
    return [name for name, on in zip(network.condition_ids, network.consumers.on, strict=True) if (on & own).any()][:1]


class Trial:
    """The faults of a circuit, and its readings."""

    def __init__(self, assessment: Assessment, circuit: str, readings: Sequence[Taken]) -> None:
        self.assessment, self.circuit = assessment, circuit
        bench = bench_model(assessment)
        self.others = [] if circuit == SUPPLY else [
            each for each in neighbours(assessment.plan, circuit) if each in bench.static]
        """Circuits whose wires may be swapped or joined with this one's."""
        network, source = bench.chosen
        latest = {(each.point.address, each.condition): each for each in readings
                  if tells_of(assessment.plan, circuit, each.point)}
        asked = list(dict.fromkeys([*usual_conditions(assessment, circuit), *(condition for _, condition in latest)]))
        rows = {name: row for name in asked if (row := bench.row(name, circuit)) is not None}
        self.settings = Settings(network, source, np.array(list(rows.values()), dtype=np.int64))
        self.setting = {name: number for number, name in enumerate(rows)}
        used = np.array(network.consumers.on[self.settings.rows].any(axis=0), dtype=bool)
        for load in network.load_consumers.tolist():
            used[load] |= network.consumers.owner[load] == ("circuit", circuit)
        self.points: list[tuple[Point, str]] = []
        self.at: list[int | None] = []
        """Setting in which the network tells each of the points; None where it does not."""
        self.latest, self.used = latest, used
        self._collect()
        self.planned = wiring_of(assessment, circuit, self.settings, self._read, used)
        self.wirings: dict[tuple[str | None, bool], Wiring] = {}
        """As planned, and by what is wrong with it."""
        self._keep_known()
        self._prepare()

    @property
    def _read(self) -> list[tuple[Point, int | None]]:
        return [(point, setting) for (point, _), setting in zip(self.points, self.at, strict=True)]

    def _collect(self) -> None:
        """Everything that can be read, what was read first."""
        ways = [(each.point, each.condition) for each in self.latest.values()]
        for point in points(self.assessment).values():
            if tells_of(self.assessment.plan, self.circuit, point):
                ways += [(point, name) for name in (["unpowered"] if point.unit == "ohm" else [*self.setting, *(
                    ["rested"] if is_rest(point, "rested") else [])])]
        for point, condition in dict.fromkeys(ways):
            if is_outside(point, condition) or condition in self.setting:
                self.points.append((point, condition))
                self.at.append(None if is_outside(point, condition) else self.setting[condition])

    def _keep_known(self) -> None:
        """Leave out what the network does not tell after all."""
        known = [setting is None or quantity is not None
                 for setting, quantity in zip(self.at, self.planned.quantities, strict=True)]
        self.points = [each for each, keep in zip(self.points, known, strict=True) if keep]
        self.at = [each for each, keep in zip(self.at, known, strict=True) if keep]
        self.planned = replace(self.planned, quantities=tuple(
            each for each, keep in zip(self.planned.quantities, known, strict=True) if keep))
        self.wirings[None, False] = self.planned
        self.place = {(point.address, condition): number for number, (point, condition) in enumerate(self.points)}

    def _prepare(self) -> None:
        """The faults, the wirings they ask for, the readings as they are compared."""
        self.faults = [healthy(), *faults_of(self.planned.model, self.circuit, self.others)]
        for fault in self.faults:
            key = (fault.swapped, fault.refed)
            if key not in self.wirings:
                self.wirings[key] = wiring_of(self.assessment, self.circuit, self.settings, self._read, self.used, *key)
        self.moves = self.planned.moves
        self.unknowns = len(self.moves.of_load) + max(
            (len(each.moves.of_load) for key, each in self.wirings.items() if key != (None, False)), default=0)
        self.taken = [each for key, each in self.latest.items() if key in self.place]
        self.unused = tuple(each for key, each in self.latest.items() if key not in self.place)
        self.read = np.array([self.place[each.point.address, each.condition] for each in self.taken], dtype=np.int64)
        self.values = np.array([compared(each.point, each.value) for each in self.taken])
        self.error = np.array([meter_error(each.point, each.value, each.instrument) for each in self.taken])

        known, first = self.moves.of_load, len(self.moves.of_load)
        own = [number for number, each in enumerate(known) if each]
        others_too = {first + number for key, wiring in self.wirings.items() if key != (None, False)
                      for number, each in enumerate(wiring.moves.of_load) if each}
        self.own_loads: Ints = np.array(own, dtype=np.int64)
        """The unknowns that are currents of this circuit's loads; with them those of another wiring."""
        self.limited: Ints = np.array([*own, *sorted(others_too)], dtype=np.int64)

    def hypotheses(self) -> tuple[Hypotheses, Posterior]:
        """All faults, those that agree best at the size that agrees best, in the light of the readings."""
        read, values, error = self.read, self.values, self.error
        found = self._all_sizes()
        posterior = self._judged(found, read, values, error)
        for _ in range(ROUNDS if len(read) >= FEW else 0):
            found, posterior = self._closer(found, posterior, read, values, error)
        return found, posterior

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
                of_size[rows] = _rise(mean[rows], log) * step[rows, None]
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
        theta = np.zeros((len(again), self.unknowns))
        theta[:, self.own_loads] = np.clip(posterior.unknowns[origin][:, self.own_loads], -1.0 / SPREAD, 1.0 / SPREAD)
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
        mean = np.zeros((len(fault), len(self.points)))
        slopes = np.zeros((*mean.shape, self.unknowns))
        own = np.zeros(mean.shape)
        for key, wiring in self.wirings.items():
            rows = np.array([number for number, which in enumerate(fault.tolist())
                             if (self.faults[which].swapped, self.faults[which].refed) == key], dtype=np.int64)
            if rows.size and len(self.settings.rows):
                self._solve_wired(wiring, key == (None, False), rows, fault, size, theta, sloped, mean, slopes, own)
        for number, (point, condition) in enumerate(self.points):
            if condition == "alone" and point.what == "current" and point.kind != "circuit":
                own[:, number] += OTHERS_A**2
        for unknown, load in enumerate(self.moves.of_load):
            if load:
                mine = [which for which, each in enumerate(self.faults) if each.place == load]
                slopes[np.isin(fault, mine), :, unknown] = 0.0
        whole = self.assessment.plan.circuit.get(self.circuit)
        live_v = float(self.settings.source.open_circuit_v[0])
        for number, (point, _) in enumerate(self.points):
            for which in np.unique(fault).tolist():
                each = self.faults[which]
                if self.at[number] is not None and point.address not in each.shown:
                    continue
                rows = np.flatnonzero(fault == which)
                mean[rows, number], own[rows, number] = shown_outside(self.assessment, whole, point, each, size[rows],
                                                                      live_v)
                slopes[rows, number] = 0.0
        return mean, slopes, own

    def _solve_wired(self, wiring: Wiring, planned: bool, rows: Ints, fault: Ints, size: Floats, theta: Floats | None,
                     sloped: bool, mean: Floats, slopes: Floats, own: Floats) -> None:
        """Put what the network tells of the faults of one wiring into means, slopes and variances."""
        cases = Cases.healthy(wiring.model, len(rows))
        for number, row in enumerate(rows.tolist()):
            self.faults[int(fault[row])].put(cases, number, float(size[row]))
        if theta is not None and planned:
            cases.factor *= 1.0 + self.moves.factor @ theta[rows, :len(self.moves.of_load)].T
        told = np.array([number for number, each in enumerate(wiring.quantities) if each is not None], dtype=np.int64)
        wet = [each for each in wiring.quantities if each is not None]
        if not wet:
            return
        shown, rising = solved(wiring.model, wiring.settings, cases, wiring.moves if sloped else wiring.moves.none, wet)
        at = np.ix_(rows, told)
        mean[at] = shown
        if sloped:
            # The unknowns of another wiring stand behind those of the planned one: they are not the same things.
            first = 0 if planned else len(self.moves.of_load)
            for unknown in range(rising.shape[2]):
                slopes[..., first + unknown][at] = rising[..., unknown]
        own[at] = MODEL_V**2 + (MODEL_SHARE * shown)**2
        cut_off = np.array([each is not None for each in cases.open_at], dtype=bool)
        # What floats has any small voltage, but no current.
        floating = told[[each.amps_of is None for each in wet]]
        own[np.ix_(rows[cut_off], floating)] += FLOATING_V**2


def _rise(mean: Floats, log: Floats) -> Floats:
    """How readings (G, Q) rise with the logarithm of a size (G,): of what has a state alone."""
    found = np.zeros(mean.shape)
    solved = np.isfinite(mean).all(axis=1)
    if solved.sum() > 1:
        found[solved] = np.gradient(mean[solved], log[solved], axis=0)
    return found
