"""What a network is solved for: the currents at the two ends of what is known of them, or many samples of them."""

from __future__ import annotations

from typing import Any

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.records import dataclass


@dataclass(frozen=True)
class Cases:
    """Sets of currents. A solution has a row for each condition of each case."""

    reference_a: Floats
    """Reference current of every consumer (cases, L) [A]."""
    conditions: int
    bounds: bool
    """The cases are two, the currents as entered and at their upper bounds: nothing asked at the upper bounds is less
    than as entered. Their rows lie case by case, those of samples condition by condition."""

    @property
    def count(self) -> int:
        """Number of cases."""
        return len(self.reference_a)

    def rows(self, conditions: Ints) -> Ints:
        """Numbers of the rows of some conditions, in the order of all."""
        cases = np.arange(self.count)
        if self.bounds:
            return np.add.outer(cases * self.conditions, conditions).reshape(-1)
        return np.add.outer(conditions * self.count, cases).reshape(-1)

    def parted(self, values: Any, axis: int = 0) -> Any:
        """Values with their axis of rows parted in two: (…, cases, conditions, …)."""
        before, after = values.shape[:axis], values.shape[axis + 1:]
        if self.bounds:
            return values.reshape(*before, self.count, self.conditions, *after)
        return values.reshape(*before, self.conditions, self.count, *after).swapaxes(axis, axis + 1)
