"""Distinct numbers, for all rooms that need them at the start of the program."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray


def distinct(values: NDArray[Any]) -> NDArray[Any]:
    """The distinct ones of some numbers (n,) in ascending order; none is NaN. `np.unique` gives the same, and imports
    `numpy.ma` for it, which every start of the program would wait for."""
    found = np.sort(values)
    if not found.size:
        return found
    return np.asarray(found[np.concatenate([[True], found[1:] != found[:-1]])])
