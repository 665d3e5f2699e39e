"""A reading on its way into the plan: parsed, asked about, and where it stands there. Nothing is written here."""

from __future__ import annotations

from dataclasses import dataclass

from fuseplan.bench.doubts import doubts
from fuseplan.bench.points import Point, points
from fuseplan.bench.readings import TakenReading, is_condition, raw_text, usual_condition, value_of
from fuseplan.checks.assessment import Assessment
from fuseplan.errors import EditError
from fuseplan.plan.references import Path, accepted
from fuseplan.plan.words import READING_CONDITIONS
from fuseplan.quantities.amounts import clean


@dataclass(frozen=True)
class NewReading:
    """A reading that is to be stored."""

    reading: TakenReading
    change: tuple[Path, dict[str, object]]
    """Where it comes to stand in the plan, and its keys."""
    doubts: tuple[str, ...]
    """Why to ask first."""
    replaces: bool
    """It takes the place of one of the same point, condition and day that nothing was taken over from."""


def point_of(assessment: Assessment, address: str) -> Point:
    """The point of an address; EditError that names the nearest."""
    known = points(assessment)
    if address not in known:
        raise EditError(f"there is no point '{clean(address)}'; {accepted(address, known)}")
    return known[address]


def new_reading(assessment: Assessment, address: str, text: str, condition: str | None = None,
                instrument: str | None = None, date: str | None = None) -> NewReading:
    """A reading as it is typed, made ready to be stored.

    Parameters
    ----------
    assessment : Assessment
    address : str
        Of a point.
    text : str
        The value, with or without its unit.
    condition : str, optional
        The usual one of the point where left out.
    instrument, date : str, optional

    Raises
    ------
    EditError, AmountError
        No such point or condition; the value cannot be read.
    """
    point = point_of(assessment, address)
    if condition is not None and not is_condition(assessment, condition):
        known = [*READING_CONDITIONS, *assessment.condition_ids]
        raise EditError(f"there is no condition '{clean(condition)}'; {accepted(condition, known, 20)}")
    value, where = value_of(text, point), condition or usual_condition(point)
    number, replaces = _place(assessment, point, where, date)
    reading = TakenReading(number, point, where, value, raw_text(text, point), instrument, date, False)
    keys: dict[str, object] = {"point": address, "condition": where, "value": reading.raw}
    if instrument:
        keys["instrument"] = instrument
    if date:
        keys["date"] = date
    return NewReading(reading, (("reading", number), keys), doubts(assessment, reading), replaces)


def _place(assessment: Assessment, point: Point, condition: str, date: str | None) -> tuple[int, bool]:
    """Behind the last reading; in place of the one it corrects."""
    known = assessment.plan.reading
    for number, each in enumerate(known):
        same = each.point == point.address and (each.condition or usual_condition(point)) == condition
        if same and each.date == date and not each.accepted:
            return number, True
    return len(known), False
