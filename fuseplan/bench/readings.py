"""The readings of a plan, parsed: each `[[reading]]` with its point and its value in V, A, ohm or K."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

from fuseplan.bench.points import Point, points
from fuseplan.checks.assessment import Assessment
from fuseplan.errors import AmountError
from fuseplan.plan.beside_the_car import Reading
from fuseplan.plan.references import accepted
from fuseplan.quantities import amounts
from fuseplan.quantities.amounts import Amount, Dimension, amount
from fuseplan.records import dataclass

OPEN = ("open", "ol", "o.l", "o.l.", "o/l", "over range")
"""How a meter's over-range on ohms is written."""
_BARE = re.compile(r"[+-]?(?:\d+[.,]?\d*|[.,]\d+)\Z")
_DIMENSIONS: dict[str, Dimension] = {
    "A": amounts.CURRENT.within("-3000 A", "3000 A"), "V": amounts.VOLTAGE.within("-1000 V", "1000 V"),
}
_BASE = {"A": "A", "mA": "A", "V": "V", "mV": "V"}
_OHMS = {"ohm": 1.0, "Ω": 1.0, "mohm": 1e-3, "mΩ": 1e-3, "kohm": 1e3, "kΩ": 1e3, "Mohm": 1e6, "MΩ": 1e6}
"""Units an ohmmeter shows. In a plan MΩ is refused, as no part of a car has any: here it is what a good wire reads."""


@dataclass(frozen=True)
class TakenReading:
    """One reading, parsed."""

    number: int
    """Its place among the readings of the plan, from 0; -1 for one that is not stored."""
    point: Point
    condition: str
    """Id of a condition of the plan, or ``unpowered``, ``rested`` or ``alone``."""
    value: float
    """In V, A, ohm or K; infinite for an open on ohms."""
    raw: str
    """As it was typed."""
    instrument: str | None
    date: str | None
    accepted: bool
    """Taken over into the plan's own figures by the user."""


@dataclass(frozen=True)
class LostReading:
    """A reading of the plan that says nothing: its point is gone, or its value cannot be read."""

    number: int
    words: str


def value_of(text: str, point: Point) -> float:
    """The value of a reading in V, A, ohm or K; a bare number is in the unit of its point.

    Raises:
        AmountError: It is no number, or of another unit than the point's.
    """
    typed = text.strip()
    if point.unit == "ohm" and typed.casefold() in OPEN:
        return math.inf
    if _BARE.match(typed):
        typed = f"{typed.replace(',', '.')} {point.unit}"
    if point.unit == "K":
        match = re.fullmatch(r"([+-]?\d+\.?\d*)\s*(?:K|°C|degC)", typed)
        if match is None:
            raise AmountError(f"'{amounts.clean(text)}' is no difference of temperature; accepted is one like '12 K'")
        return float(match[1])
    if point.unit == "ohm":
        ohms = re.fullmatch(r"(\d+\.?\d*|\.\d+)\s*(\S+)", typed)
        if ohms is None or ohms[2] not in _OHMS:
            raise AmountError(f"'{amounts.clean(text)}' is no resistance; accepted is one like '0.6 ohm', '2.2 Mohm' "
                              "or 'open'")
        return float(ohms[1]) * _OHMS[ohms[2]]
    found: Amount = amount(typed, _DIMENSIONS[_BASE[point.unit]])
    return float(found)


def raw_text(text: str, point: Point) -> str:
    """A reading as it is kept: as typed, a bare number with the unit of its point."""
    typed = text.strip()
    return f"{typed.replace(',', '.')} {point.unit}" if _BARE.match(typed) else typed


def readings_of(assessment: Assessment) -> tuple[tuple[TakenReading, ...], tuple[LostReading, ...]]:
    """The readings of a plan in its order, and those that say nothing."""
    known = points(assessment)
    found: list[TakenReading] = []
    lost: list[LostReading] = []
    for number, reading in enumerate(assessment.plan.reading):
        point = known.get(reading.point)
        if point is None:
            lost.append(LostReading(number, f"reading {number + 1}: no point '{amounts.clean(reading.point)}'; "
                                            f"{accepted(reading.point, known)}"))
            continue
        try:
            value = value_of(reading.value, point)
        except AmountError as error:
            lost.append(LostReading(number, f"reading {number + 1}, {point.address}: {error}"))
            continue
        found.append(TakenReading(number, point, condition_of(reading, point), value, reading.value, reading.instrument,
                                  reading.date, bool(reading.accepted)))
    return tuple(found), tuple(lost)


def condition_of(reading: Reading, point: Point) -> str:
    """The condition a reading was taken in; left out, the usual one of its point."""
    return reading.condition or usual_condition(point)


def usual_condition(point: Point) -> str:
    """The condition a point is read in where none is given."""
    if point.unit == "ohm":
        return "unpowered"
    return "alone" if point.kind == "circuit" else "rested"


def latest(readings: Iterable[TakenReading]) -> dict[tuple[str, str], TakenReading]:
    """The last reading of each point in each condition, by (address, condition)."""
    return {(each.point.address, each.condition): each for each in readings}
