"""The three intervals demands are taken over, and in which conditions and for which uses a load counts in each.

They are those of an aircraft load analysis: 5 s, 5 min and continuous.
"""

from __future__ import annotations

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.consumers import INTERMITTENT, MOMENTARY

INTERVALS = ("5s", "5min", "continuous")
INTERVAL_WORDS = ("5 s", "5 min", "continuous")
FIVE_S, FIVE_MIN, CONTINUOUS = range(3)
LONGER_THAN_S = (0.0, 5.0, 300.0)
"""A condition counts for an interval when it lasts longer than this."""

LONGEST_MOMENTARY_S = 5.0
"""Longest time a momentary load is on (aircraft load analysis counts it over 5 s)."""
CRANKING_S = 15.0
"""Longest time a starter is to turn at a time: a car maker's workshop manual, second-hand."""


class Allowed:
    """Conditions in which a consumer may be on, for each interval.

    Where it is on in no condition that long, those of the next shorter interval; where in none at all, every
    condition. Many consumers are alike in this, so it is kept once for all that are: `patterns` is (3, C, U), `of` the
    place of each consumer's pattern (L,).
    """

    def __init__(self, possible: Flags, duration_s: Floats) -> None:
        columns, self.of = distinct_columns(possible)
        longer: Flags = np.greater.outer(duration_s, LONGER_THAN_S).T
        self.patterns: Flags = columns & longer[:, :, None]
        shorter = np.where(columns.any(axis=0), columns, True)
        for each in self.patterns:
            shorter = each[:] = np.where(each.any(axis=0), each, shorter)


def distinct_columns(flags: Flags) -> tuple[Flags, Ints]:
    """The distinct columns of a table of flags (C, L), as (C, U), and which of them each column is (L,)."""
    packed = np.packbits(flags, axis=0)
    whole = np.zeros((flags.shape[1], -(-max(len(packed), 1) // 8) * 8), dtype=np.uint8)
    whole[:, :len(packed)] = packed.T
    words = whole.view(np.uint64)
    # One word holds 64 conditions; a plain sort of numbers is many times quicker than one of rows.
    _, first, which = np.unique(words[:, 0], return_index=True, return_inverse=True) if words.shape[1] == 1 else \
        np.unique(words, axis=0, return_index=True, return_inverse=True)
    return flags[:, first], which.reshape(-1)


def counted(use: Ints) -> Flags:
    """Consumers whose use counts in each interval (3, L)."""
    return np.stack([np.ones(len(use), dtype=bool), use < MOMENTARY, use < INTERMITTENT])
