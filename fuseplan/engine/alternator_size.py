"""The one size of alternator that is recommended for a plan, wherever one is named."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.engine.alternator import Machine, machine_of, of_currents
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.changes import Change
from fuseplan.engine.power import average_demand, continuous_demand, together_demand
from fuseplan.engine.results import Results
from fuseplan.engine.scenario import weighed
from fuseplan.engine.solve import BOUNDS, solve
from fuseplan.plan.model import Alternator
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.tables import alternators
from fuseplan.trace import cached

STEP_A, LARGEST_A = 5.0, 250.0
"""Rated outputs are recommended in steps of the first, up to the second: what is sold. From memory."""


class HotShortfall(NamedTuple):
    """Why a smaller alternator, whose rated output would do, is not recommended: what it delivers hot and what is drawn
    on average [A] in the condition in which most is missing."""

    rated_a: float
    condition: int
    delivers_a: float
    drawn_a: float


class AlternatorSize(NamedTuple):
    """A larger alternator of the kind fitted: rated output and output at 1500 r/min of the rotor [A]."""

    rated_a: float
    low_a: float
    instead_of: HotShortfall | None = None
    """The smaller one whose rated output would do; None where that sets the size."""

    def changes(self, fitted: Alternator) -> list[Change]:
        """What has to be typed into the plan for it."""
        found = [Change(("alternator", "rated"), amount(writing.rating(self.rated_a), CURRENT)),
                 Change(("alternator", "low_speed"), amount(writing.rating(self.low_a), CURRENT))]
        found += [Change(("alternator", key), None) for key, given in (("label", fitted.label), ("curve", fitted.curve))
                  if given]
        return found


def larger_sizes(fitted: Alternator) -> list[AlternatorSize]:
    """The sizes above the one fitted, the smallest first, each with the same share of its output at low speed; none for
    a dynamo: a larger one still gives nothing at idle, and an alternator in its place is another machine."""
    if fitted.machine == "dynamo":
        return []
    machine = machine_of(fitted)
    share = low_speed_share(fitted)
    first = math.floor(machine.rated_a / STEP_A + 1e-9) + 1
    rated = [number * STEP_A for number in range(first, int(LARGEST_A / STEP_A) + 1)]
    return [AlternatorSize(value, max(1.0, math.floor(share * value))) for value in rated]


def low_speed_share(fitted: Alternator) -> float:
    """Output at 1500 r/min of the rotor over the rated one, both as printed; no more than the whole."""
    machine = machine_of(fitted)
    hot = float(machine.hot_a(alternators.LOW_RPM))
    return min(1.0, hot / float(alternators.hot_factor(alternators.LOW_RPM)) / machine.rated_a)


def recommended_size(results: Results) -> AlternatorSize | None:
    """The smallest size above the one fitted that carries the continuous loads, everything on together and the average
    demand of every running condition, each within its published share.

    The currents are those at the regulator's voltage, as entered; where the fitted machine carries what is entered, if
    only by letting its voltage sag, at the upper bound of their evidence. None where no size sold does, or the fitted
    one is not known.
    """
    fitted, source = results.plan.alternator, results.source
    if fitted is None or not source.alternator_known or not source.running.any():
        return None
    sizes = larger_sizes(fitted)
    if not sizes:
        return None
    as_entered, upper = _asked(results)
    return _first(results, sizes, upper if _carries_as_entered(results) else as_entered)


def _carries_as_entered(results: Results) -> bool:
    """Whether the fitted machine is large enough for the currents as entered, at the voltage that results of them."""
    source, balance, limits = results.source, results.balance, results.limit_set.alternator
    over = (exceeds(balance.demand_a[0], source.available_a)
            | exceeds(balance.continuous_a[0], limits.continuous_share * source.rated_a)
            | exceeds(together_demand(results.solution)[0], limits.peak_share * source.rated_a))
    return not bool((over & source.running).any())


class _Asked(NamedTuple):
    """What the running conditions ask for [A]."""

    rated_a: float
    """Of the rated output."""
    hot_a: Floats
    """Of the hot output, in each running condition."""


def _asked(results: Results) -> list[_Asked]:
    """What is asked for as entered and at the upper bound, with an alternator strong enough to hold its voltage."""
    network, source, limits = results.network, results.source, results.limit_set.alternator
    average = solve(weighed(network), source.strong, results.fuse_ohm, wires=results.solution.wires)
    lasting = continuous_demand(average)[:, source.running] / limits.continuous_share
    together = together_demand(results.strong)[:, source.running] / limits.peak_share
    rated = np.nan_to_num(np.maximum(lasting, together)).max(axis=1)
    gives = np.zeros((BOUNDS, len(network.conditions)))
    demand = np.nan_to_num(average_demand(average, gives)[:, source.running])
    return [_Asked(float(rated[bound]), demand[bound]) for bound in range(BOUNDS)]


def _first(results: Results, sizes: Sequence[AlternatorSize], asked: _Asked) -> AlternatorSize | None:
    running = np.flatnonzero(results.source.running)
    rotor = results.source.rotor_rpm[running]
    rated = [size for size in sizes if at_most(asked.rated_a, size.rated_a)]
    found = next((size for size in rated if not exceeds(asked.hot_a, _hot_a(size, rotor)).any()), None)
    if found is None or found is rated[0]:
        return found
    hot_a = _hot_a(rated[0], rotor)
    worst = int(np.argmax(asked.hot_a - hot_a))
    return found._replace(instead_of=HotShortfall(
        rated[0].rated_a, int(running[worst]), float(hot_a[worst]), float(asked.hot_a[worst])))


def _hot_a(size: AlternatorSize, rotor_rpm: Floats) -> Floats:
    return _machine_sold(size.rated_a, size.low_a).hot_a(rotor_rpm)


@cached(maxsize=64)
def _machine_sold(rated_a: float, low_a: float) -> Machine:
    return of_currents(rated_a, low_a)
