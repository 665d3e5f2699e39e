"""Processor time of a piece of work."""

from __future__ import annotations

import time
from collections.abc import Callable


def least_ms(work: Callable[..., object], runs: int, ready: Callable[[], tuple[object, ...]] = tuple) -> float:
    """Least processor time of a few runs in ms; what `ready` makes before each is not counted."""
    taken = []
    for _ in range(runs):
        inputs = ready()
        begun = time.process_time()
        work(*inputs)
        taken.append(time.process_time() - begun)
    return min(taken) * 1e3
