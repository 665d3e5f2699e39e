"""A reading on its way into the plan: parsed, asked about, and where it stands there. Nothing is written here."""

from __future__ import annotations

from fuseplan.bench.doubts import doubts
from fuseplan.bench.expected import expected
from fuseplan.bench.points import Point, points
from fuseplan.bench.readings import TakenReading, condition_of, raw_text, usual_condition, value_of
from fuseplan.bench.sheet_sections import SECTIONS, entries
from fuseplan.checks.assessment import Assessment
from fuseplan.errors import EditError
from fuseplan.plan.model import Plan
from fuseplan.plan.references import Path, accepted
from fuseplan.plan.words import READING_CONDITIONS
from fuseplan.quantities.amounts import clean
from fuseplan.records import dataclass


@dataclass(frozen=True)
class NewReading:
    """A reading that is to be stored."""

    reading: TakenReading
    keys: dict[str, object]
    """What stands in the plan."""
    doubts: tuple[str, ...]
    """Why to ask first."""
    replaces: bool
    """It takes the place of one of the same point, condition and day that nothing was taken over from."""

    def change_in(self, plan: Plan) -> tuple[Path, dict[str, object]]:
        """Where it comes to stand in a plan, and its keys."""
        return ("reading", _place(plan, self.reading.point, self.reading.condition, self.reading.date)[0]), self.keys


def point_of(assessment: Assessment, address: str) -> Point:
    """The point of an address; EditError that names the nearest."""
    known = points(assessment)
    if address not in known:
        raise EditError(f"there is no point '{clean(address)}'; {accepted(address, known)}")
    return known[address]


def new_reading(assessment: Assessment, address: str, text: str, condition: str | None = None,
                instrument: str | None = None, date: str | None = None) -> NewReading:
    """A reading as it is typed, made ready to be stored.

    Args:
        address: of a point
        text: the value, with or without its unit
        condition: left out: the usual one of the point, or the only one its rows of the sheet have
    Raises:
        EditError, AmountError: No such point or condition; it is read in several and none was given; the value cannot
            be read.
    """
    point = point_of(assessment, address)
    known = [*READING_CONDITIONS, *assessment.condition_ids]
    if condition is not None and condition not in known:
        raise EditError(f"there is no condition '{clean(condition)}'; {accepted(condition, known, 20)}")
    value, where = value_of(text, point), condition or _read_in(assessment, point)
    number, replaces = _place(assessment.plan, point, where, date)
    reading = TakenReading(number, point, where, value, raw_text(text, point), instrument, date, False)
    keys: dict[str, object] = {"point": address, "condition": where, "value": reading.raw}
    if instrument:
        keys["instrument"] = instrument
    if date:
        keys["date"] = date
    return NewReading(reading, keys, doubts(assessment, reading), replaces)


def _read_in(assessment: Assessment, point: Point) -> str:
    """The condition a reading is of where none is given: the usual one, unless nothing can be read there and the sheet
    reads it in another."""
    usual = usual_condition(point)
    if expected(assessment, point, usual).known:
        return usual
    rows = dict.fromkeys(entry.condition for section in SECTIONS for entry in entries(assessment, section.key)
                         if entry.point == point)
    if not rows or usual in rows:
        return usual
    if len(rows) == 1:
        return next(iter(rows))
    raise EditError(f"{point.address}: say in which condition it was read; accepted are {', '.join(rows)}")


def _place(plan: Plan, point: Point, condition: str, date: str | None) -> tuple[int, bool]:
    """Behind the last reading; in place of the one it corrects."""
    known = plan.reading
    for number, each in enumerate(known):
        same = each.point == point.address and condition_of(each, point) == condition
        if same and each.date == date and not each.accepted:
            return number, True
    return len(known), False
