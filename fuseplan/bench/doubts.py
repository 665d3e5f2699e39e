"""What is odd about a reading before it is stored: a value outside the meter's or the circuit's sense is asked about,
as it is sooner a slip of the unit, the range or the clamp than the car."""

from __future__ import annotations

import math

from fuseplan.bench.expected import Expected, expected
from fuseplan.bench.instruments import INSTRUMENTS, instrument_for
from fuseplan.bench.meter_figures import at_least, at_most, shown
from fuseplan.bench.readings import TakenReading, latest, readings_of
from fuseplan.checks.assessment import Assessment
from fuseplan.quantities import writing
from fuseplan.results.address import joined

HIGHEST_V = 16.0
"""No car of 12 V has more between any two points, engine running. Common practice, no source."""
THOUSAND = 1000.0
FAR = 3.0
"""A current of this multiple of the largest expected is asked about."""
ZERO_A = 0.5
"""A clamp that shows less where nothing should flow shows its own zero. Common practice, no source."""


def doubts(assessment: Assessment, reading: TakenReading) -> tuple[str, ...]:
    """Why to ask before a reading is stored, each a sentence; nothing where it can be stored at once."""
    point, value = reading.point, reading.value
    if math.isinf(value):
        return ()
    meant = expected(assessment, point, reading.condition)
    found = [*_of_meter(reading), *_of_unit(assessment, reading, meant)]
    if point.unit in ("A", "mA"):
        found += _of_current(assessment, reading, meant)
    if point.unit == "K" and abs(value) > 150.0:
        found.append(f"a part {shown(value, point)} warmer than its twin has burnt")
    return tuple(dict.fromkeys(found))


def _of_meter(reading: TakenReading) -> list[str]:
    meter = INSTRUMENTS.get(reading.instrument or "") or instrument_for(reading.point.unit, reading.value)
    most = meter.ranges[-1].most
    if abs(reading.value) > most:
        return [f"{shown(reading.value, reading.point)} is more than {meter.words} shows, {meter.ranges[-1].words}"]
    return []


def _of_unit(assessment: Assessment, reading: TakenReading, meant: Expected) -> list[str]:
    """V for mV and the like: a thousandth or a thousand times of it would fit, it does not."""
    point, value = reading.point, reading.value
    scale = assessment.results.network.system_v / 12.0
    if point.unit in ("V", "mV") and abs(value) > HIGHEST_V * scale:
        fits = f"; {shown(value / THOUSAND, point)}?" if point.unit == "mV" else ""
        return [f"{shown(value, point)} is more than a {writing.stated(12.0 * scale, 'V')} car has anywhere{fits}"]
    low = meant.low if meant.low is not None else meant.value
    high = meant.high if meant.high is not None else meant.value
    if low is None or high is None or value <= 0 or low < 0:
        return []
    # Too much in the very unit of the point is sooner a fault of the car than a slip.
    for factor in (THOUSAND,) if reading.raw.endswith(f" {point.unit}") else (THOUSAND, 1.0 / THOUSAND):
        slipped = value * factor
        if low / 2.0 <= slipped <= high * 2.0 and slipped > 0 and not low / 10.0 <= value <= high * 10.0:
            return [f"{shown(value, point)} where {at_most(high, point.unit)} or less is expected: "
                    f"is it {shown(slipped, point)}?" if factor < 1 else
                    f"{shown(value, point)} where {at_least(low, point.unit)} or more is expected: "
                    f"is it {shown(slipped, point)}?"]
    return []


def _of_current(assessment: Assessment, reading: TakenReading, meant: Expected) -> list[str]:
    point, value = reading.point, reading.value
    if point.kind == "circuit" and value < 0:
        return [f"{shown(value, point)} flows backwards: turn the clamp round, or set it to zero beside the wire"]
    found = []
    if point.kind == "circuit" and meant.value == 0.0 and 0 < abs(value) < ZERO_A:
        found.append(f"{shown(value, point)} where nothing is on: set the clamp to zero beside the wire and read again")
    voltages = latest(readings_of(assessment)[0])
    dead = voltages.get((joined((point.kind, point.subject, "load_v")), reading.condition)) if point.subject else None
    if dead is not None and abs(dead.value) < 0.1 and 0 < abs(value) < ZERO_A:
        found.append(f"{shown(value, point)} with no volts at the load: set the clamp to zero beside the wire")
    if meant.high is not None and meant.high > 0 and value > FAR * meant.high:
        found.append(f"{shown(value, point)} is more than {writing.stated(FAR)} times what is expected at most, "
                     f"{at_most(meant.high, point.unit)}: right range, only this wire in the clamp?")
    device = assessment.fuse_of.get((point.kind, point.subject)) if point.kind in ("circuit", "feed") else None
    if device is not None:
        rating = float(assessment.results.fusing.rating_a[device])
        if value > 2.0 * rating:
            found.append(f"{shown(value, point)} through a fuse of {writing.rating(rating)}, which opens within "
                         "seconds: right range, only this wire in the clamp?")
    return found
