"""What a meter reads may be off by: a share of the reading and some digits of its last place."""

from __future__ import annotations

import math

from fuseplan.formulas.meter import reading_error
from fuseplan.quantities.decimals import Side, rounded
from fuseplan.records import dataclass


@dataclass(frozen=True)
class Range:
    """One range of a meter; values in V, A, ohm or K."""

    words: str
    """As it stands on the dial: ``200 mV``."""
    most: float
    """The largest value it shows."""
    digit: float
    """Size of one digit of its last place."""


@dataclass(frozen=True)
class Instrument:
    """A meter of one kind, from the smallest range to the largest."""

    id: str
    words: str
    short: str
    """The same in a word or two: ``DC V``."""
    share: float
    """Error as a share of the reading."""
    digits: int
    """Error in digits of the last place, added to it."""
    ranges: tuple[Range, ...]
    source: str

    def range_for(self, value: float) -> Range:
        """The smallest range that shows a value; the largest where none does."""
        return next((each for each in self.ranges if abs(value) <= each.most), self.ranges[-1])

    def cut(self, value: float, side: Side) -> float:
        """A value in the digits the meter shows: up for a burden, down for a limit, to the nearest as stated."""
        return rounded(value, -math.floor(math.log10(self.range_for(value).digit) + 0.5), side)

    def error(self, value: float) -> float:
        """What a reading may be off by to either side, in its own unit, on the smallest range that shows it."""
        return float(reading_error(abs(value), self.share, float(self.digits), self.range_for(value).digit))


FROM_MEMORY = "from memory: no meter's sheet was read; your meter's own sheet counts"

VOLTS = Instrument("multimeter_volts", "multimeter, DC volts", "DC V", 0.005, 2, (
    Range("200 mV", 0.2, 0.0001), Range("2 V", 2.0, 0.001), Range("20 V", 20.0, 0.01), Range("200 V", 200.0, 0.1)),
    FROM_MEMORY)
RIPPLE = Instrument("multimeter_ac", "multimeter, AC volts", "AC V", 0.01, 5, (
    Range("200 mV", 0.2, 0.0001), Range("2 V", 2.0, 0.001), Range("20 V", 20.0, 0.01)), FROM_MEMORY)
CLAMP = Instrument("clamp", "DC clamp meter, set to zero beside the wire", "DC clamp", 0.02, 5, (
    Range("40 A", 40.0, 0.01), Range("400 A", 400.0, 0.1), Range("1000 A", 1000.0, 1.0)), FROM_MEMORY)
AMPS = Instrument("multimeter_amps", "multimeter in series, fused 10 A range", "in series", 0.01, 3, (
    Range("20 mA", 0.02, 0.00001), Range("200 mA", 0.2, 0.0001), Range("10 A", 10.0, 0.01)), FROM_MEMORY)
OHMS = Instrument("multimeter_ohms", "multimeter, ohms, its leads' own resistance taken off", "ohms", 0.01, 2, (
    Range("200 Ω", 200.0, 0.1), Range("2 kΩ", 2e3, 1.0), Range("20 kΩ", 2e4, 10.0), Range("200 kΩ", 2e5, 100.0),
    Range("2 MΩ", 2e6, 1000.0), Range("20 MΩ", 2e7, 10000.0)), FROM_MEMORY)
THERMOMETER = Instrument("thermometer", "infrared thermometer, on matt tape", "infrared", 0.02, 2, (
    Range("300 °C", 300.0, 1.0),), FROM_MEMORY)

INSTRUMENTS: dict[str, Instrument] = {each.id: each for each in (VOLTS, RIPPLE, CLAMP, AMPS, OHMS, THERMOMETER)}


def instrument_for(unit: str, value: float | None = None) -> Instrument:
    """The meter a reading is taken with: by the unit of its point ("V", "mV", "A", "mA", "ohm", "K"), and by the size
    of a current, in A. Below 1 A a clamp shows mostly its own zero (common practice, no source)."""
    if unit in ("A", "mA"):
        return AMPS if unit == "mA" or (value is not None and abs(value) < 1.0) else CLAMP
    return {"V": VOLTS, "mV": VOLTS, "ohm": OHMS, "K": THERMOMETER}[unit]
