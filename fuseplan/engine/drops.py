"""Voltage lost between the battery post and each load, on the way out and on the way back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.consumers import LOAD
from fuseplan.engine.network import Network
from fuseplan.engine.solve import CORNERS, Solution
from fuseplan.trace import together
from fuseplan.trace.vocabulary import KIRCHHOFF_VOLTAGE

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Drops:
    """Per consumer, in the condition where the whole drop is worst; NaN where it is never on. Axes (2, L)."""

    total_v: Floats
    supply_v: Floats
    return_v: Floats
    condition: Ints
    choice: Ints
    """Which of the choices of loads never on together it is worst in: a place in `Results.choices`."""
    load_low_v: Floats
    """Lowest voltage across the load in any condition it is on in (2, L)."""
    worst_load: Ints
    """For each circuit, the consumer with the largest drop as entered; -1 for none."""


def drops_of(network: Network, solutions: Sequence[Solution], on: Sequence[Flags]) -> Drops:
    """Drops of all loads, over all conditions and all choices of which load of each `either` group is on.

    Parameters
    ----------
    network : Network
    solutions : sequence of Solution
        One for each choice.
    on : sequence of array (C, L)
        What is on in each of them.
    """
    consumers = network.consumers
    conditions, count = len(network.conditions), consumers.count
    shape = (CORNERS, conditions, count)
    supply = np.concatenate([each.lost_v(False)[:, consumers.supply_node].reshape(shape) for each in solutions], axis=1)
    back = np.concatenate([each.lost_v(True)[:, consumers.return_node].reshape(shape) for each in solutions], axis=1)
    root = np.concatenate([each.root_v.reshape(CORNERS, conditions) for each in solutions], axis=1)
    judged = (np.concatenate(on) & (consumers.kind == LOAD))[None]
    both = together("lost on both sides", [("supply", supply), ("return", back)], KIRCHHOFF_VOLTAGE)
    total = np.where(judged, both, -np.inf)
    row = total.argmax(axis=1)
    corner, number = np.indices(row.shape)
    never = ~judged.any(axis=1)

    def pick(values: Floats) -> Floats:
        return np.where(never, np.nan, values[corner, row, number])

    low = np.where(judged, root[:, :, None] - supply - back, np.inf).min(axis=1, initial=np.inf)
    worst = np.full(len(network.circuit_ids), -1, dtype=np.int64)
    picked = pick(total)
    ordered = np.flatnonzero(~np.isnan(picked[0]))
    ordered = ordered[np.argsort(picked[0, ordered], kind="stable")]
    worst[consumers.circuit[ordered]] = ordered
    return Drops(total_v=picked, supply_v=pick(supply), return_v=pick(back), condition=row % conditions,
                 choice=row // conditions,
                 load_low_v=np.where(np.isinf(low), np.nan, low), worst_load=worst)
