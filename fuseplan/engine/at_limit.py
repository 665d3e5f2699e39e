"""When a figure is past its limit: the one comparison that checks, samples, headroom, ranges and proposals make."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Flags

ROUNDING = 1e-9
"""A figure this close to its limit, relatively, is at the limit and passes: 10.5 A / 0.7 is 15 A."""


def at_most(figure: float, limit: float) -> bool:
    """Whether a figure is known not to exceed its limit."""
    return bool(figure <= limit * (1.0 + ROUNDING))


def within(figure: ArrayLike, limit: ArrayLike) -> Flags:
    """Where a figure is known to be no more than its limit (shapes broadcast); never where one of them is NaN."""
    return np.asarray(np.asarray(figure) <= np.asarray(limit) * (1.0 + ROUNDING))


def reaches(figure: ArrayLike, limit: ArrayLike) -> Flags:
    """Where a figure is known to be no less than its limit (shapes broadcast); never where one of them is NaN."""
    return np.asarray(np.asarray(figure) >= np.asarray(limit) * (1.0 - ROUNDING))


def exceeds(figure: ArrayLike, limit: ArrayLike) -> Flags:
    """Where a figure is more than its limit (shapes broadcast); never where one of them is NaN."""
    return np.asarray(np.asarray(figure) > np.asarray(limit) * (1.0 + ROUNDING))


def falls_short(figure: ArrayLike, limit: ArrayLike) -> Flags:
    """Where a figure is less than its limit (shapes broadcast); never where one of them is NaN."""
    return np.asarray(np.asarray(figure) < np.asarray(limit) * (1.0 - ROUNDING))
