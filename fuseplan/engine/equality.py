"""Whether two values are the same in every cell."""

from __future__ import annotations

from typing import Any

import numpy as np


def equal(first: Any, second: Any) -> bool:
    """Whether two values of a network are the same in every cell: what is not known is the same as itself."""
    if first is second:
        return True
    if isinstance(first, np.ndarray):
        return isinstance(second, np.ndarray) and first.dtype == second.dtype and first.shape == second.shape \
            and first.tobytes() == second.tobytes()
    if isinstance(first, list | tuple):
        return type(first) is type(second) and len(first) == len(second) and all(map(equal, first, second))
    if isinstance(first, dict):
        return isinstance(second, dict) and list(first) == list(second) and all(
            equal(value, second[key]) for key, value in first.items())
    if hasattr(first, "__dataclass_fields__"):
        return type(first) is type(second) and all(
            equal(getattr(first, name), getattr(second, name)) for name in first.__dataclass_fields__)
    if isinstance(first, float) and first != first:
        return isinstance(second, float) and second != second
    return bool(first == second)
