"""The test sheet of one car, made from its plan: sections in the order in which they are done, rows with where to put
the meter, in which condition, what to expect, the limit with its source, the instrument, and what was read."""

from __future__ import annotations

from collections.abc import Iterable

from fuseplan.bench.expected import Expected, expected
from fuseplan.bench.first_power import KEY
from fuseplan.bench.instruments import Instrument, Range, instrument_for
from fuseplan.bench.limits import Limit, limit_for
from fuseplan.bench.model import bench_model
from fuseplan.bench.points import Point, points
from fuseplan.bench.readings import TakenReading, latest, readings_of
from fuseplan.bench.sheet_entries import Entry
from fuseplan.bench.sheet_minutes import minutes_left
from fuseplan.bench.sheet_sections import SECTIONS, Section, entries
from fuseplan.bench.solved_rows import GARAGE_C
from fuseplan.bench.verdicts import ReadingVerdict, verdict
from fuseplan.checks.assessment import Assessment
from fuseplan.plan.part_names import title_of
from fuseplan.records import dataclass
from fuseplan.results.address import joined


@dataclass(frozen=True)
class SheetRow:
    """One row of the test sheet."""

    number: str
    """Section and row: ``3.12``."""
    point: Point
    condition: str
    condition_words: str
    expected: Expected
    limit: Limit | None
    instrument: Instrument
    range: Range
    required: bool
    """Without it the car is not ready for the next step: it finds a fault, or one that does is not ok."""
    only_if: str
    """When it is asked for, in words; empty where it is required whatever else was read."""
    note: str
    reading: TakenReading | None
    verdict: ReadingVerdict | None
    """None where nothing has been read."""

    @property
    def is_asked(self) -> bool:
        """Whether it is asked for as things stand, or was read."""
        return self.required or self.reading is not None

    @property
    def key(self) -> tuple[str, str]:
        """Point and condition: the same reading may stand in two sections."""
        return self.point.address, self.condition


@dataclass(frozen=True)
class SheetSection:
    """One section of the sheet."""

    section: Section
    rows: tuple[SheetRow, ...]

    @property
    def asked_rows(self) -> tuple[SheetRow, ...]:
        """Those that are asked for as things stand, and those that were read."""
        return tuple(row for row in self.rows if row.is_asked)

    @property
    def open_rows(self) -> tuple[SheetRow, ...]:
        """Required rows that have not been read."""
        return tuple(row for row in self.rows if row.required and row.reading is None)

    @property
    def minutes_left(self) -> float:
        """Minutes that these still take."""
        return minutes_left(self.section.key, self.rows)


def sheet_of(assessment: Assessment, temperature_c: float | None = None,
             only: Iterable[str] | None = None) -> tuple[SheetSection, ...]:
    """The test sheet.

    Args:
        temperature_c: temperature of the car, for the limits of battery and charging; that of `temperature_of` where
            left out
        only: keys of the sections wanted; all where left out
    """
    at = temperature_of(assessment) if temperature_c is None else temperature_c
    taken = latest(readings_of(assessment)[0])
    wanted = None if only is None else set(only)
    found = []
    for number, section in enumerate(SECTIONS, start=1):
        if wanted is None or section.key in wanted:
            rows = (_row(assessment, f"{number}.{place}", entry, taken, at)
                    for place, entry in enumerate(entries(assessment, section.key), start=1))
            found.append(SheetSection(section, tuple(rows)))
    return tuple(found)


def temperature_of(assessment: Assessment) -> float:
    """Temperature of battery and regulator at the tests [°C]: of the battery, as the plan has it, else of a garage."""
    battery = assessment.plan.battery
    return GARAGE_C if battery is None or battery.temperature is None else float(battery.temperature)


_MAY_BE_LIVE = ("lamp_v", "off_v", "bulb_v")
"""Points that should show nothing and may show the whole supply: the meter is set to a range that shows it."""


def _row(assessment: Assessment, number: str, entry: Entry, taken: dict[tuple[str, str], TakenReading],
         temperature_c: float) -> SheetRow:
    point, condition = entry.point, entry.condition
    meant = expected(assessment, point, condition)
    reading = taken.get((point.address, condition))
    limit = limit_for(assessment, point, condition, temperature_c)
    sizes = (meant.high, meant.value, limit.high if limit else None, meant.low)
    size = next((each for each in sizes if each is not None), None)
    if point.what in _MAY_BE_LIVE:
        size = assessment.results.network.system_v
    instrument = instrument_for(point.unit, size)
    judged = None if reading is None else verdict_on(assessment, reading, taken, temperature_c)
    asked = entry.required or any(_is_not_ok(assessment, taken.get(key), taken, temperature_c)
                                  for key in entry.if_fails)
    return SheetRow(number, point, condition, condition_words(assessment, point, condition), meant, limit, instrument,
                    instrument.range_for(size or 0.0), asked, _only_if(assessment, entry), entry.note, reading, judged)


def _is_not_ok(assessment: Assessment, reading: TakenReading | None, taken: dict[tuple[str, str], TakenReading],
               temperature_c: float) -> bool:
    """Whether something was read that is not ok; what nothing is known to hold it against is not."""
    return reading is not None and verdict_on(assessment, reading, taken, temperature_c).level != "ok"


def _only_if(assessment: Assessment, entry: Entry) -> str:
    """When a row is asked for."""
    if entry.required:
        return ""
    at = points(assessment)
    rows = [at[address] for address, _ in entry.if_fails if address in at]
    named = dict.fromkeys(each.words if each.subject == entry.point.subject else f"{each.title}, {each.words}"
                          for each in rows)
    failed = f"not ok: {' or '.join(named)}" if named else ""
    return "; or ".join(each for each in (failed, entry.only) if each)


def verdict_on(assessment: Assessment, reading: TakenReading, taken: dict[tuple[str, str], TakenReading],
               temperature_c: float | None = None) -> ReadingVerdict:
    """The verdict on a reading in the light of those taken beside it."""
    point = reading.point
    beside = taken.get((joined((point.kind, point.subject, "current")), reading.condition)) if point.subject else None
    at = temperature_of(assessment) if temperature_c is None else temperature_c
    return verdict(assessment, reading, beside, taken.get(("battery.volts", "rested")), at)


_PARTED = ", all fuses and relays out, switches open, everything unplugged"
_SET_UP = {("feed", "earth_ohm"): _PARTED, ("feed", "other_feeds_ohm"): _PARTED,
           ("battery", "all_earth_ohm"): ", all fuses in, every load unplugged, switches closed, relays bridged"}
"""What the car is set up like for a reading without power; of circuits their words say it."""


def condition_words(assessment: Assessment, point: Point, condition: str) -> str:
    """A condition in words, for a point."""
    if condition == "unpowered":
        return f"battery disconnected{_SET_UP.get((point.kind, point.what), '')}"
    if condition == "rested":
        return "everything off, rested"
    if condition == "alone":
        state = bench_model(assessment).static.get(point.subject) if point.kind == "circuit" else None
        if point.kind == "feed":
            return "nothing on behind it"
        if point.what == "relay_feed_v":
            return "nothing switched on"
        if point.what == "off_v":
            return f"{KEY[state]}, this circuit off, all others on" if state else "this circuit off, all others on"
        if point.kind == "connector":
            return "key on, its plug open"
        return f"{KEY[state]}, this circuit alone" if state else "this circuit alone"
    return title_of(assessment.plan, "condition", condition)
