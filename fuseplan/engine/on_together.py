"""Which loads count together over each interval where many circuits share a branch, whatever each of them draws."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Ints
from fuseplan.engine.consumers import ALTERNATOR
from fuseplan.engine.intervals import LONGER_THAN_S

if TYPE_CHECKING:
    from fuseplan.engine.network import Network


class OnTogether(NamedTuple):
    """Sets of loads that are on together. Over several intervals the same ones often count: each set stands once."""

    condition: Ints
    """In which each set is on (n,)."""
    drawing: Flags
    """The loads of each (n, L)."""
    by_choice: tuple[tuple[tuple[Ints, Ints], ...], ...]
    """For each choice of the `either` groups, the usual one first, by interval: the conditions that last longer, and in
    which something else is on than with the usual choice, or all for that one; and the set that is on in each."""


def on_together(network: Network) -> OnTogether:
    """The sets of a network."""
    consumers = network.consumers
    on = np.array([consumers.on, *consumers.instead])
    differs = (on != on[0]).any(axis=2)
    differs[0] = True
    choice, interval, condition = np.nonzero(differs[:, None] & (network.duration_s > np.array(LONGER_THAN_S)[:, None]))
    drawing = on[choice, condition] & (consumers.kind != ALTERNATOR) & network.counted[interval]
    alike: dict[tuple[int, bytes], int] = {}
    first = [alike.setdefault((where, each.tobytes()), number)
             for number, (where, each) in enumerate(zip(condition.tolist(), drawing, strict=True))]
    numbers, place = np.unique(np.array(first, dtype=np.int64), return_inverse=True)

    def of(number: int, each: int) -> tuple[Ints, Ints]:
        rows = np.flatnonzero((choice == number) & (interval == each))
        return condition[rows], place[rows]

    return OnTogether(condition[numbers], drawing[numbers], tuple(
        tuple(of(number, each) for each in range(len(LONGER_THAN_S))) for number in range(len(on))))
