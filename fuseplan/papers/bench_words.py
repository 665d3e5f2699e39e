"""Expected values, limits, readings and verdicts of the test sheet in words."""

from __future__ import annotations

from fuseplan.bench.expected import Expected
from fuseplan.bench.limits import Limit
from fuseplan.bench.meter_figures import at_least, at_most, band
from fuseplan.bench.points import Point
from fuseplan.bench.sheet import SheetRow
from fuseplan.bench.verdicts import LEVEL_WORDS, ReadingVerdict


def expected_words(meant: Expected, point: Point) -> str:
    """What is expected with its band: ``5.21 A (4.37 A to 6.08 A)``, ``open``, ``any, not 0``, ``?``."""
    if not meant.known:
        return f"? {meant.words}"
    if meant.value is None or meant.words:
        return meant.words
    return band(meant.value, meant.low, meant.high, point.unit)


def limit_words(limit: Limit | None, point: Point) -> str:
    """A limit without its source: ``at most 500 mV; look from 200 mV``; empty without one."""
    if limit is None:
        return ""
    if limit.low is not None and limit.high is not None:
        parts = [f"{at_least(limit.low, point.unit)} to {at_most(limit.high, point.unit)}"]
    else:
        ends = (("at least", at_least, limit.low), ("at most", at_most, limit.high))
        parts = [f"{words} {written(value, point.unit)}" for words, written, value in ends if value is not None]
    looked = (("below", at_least, limit.look_low), ("above", at_most, limit.look_high))
    looks = [f"look {words} {written(value, point.unit)}" for words, written, value in looked if value is not None]
    return "; ".join([*parts, *looks])


def instrument_words(row: SheetRow) -> str:
    """Meter and range: ``multimeter, DC volts, 200 mV range``."""
    return f"{row.instrument.words}, {row.range.words} range"


def where_words(point: Point) -> str:
    """Where the probes go: ``red …, black …``; where the clamp goes."""
    return f"{point.probe} to {point.to}" if point.to else point.probe


def reading_words(row: SheetRow) -> str:
    """What was read; empty where nothing was."""
    return "" if row.reading is None else row.reading.raw


def verdict_words(row: SheetRow) -> str:
    """The verdict: ``LOOK: more than planned, 6.08 A or less``; empty where nothing was read."""
    return "" if row.verdict is None else said_words(row.verdict)


def said_words(said: ReadingVerdict) -> str:
    """What a reading says; what is ok needs no more words."""
    words = LEVEL_WORDS[said.level]
    return f"{words}: {said.words}" if said.words and said.level != "ok" else words


def not_asked_words(row: SheetRow) -> str:
    """When a row is asked for that is not required as things stand."""
    return f"only if {row.only_if}" if row.only_if else "not required"
