"""The solved network against scipy, loads of every kind included.

Reference: the nodal equations as one sparse matrix of conductances with the load laws beside it, solved by Newton's
method on scipy.sparse.linalg.spsolve; no trees, no sweeps, and all branches at once.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from fuseplan.engine.computing import compute
from fuseplan.limits import limit_set
from fuseplan.plan.model import Plan
from fuseplan.planfile.read import read_plan
from tests.judges.netlist import NEGATIVE, ROOT, Builder, Condition
from tests.judges.test_ngspice import WITHIN_V, differences
from tests.lazily import Lazily
from tests.plans import plan_of, random_plan

linalg = Lazily("scipy.sparse.linalg")
sparse = Lazily("scipy.sparse")

EXAMPLES = Path(__file__).parents[2] / "examples"
Floats = NDArray[np.float64]


def solve(condition: Condition) -> dict[str, float]:
    """Node voltages; the alternator's way of working is tried in turn, from the highest voltage down: it holds its
    voltage, alone or, where that leaves the post below the battery's own voltage, with the battery; it carries the
    loads alone below it; the battery gives the rest."""
    if condition.alternator is not None and condition.available_a > 0:
        answer, given_a = _alone_or_helped(condition)
        if given_a <= condition.available_a:
            return answer
        alone = _Nodes(condition, regulated=False, battery=False).floating()
        if alone is not None:
            return alone
    return _Nodes(condition, regulated=False, battery=True).solve()[0]


def _alone_or_helped(condition: Condition) -> tuple[dict[str, float], float]:
    try:
        answer, given_a = _Nodes(condition, regulated=True, battery=False).solve()
        if answer[ROOT] >= condition.open_v:
            return answer, given_a
    except (Unsettled, RuntimeError):  # What the way to the battery cannot bring has no solution without the battery.
        pass
    return _Nodes(condition, regulated=True, battery=True).solve()


class Unsettled(AssertionError):
    """Newton's method found no solution."""


class _Nodes:
    """Nodal equations of one condition; the unknowns are the node voltages and, regulated, the machine's current."""

    def __init__(self, condition: Condition, regulated: bool, battery: bool) -> None:
        self.condition, self.regulated, self.battery = condition, regulated, battery
        self.names = sorted({node for a, b, *_ in (*condition.resistors, *condition.loads) for node in (a, b)}
                            | {ROOT, NEGATIVE, *(condition.alternator or ())})
        self.place = {name: index for index, name in enumerate(self.names)}
        self.count = len(self.names)
        entries: list[tuple[int, int, float]] = []
        for a, b, ohm in condition.resistors:
            entries += self._pair(a, b, 1.0 / ohm)
        if battery:
            entries.append((self.place[ROOT], self.place[ROOT], 1.0 / condition.inner_ohm))
        if regulated and condition.alternator is not None:
            at, back = (self.place[each] for each in condition.alternator)
            sensed = self.place[condition.sensed]
            entries += [(at, self.count, -1.0), (back, self.count, 1.0),
                        (self.count, sensed, 1.0), (self.count, back, -1.0)]
        # The negative post is at 0 V: its own equation gets a conductance to earth that carries nothing.
        entries.append((self.place[NEGATIVE], self.place[NEGATIVE], 1e9))
        self.linear = entries
        self.loads = condition.loads

    def _pair(self, a: str, b: str, siemens: float) -> list[tuple[int, int, float]]:
        i, j = self.place[a], self.place[b]
        return [(i, i, siemens), (j, j, siemens), (i, j, -siemens), (j, i, -siemens)]

    def _matrix(self, entries: list[tuple[int, int, float]]) -> sparse.csc_matrix:
        rows, columns, values = zip(*entries, strict=True)
        size = self.count + self.regulated
        return sparse.coo_matrix((values, (rows, columns)), shape=(size, size)).tocsc()

    def floating(self) -> dict[str, float] | None:
        """The state in which the machine at its limit carries the loads alone, approached from its regulated one; None
        where there is none between that and the battery's voltage."""
        try:
            answer, _ = self.solve(self.condition.regulator_v)
        except (Unsettled, RuntimeError):
            return None
        assert self.condition.alternator is not None
        _, minus = self.condition.alternator
        above = answer[ROOT] > self.condition.open_v - 1e-9
        return answer if above and answer[self.condition.sensed] - answer[minus] <= \
            self.condition.regulator_v else None

    def solve(self, start_v: float | None = None) -> tuple[dict[str, float], float]:
        condition = self.condition
        right = np.zeros(self.count + self.regulated)
        if self.battery:
            right[self.place[ROOT]] += condition.open_v / condition.inner_ohm
        if condition.alternator is not None and condition.available_a > 0:
            at, back = (self.place[each] for each in condition.alternator)
            if self.regulated:
                right[self.count] = condition.regulator_v
            else:
                right[at] += condition.available_a
                right[back] -= condition.available_a
        unknown = np.zeros(self.count + self.regulated)
        above = [self.place[name] for name in self.names if not name.startswith(("0", "earth", "return", "back"))]
        unknown[above] = condition.open_v if start_v is None else start_v
        for _ in range(100):
            slopes, constant = list(self.linear), right.copy()
            for a, b, amps, volts, power in self.loads:
                across = max(unknown[self.place[a]] - unknown[self.place[b]], 0.01)
                current, slope = _law(across, amps, volts, power)
                slopes += self._pair(a, b, slope)
                constant[self.place[a]] -= current - slope * across
                constant[self.place[b]] += current - slope * across
            following: Floats = linalg.spsolve(self._matrix(slopes), constant)
            moved = float(np.abs(following[: self.count] - unknown[: self.count]).max())
            unknown = following
            if moved < 1e-9:
                break
        else:
            raise Unsettled(f"{condition.name}: the judge did not settle")
        voltages = dict(zip(self.names, unknown[: self.count].tolist(), strict=True))
        return voltages, float(unknown[self.count]) if self.regulated else 0.0


def _law(across_v: float, amps: float, volts: float, power: float) -> tuple[float, float]:
    """Current of a load and its slope over voltage."""
    ratio = across_v / volts
    if power < 0 and ratio <= 0.5:
        return amps * 2.0, 0.0
    current = amps * ratio**power
    return current, current * power / across_v


def sensed_at(plan: Plan, feed: str) -> Plan:
    """The plan with a regulator that senses the battery's post, or a feed."""
    assert plan.alternator is not None
    changed = {"sense": "battery", "sense_feed": feed or None}
    return plan.model_copy(update={"alternator": plan.alternator.model_copy(update=changed)})


def _plans() -> list[tuple[str, Plan]]:
    shipped = [(path.stem, read_plan(path)) for path in sorted(EXAMPLES.glob("*.toml"))]
    sensing = [(f"{name}, sensed at {feed or 'the battery'}", sensed_at(plan, feed))
               for name, plan in shipped if plan.alternator for feed in ("", plan.alternator.feed or "")]
    return shipped + sensing + [(f"random {seed}", plan_of(random_plan(seed))) for seed in range(100, 112)]


@pytest.mark.one_in(5)
@pytest.mark.parametrize(("name", "plan"), _plans(), ids=lambda value: value if isinstance(value, str) else "")
def test_node_voltages(name: str, plan: Plan) -> None:
    results = compute(plan, limit_set("road"))
    conditions = Builder(results).conditions()
    found = differences(results, conditions, [solve(condition) for condition in conditions])
    assert len(found) > 50, name
    worst = max(found)
    assert worst[0] < WITHIN_V, worst
