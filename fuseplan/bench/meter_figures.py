"""Figures beside a meter's reading: what was read as it was read, what is expected in the digits the meter shows."""

from __future__ import annotations

import math

from fuseplan.bench.instruments import instrument_for
from fuseplan.bench.points import SCALE, Point
from fuseplan.quantities import writing
from fuseplan.quantities.decimals import Side, unit_for

_OHMS = ((1e6, "MΩ"), (1e3, "kΩ"), (1.0, "Ω"))


def shown(value: float, point: Point) -> str:
    """What was read at a point, in its unit."""
    if math.isinf(value):
        return "open"
    if point.unit == "ohm":
        return ohms(value)
    unit = _shown_in(value, point.unit)
    return writing.measured(value / SCALE[unit], unit)


def ohms(value: float) -> str:
    """A resistance that was read, or worked out from two readings, to three figures."""
    if math.isinf(value):
        return "open"
    for size, unit in _OHMS:
        if value >= size:
            return writing.measured(value / size, unit, 3)
    return writing.measured(value * 1e3, "mΩ", 3)


def at_least(value: float, unit: str) -> str:
    """The least a meter is to show, in its digits: rounded up, so that nothing that reads so is below.

    Args:
        value: in V, A, ohm or K
        unit: that of the point: "V", "mV", "A", "mA", "ohm" or "K"
    """
    return _on_meter(value, unit, "burden")


def at_most(value: float, unit: str) -> str:
    """The most a meter is to show, in its digits: rounded down; as `at_least`."""
    return _on_meter(value, unit, "limit")


def about(value: float, unit: str) -> str:
    """What a meter shows about, in its digits; as `at_least`."""
    return _on_meter(value, unit, "stated")


def band(value: float, low: float | None, high: float | None, unit: str) -> str:
    """What a meter is to show, in its digits, with the band where these tell its ends apart: ``5.21 A (4.37 A to
    6.08 A)``. The band is cut from both sides, never widened; as `at_least`."""
    middle = about(value, unit)
    if high is None:
        return middle
    if low is None:
        return middle if at_most(high, unit) == middle else f"{middle} (up to {at_most(high, unit)})"
    unit = _shown_in(value, unit)
    meter = instrument_for(unit, value)
    least, most = meter.cut(low, "burden"), meter.cut(high, "limit")
    if not least < most:
        return middle
    ends = _on_meter(low, unit, "burden", unit), _on_meter(high, unit, "limit", unit)
    return f"{_on_meter(min(max(value, least), most), unit, 'stated', unit)} ({ends[0]} to {ends[1]})"


def _shown_in(value: float, unit: str) -> str:
    """The unit a figure is written in: that of its point, but for small currents."""
    return unit_for(value, unit) if unit == "A" else unit


def _on_meter(value: float, unit: str, side: Side, written_in: str | None = None) -> str:
    """A figure in the digits of the meter that reads it, in the unit given, else in that of its point or the one a
    meter shows for so small a current."""
    if math.isinf(value):
        return "open"
    cut = instrument_for(unit, value).cut(value, side)
    if unit != "ohm":
        unit = written_in or _shown_in(value, unit)
        return writing.stated(cut / SCALE[unit], unit)
    size, words = next((each for each in _OHMS if cut >= each[0]), _OHMS[-1])
    return writing.stated(cut / size, words)
