"""Expected values, limits, readings and verdicts of the test sheet in words."""

from __future__ import annotations

from fuseplan.bench.expected import Expected
from fuseplan.bench.limits import Limit
from fuseplan.bench.points import Point
from fuseplan.bench.sheet import SheetRow
from fuseplan.bench.verdicts import LEVEL_WORDS, ReadingVerdict, shown


def expected_words(meant: Expected, point: Point) -> str:
    """What is expected with its band: ``5.21 A (4.36 A to 6.08 A)``, ``open``, ``any, not 0``, ``?``."""
    if not meant.known:
        return f"? {meant.words}"
    if meant.value is None or meant.words:
        return meant.words
    if meant.low is None or meant.high is None:
        bound = "" if meant.high is None else f" (up to {shown(meant.high, point)})"
        return f"{shown(meant.value, point)}{bound}"
    if meant.low == meant.high:
        return shown(meant.value, point)
    return f"{shown(meant.value, point)} ({shown(meant.low, point)} to {shown(meant.high, point)})"


def limit_words(limit: Limit | None, point: Point) -> str:
    """A limit without its source: ``at most 500 mV; look from 200 mV``; empty without one."""
    if limit is None:
        return ""
    if limit.low is not None and limit.high is not None:
        parts = [f"{shown(limit.low, point)} to {shown(limit.high, point)}"]
    else:
        parts = [f"{words} {shown(value, point)}" for words, value in (("at least", limit.low), ("at most", limit.high))
                 if value is not None]
    ends = (("below", limit.look_low), ("above", limit.look_high))
    looks = [f"look {words} {shown(value, point)}" for words, value in ends if value is not None]
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
