"""A row of the test sheet: in the list, and large with everything there is to it."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from fuseplan.bench.sheet import SheetRow
from fuseplan.bench.verdicts import Level
from fuseplan.papers.bench_words import (
    expected_words,
    instrument_words,
    limit_words,
    not_asked_words,
    reading_words,
    verdict_words,
    where_words,
)
from fuseplan.tui.words import CAUTION_STYLE, QUIET_STYLE, line, lines

SIGNS: dict[Level, str] = {"ok": "✓", "look": "◐", "fault": "✗", "none": "·"}
STYLES: dict[Level, str] = {"ok": "$text-success", "look": "bold $text-accent", "fault": "bold $text-error", "none": ""}
UNREAD, NOT_REQUIRED = "_", " "


def row_option(row: SheetRow) -> Content:
    """Two lines of the list: sign, part and what is read; expected, reading and verdict."""
    sign = (UNREAD if row.required else NOT_REQUIRED) if row.verdict is None else SIGNS[row.verdict.level]
    style = "" if row.verdict is None else STYLES[row.verdict.level]
    first = line((sign, style), f" {row.number} ", (row.point.title, "bold"), f": {row.point.words}")
    if row.reading is None:
        return lines(first, line("    ", (f"expected {expected_words(row.expected, row.point)}", QUIET_STYLE)))
    return lines(first, line("    ", (f"{reading_words(row)}  {verdict_words(row)}", style or "bold")))


def big_row(row: SheetRow, notes: Sequence[str], low: bool) -> Content:
    """What to do at the row under the cursor. In a low window what is done comes first; what is expected stands in the
    list."""
    point = row.point
    state = line(row.condition_words, ("" if row.required else f"; {not_asked_words(row)}", QUIET_STYLE))
    where = line((where_words(point), "bold"), f"; {instrument_words(row)}")
    note = [line(("→ ", "bold"), row.note)] if row.note else []
    limit = []
    if row.limit is not None:
        words = f" ({row.limit.words})" if row.limit.words else ""
        limit.append(line("limit ", (limit_words(row.limit, point), "bold"), (f"{words}; {row.limit.source}",
                                                                              QUIET_STYLE)))
    read = []
    if row.reading is not None:
        taken = "; taken over into the plan" if row.reading.accepted else ""
        date = f", {row.reading.date}" if row.reading.date else ""
        style = STYLES[row.verdict.level] if row.verdict is not None else ""
        read.append(line(f"read {reading_words(row)}{date}{taken}  ", (verdict_words(row), style or "bold")))
    cautions = [line(("⚠ ", CAUTION_STYLE), each) for each in notes]
    if low:
        return lines(*read, *note, where, state, *limit, *cautions)
    expected = line("expected ", (expected_words(row.expected, point), "bold"))
    return lines(state, where, expected, *limit, *note, *read, *cautions)
