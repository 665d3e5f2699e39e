"""How many decimals a figure is written with, in which unit, and to which side it is rounded."""

from __future__ import annotations

import math
from typing import Literal

Side = Literal["burden", "limit", "balance", "stated"]

FUZZ = 1e-9
"""Noise in the last digits of a float, relatively: no remainder to be rounded away."""
_EXACT = 1e15
"""From here on a float has no decimals left to round."""
EXTRA = 15
"""Decimals beyond the usual at which two figures that differ no longer read the same."""

_FIXED = {"V": 2, "mV": 0, "°C": 0, "m": 2, "mm": 0, "r/min": 0, "%": 0, "fine %": 1, "W": 0, "min": 0, "h": 1, "d": 1,
          "days": 1, "ways": 0}
_BY_SIZE = ((100.0, 0), (1.0, 1), (0.0, 2))
_PLACES: dict[str, tuple[tuple[float, int], ...]] = {
    "mA": ((10.0, 0), (1.0, 1), (0.0, 2)),
    "fuse A": ((100.0, 0), (0.0, 1)),
    "fine mm": ((0.0, 1),),
    "barrel mm2": _BY_SIZE,
    "s": ((10.0, 0), (1.0, 1), (0.1, 2), (0.0, 3)),
    "factor": ((100.0, 0), (10.0, 1), (0.0, 2)),
}
"""Decimals from a size on, by unit, where neither one number nor three figures or so will do."""
SCALED = {"A": (0.1, 1000.0, "mA"), "Ω": (1.0, 1000.0, "mΩ"), "m": (0.2, 1000.0, "mm"),
          "d": (2.0, 24.0, "h"), "days": (2.0, 24.0, "h"), "small V": (math.inf, 1000.0, "mV"),
          "share": (math.inf, 100.0, "%"),
          "fine share": (math.inf, 100.0, "fine %")}
"""Unit: below which size it is written in another, times what, and which."""
PRINTED = {"mm2": "mm²", "ohm": "Ω", "degC": "°C", "mohm": "mΩ", "c": "°C", "A·h": "Ah", "rpm": "r/min", "day": "days",
           "fuse A": "A", "fine %": "%", "fine mm": "mm", "barrel mm2": "mm²", "factor": "", "-": ""}
_FIGURES = 4
"""Figures of a wire's cross-section, as the trade writes sizes, and of what is put into a plan."""


def unit_words(unit: str) -> str:
    """A unit as it is printed: ``mm2`` as ``mm²``, ``ohm`` as ``Ω``, ``degC`` as ``°C``."""
    return PRINTED.get(unit, unit)


def unit_for(value: float, unit: str) -> str:
    """The unit a figure of a unit is written in: a smaller one where it is small, ``mA`` below 0.1 A."""
    below, _, smaller = SCALED.get(unit_words(unit), (0.0, 1.0, unit))
    return smaller if 0.0 < abs(value) < below else unit


def cut(value: float, unit: str, side: Side, extra: int, scaled: bool) -> tuple[float, int | None, str, float]:
    """The number as written, its decimals (None: all it has), its unit and how many of it make one of `unit`."""
    key = unit if unit in _PLACES else unit_words(unit)
    factor, shown = 1.0, unit_words(unit)
    below, times, other = SCALED.get(key, (0.0, 1.0, key))
    if (scaled or math.isinf(below)) and abs(value) < below and (value != 0.0 or key != "A"):
        factor, key, shown = times, other, unit_words(other)
    size = abs(value) * factor
    if key == "mm²":
        return to_figures(value, side, extra), None, shown, factor
    if key in _FIXED:
        places = _FIXED[key]
    elif math.isclose(size, round(size), rel_tol=FUZZ):
        return float(round(value * factor)), 0, shown, factor
    else:
        places = next(found for begins, found in _PLACES.get(key, _BY_SIZE) if size >= begins)
    return rounded(value * factor, places + extra, side), places + extra, shown, factor


def to_figures(value: float, side: Side, extra: int) -> float:
    """A number cut to four figures and more."""
    if value == 0.0:
        return 0.0
    places = _FIGURES - 1 - math.floor(math.log10(abs(value)))
    return rounded(value, min(max(0, places), EXTRA) + extra, side)


def read_as(value: float, unit: str, side: Side, extra: int) -> float:
    """What a reader takes the text for, in `unit`."""
    number, _, _, factor = cut(value, unit, side, extra, True)
    return number / factor


def order(one: float, other: float) -> int:
    """1 where one figure is larger than another, -1 where it is smaller, 0 where they differ by noise alone."""
    return 0 if math.isclose(one, other, rel_tol=FUZZ) else 1 if one > other else -1


def rounded(value: float, places: int, side: Side) -> float:
    """A number cut to `places` decimals; noise in the last digits of a float does not count as a remainder."""
    if abs(value) >= _EXACT / 10.0**places:
        return value
    scaled = value * 10.0**places
    near = round(scaled)
    if side == "stated" or math.isclose(scaled, near, rel_tol=FUZZ, abs_tol=FUZZ):
        return near / 10.0**places
    return (math.ceil(scaled) if side == "burden" else math.floor(scaled)) / 10.0**places


def steps(value: float, step: float) -> int:
    """How many whole steps reach a value; what a sum misses it by in its last digits is no further step."""
    return math.ceil(value / step - 1e-9)
