"""Voltage lost between the battery post and each load, on the way out and on the way back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.consumers import LOAD
from fuseplan.engine.network import Network
from fuseplan.engine.solve import Solved
from fuseplan.trace import together
from fuseplan.trace.vocabulary import KIRCHHOFF_VOLTAGE

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Drops:
    """Per consumer, in the condition where the whole drop is worst; NaN where it is never on. Axes (cases, L)."""

    total_v: Floats
    supply_v: Floats
    return_v: Floats
    condition: Ints
    choice: Ints
    """Which of the choices of loads never on together it is worst in: a place in `Results.choices`."""
    worst_load: Ints
    """For each circuit, the consumer with the largest drop as entered; -1 for none."""


def drops_of(network: Network, solutions: Sequence[Solved], on: Sequence[Flags]) -> Drops:
    """Drops of all loads, over all conditions and all choices of which load of each `either` group is on.

    Parameters
    ----------
    network : Network
    solutions : sequence of Solved
        One for each choice.
    on : sequence of array (C, L)
        What is on in each of them.
    """
    consumers, cases = network.consumers, solutions[0].cases
    loads = consumers.kind == LOAD
    case, number = np.indices((cases.count, consumers.count))
    worst: tuple[Any, ...] = ()
    for choice, (solution, there) in enumerate(zip(solutions, on, strict=True)):
        supply, back = (cases.parted(solution.lost_v(returns).T.take(nodes, axis=0), 1) for returns, nodes in (
            (False, consumers.supply_node), (True, consumers.return_node)))
        judged = (there & loads).T[:, None]
        both = together("lost on both sides", [("supply", supply), ("return", back)], KIRCHHOFF_VOLTAGE)
        total = np.where(judged, both, -np.inf)
        at = np.asarray(total.argmax(axis=2)).T
        found: tuple[Any, ...] = (*(each[number, case, at] for each in (total, supply, back)), at,
                                  np.full(at.shape, choice))
        if worst:
            # A drop that is not known is worse than any.
            worse = ~(found[0] <= worst[0]) & ~np.isnan(worst[0])
            found = tuple(np.where(worse, new, old) for new, old in zip(found, worst, strict=True))
        worst = found
    total, supply, back, condition, choices = worst
    never = ~(np.logical_or.reduce(on).any(axis=0) & loads)
    total, supply, back = (np.where(never, np.nan, each) for each in (total, supply, back))
    largest = np.full(len(network.circuit_ids), -1, dtype=np.int64)
    ordered = np.flatnonzero(~np.isnan(total[0]))
    ordered = ordered[np.argsort(total[0, ordered], kind="stable")]
    largest[consumers.circuit[ordered]] = ordered
    return Drops(total_v=total, supply_v=supply, return_v=back, condition=condition, choice=choices,
                 worst_load=largest)
