"""Figures as text with their units: the one place where a number becomes words.

Burdens (a current drawn, a drop, the smallest fuse the load allows) are rounded up, limits (the largest fuse the wire
allows, an ampacity, a permitted drop) down, so that what is read is never kinder than what was computed.
"""

from __future__ import annotations

import math
from typing import Literal

UNKNOWN = "?"
"""Shown for a figure that cannot be worked out; a blank cell would look like "done"."""
NONE = "–"
"""Shown where there is nothing to say: no relay, no fuse."""

Towards = Literal["nearest", "up", "down"]
_FUZZ = 1e-9


def rounded(value: float, places: int, towards: Towards = "nearest") -> float:
    """A number cut to `places` decimals; noise in the last digits of a float does not count as a remainder."""
    scaled = value * 10.0**places
    near = round(scaled)
    if towards == "nearest" or math.isclose(scaled, near, rel_tol=_FUZZ, abs_tol=_FUZZ):
        return near / 10.0**places
    return (math.ceil(scaled) if towards == "up" else math.floor(scaled)) / 10.0**places


def _places(value: float) -> int:
    """Decimals worth reading: three figures or so; none for a plain zero."""
    size = abs(value)
    return 0 if size >= 100 or size == 0 else 1 if size >= 1 else 2


def number(value: float | None, places: int | None = None, towards: Towards = "nearest") -> str:
    """A bare number with a true minus sign; `UNKNOWN` for None, NaN and infinities."""
    if value is None or not math.isfinite(value):
        return UNKNOWN
    digits = _places(value) if places is None else places
    text = f"{rounded(value, digits, towards):.{digits}f}"
    if float(text) == 0.0:
        text = text.lstrip("-")
    return text.replace("-", "−")


def quantity(value: float | None, unit: str, places: int | None = None, towards: Towards = "nearest") -> str:
    """A number with its unit: ``38.4 A``, ``2.5 mm²``; `UNKNOWN` alone where there is no number."""
    text = number(value, places, towards)
    return text if text == UNKNOWN or not unit else f"{text} {unit}"


def amps(current_a: float | None, towards: Towards = "up") -> str:
    """``38.4 A``, ``0.35 A``, ``12 mA``; a burden unless told otherwise."""
    if current_a is not None and 0 < abs(current_a) < 0.1:
        return quantity(current_a * 1000.0, "mA", None if abs(current_a) < 0.01 else 0, towards)
    return quantity(current_a, "A", None, towards)


def signed_amps(current_a: float | None) -> str:
    """A balance: ``+12.3 A``, ``−4.0 A``, ``−20 mA``; rounded down, towards the worse."""
    text = amps(current_a, "down") if current_a is not None and 0 < abs(current_a) < 0.1 \
        else quantity(current_a, "A", 1, "down")
    return f"+{text}" if current_a is not None and math.isfinite(current_a) and text[0].isdigit() and current_a > 0 \
        else text


def rating(current_a: float | None) -> str:
    """A rating as printed on the part: ``7.5 A``, ``15 A``."""
    return UNKNOWN if current_a is None or not math.isfinite(current_a) else f"{current_a:g} A"


def volts(voltage_v: float | None, towards: Towards = "nearest") -> str:
    """``13.42 V``, ``0.31 V``."""
    return quantity(voltage_v, "V", 2, towards)


def drop(volts_v: float, limit_v: float | None) -> str:
    """Drop and limit, ``0.31/0.50 V``; ``0.31 V`` without a limit."""
    if limit_v is None:
        return quantity(volts_v, "V", 2, "up")
    return f"{number(volts_v, 2, 'up')}/{quantity(limit_v, 'V', 2, 'down')}"


def window(low_a: float | None, high_a: float | None) -> str:
    """Fuse window from load to wire: ``9.8–20.4``; the end that is not known is `UNKNOWN`."""
    if low_a is None and high_a is None:
        return UNKNOWN
    return f"{number(low_a, 1, 'up')}–{number(high_a, 1, 'down')}"


def ohms(resistance_ohm: float | None) -> str:
    """``3.2 mΩ``, ``90.0 Ω``."""
    if resistance_ohm is not None and abs(resistance_ohm) < 1.0:
        return quantity(resistance_ohm * 1000.0, "mΩ")
    return quantity(resistance_ohm, "Ω")


def metres(length_m: float | None) -> str:
    """``1.60 m``, rounded up: a wire cut short is lost."""
    return quantity(length_m, "m", 2, "up")


def celsius(temperature_c: float | None) -> str:
    """``85 °C``, rounded up."""
    return quantity(temperature_c, "°C", 0, "up")


def square_mm(size_mm2: float | None) -> str:
    """``2.5 mm²``, as the trade writes sizes."""
    return UNKNOWN if size_mm2 is None or not math.isfinite(size_mm2) else f"{size_mm2:.4g} mm²"


def percent(share: float | None) -> str:
    """``96 %``, rounded up."""
    return quantity(None if share is None else share * 100.0, "%", 0, "up")


def plain(value: float | None, unit: str) -> str:
    """A figure of a finding beside its limit, to four figures: ``57.02 A``, ``0.5 V``."""
    if value is None or not math.isfinite(value):
        return UNKNOWN
    text = f"{value:.4g}".replace("-", "−")
    return f"{text} {unit_words(unit)}".rstrip()


def rpm(speed_rpm: float | None) -> str:
    """``850 r/min``."""
    return quantity(speed_rpm, "r/min", 0)


def unit_words(unit: str) -> str:
    """A unit as it is printed: ``mm2`` as ``mm²``, ``ohm`` as ``Ω``, ``degC`` as ``°C``."""
    return {"mm2": "mm²", "ohm": "Ω", "degC": "°C", "mohm": "mΩ", "c": "°C"}.get(unit, unit)
