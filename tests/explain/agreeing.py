"""Whether a working arrives at the engine's figure."""

from __future__ import annotations

import math

from fuseplan.results.address import FigureSpot

EXACT = 1e-9
"""Relative difference that is noise of floating point."""


def agrees(figure: FigureSpot, found: float | str) -> bool:
    """Whether what a working found is the engine's figure."""
    value = figure.value
    if isinstance(value, str) or isinstance(found, str) or value is None:
        return value == found
    return math.isclose(value, found, rel_tol=EXACT, abs_tol=1e-12)
