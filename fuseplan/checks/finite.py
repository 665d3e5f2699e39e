"""The one place where a document's numbers that are none become what is not known."""

from __future__ import annotations

import math
from typing import Any


def finite(value: Any) -> Any:
    """A document of dictionaries, lists and plain values with None for NaN and infinities, which JSON does not know."""
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: finite(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [finite(each) for each in value]
    return value
