"""The test sheet and the list of what is open, as text and as a document."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from fuseplan.bench.points import Point
from fuseplan.bench.ready import KIND_WORDS, NO_CLAIM, STAGES, OpenItem
from fuseplan.bench.sheet import SheetRow, SheetSection
from fuseplan.bench.sheet_minutes import time_words
from fuseplan.papers.bench_words import (
    expected_words,
    instrument_words,
    limit_words,
    not_asked_words,
    reading_words,
    verdict_words,
    where_words,
)
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.quantities import writing

_PAINTS = {"fault": "danger", "look": "warning", "ok": "ok"}
CAUTION = ("Battery off before you work. A meter on the wrong range or socket shorts what it is put across: look "
           "before each probe. Where a fault could hurt somebody, have a qualified auto electrician look before power.")


def sheet_overview_lines(sections: Sequence[SheetSection], room: int, paint: Paint = unpainted) -> list[str]:
    """How far each section is, every reading that is not ok, and the next row to read."""
    rows = [row for each in sections for row in each.rows]
    lines = [paint(f"Test sheet: {_counted(rows, sum(each.minutes_left for each in sections))}", "heading")]
    for number, each in enumerate(sections, 1):
        lines += paragraph(f"{each.section.title} ({each.section.key}): {_counted(each.rows, each.minutes_left)}", room,
                           f"  {number} ", " " * 4)
    bad = [row for row in {row.key: row for row in rows}.values()
           if row.verdict is not None and row.verdict.level in ("fault", "look")]
    if bad:
        lines += ["", paint("Readings to look at", "heading")]
        for row in sorted(bad, key=lambda row: row.verdict is None or row.verdict.level != "fault"):
            lines += row_lines(row, room, paint)
    coming = next(((each, row) for each in sections for row in each.open_rows), None)
    if coming is not None:
        section, row = coming
        lines += ["", paint(f"Next: {section.section.title}", "heading")]
        for note in section.section.notes:
            lines += paragraph(note, room, "  ")
        lines += ["", *row_lines(row, room, paint), "",
                  *paragraph(f"fuseplan bench PLAN --read {_address(row)}=…", room, " " * 8)]
    return [*lines, "", *paragraph("--section NAME prints the rows of a section, --full all, those too that are "
                              "asked for only when another is not ok.", room, "  "), "",
            *paragraph(CAUTION, room, "⚠ ")]


def _counted(rows: Sequence[SheetRow], minutes: float) -> str:
    """How many rows are asked for, are read, and are required and not read, and how long these take."""
    asked = sum(row.is_asked for row in rows)
    read = sum(row.reading is not None for row in rows)
    unread = sum(row.required and row.reading is None for row in rows)
    return f"{writing.counted(asked, 'row')}, {read} read, {unread} required and not read" \
           f"{', ' if unread else ''}{time_words(minutes)}"


def _address(row: SheetRow) -> str:
    """Point and condition of a row, as --read takes them."""
    return f"{shown(row.point.address)}@{shown(row.condition)}"


def sheet_lines(sections: Sequence[SheetSection], room: int, paint: Paint = unpainted, *, full: bool = False
                ) -> list[str]:
    """The sections with the rows that are asked for; in full with all."""
    lines: list[str] = []
    for each in sections:
        title = f"{each.section.title}: {_counted(each.rows, each.minutes_left)}"
        lines += [*([""] if lines else []), *(paint(line, "heading") for line in paragraph(title, room))]
        for note in each.section.notes:
            lines += paragraph(note, room, "  ")
        for row in each.rows if full else each.asked_rows:
            lines += ["", *row_lines(row, room, paint)]
        left = len(each.rows) - len(each.asked_rows)
        if left and not full:
            lines += ["", *paragraph(left_out_words(left), room, "  ")]
    return [*lines, "", *paragraph(CAUTION, room, "⚠ ")]


def left_out_words(count: int) -> str:
    """How many rows are not asked for as things stand."""
    return f"{writing.counted(count, 'more row is', 'more rows are')} asked for only when one of these is not ok, " \
           "something glows or feels warm, or the car has a CAN pair."


def row_lines(row: SheetRow, room: int, paint: Paint = unpainted) -> list[str]:
    """One row: what and where, expected and limit, reading and verdict."""
    mark = "" if row.required else f" ({not_asked_words(row)})"
    lines = paragraph(f"{shown(row.point.title)}: {shown(row.point.words)}; {shown(row.condition_words)}{mark}", room,
                      f"  {row.number:<6}", " " * 8)
    if row.note:
        lines += paragraph(shown(row.note), room, " " * 8)
    lines += paragraph(f"{shown(where_words(row.point))}; {instrument_words(row)}", room, " " * 8)
    lines += paragraph(f"expected {shown(expected_words(row.expected, row.point))}", room, " " * 8)
    if row.limit is not None:
        words = f" ({row.limit.words})" if row.limit.words else ""
        lines += paragraph(f"limit    {limit_words(row.limit, row.point)}{words}; {row.limit.source}", room, " " * 8)
    read = f"{shown(reading_words(row))}  {shown(verdict_words(row))}" if row.reading is not None else "________"
    texts = paragraph(f"{read}  {_address(row)}", room, " " * 8)
    if row.verdict is not None and row.verdict.level in _PAINTS:
        texts = [paint(line, _PAINTS[row.verdict.level]) for line in texts]
    return [*lines, *texts]


def ready_lines(items: Iterable[OpenItem], room: int, paint: Paint = unpainted) -> list[str]:
    """What is open, stage by stage."""
    found = list(items)
    lines: list[str] = []
    for stage in STAGES:
        mine = [item for item in found if item.stage == stage.key]
        lines.append(paint(f"{stage.title}: {len(mine)} open" if mine else f"{stage.title}: nothing open", "heading"))
        for item in mine:
            key = f" [{item.key}]" if item.key else ""
            texts = paragraph(f"{shown(item.words)}{key}", room, f"  {KIND_WORDS[item.kind]}: ", " " * 6)
            lines += [paint(line, "danger") if item.kind in ("danger", "fault") else line for line in texts]
        lines.append("")
    return [*lines, *paragraph(NO_CLAIM, room, "⚠ ")]


def sheet_document(sections: Sequence[SheetSection]) -> dict[str, Any]:
    """The sheet as a document; figures in V, A, ohm and K."""
    return {"sections": [{"key": each.section.key, "title": each.section.title, "notes": list(each.section.notes),
                          "minutes_left": each.minutes_left,
                          "rows": [_row(row) for row in each.rows]} for each in sections]}


def _row(row: SheetRow) -> dict[str, Any]:
    limit = row.limit
    return {
        "row": row.number, "point": row.point.address, "condition": row.condition, "part": row.point.title,
        "what": row.point.words, "probe": row.point.probe, "to": row.point.to,
        "condition_words": row.condition_words, "unit": _base(row.point), "required": row.required,
        "only_if": row.only_if, "note": row.note,
        "expected": {"value": row.expected.value, "low": row.expected.low, "high": row.expected.high,
                     "words": row.expected.words, "known": row.expected.known},
        "limit": None if limit is None else {
            "low": limit.low, "high": limit.high, "look_below": limit.look_low, "look_above": limit.look_high,
            "words": limit.words, "source": limit.source},
        "instrument": row.instrument.id, "range": row.range.words,
        "reading": None if row.reading is None else {
            "value": row.reading.value, "raw": row.reading.raw, "instrument": row.reading.instrument,
            "date": row.reading.date, "accepted": row.reading.accepted},
        "verdict": None if row.verdict is None else {"level": row.verdict.level, "words": row.verdict.words}}


def _base(point: Point) -> str:
    return {"mA": "A", "mV": "V"}.get(point.unit, point.unit)


def ready_document(items: Iterable[OpenItem]) -> dict[str, Any]:
    """What is open as a document."""
    return {"open": [{"stage": item.stage, "kind": item.kind, "words": item.words, "subject_kind": item.subject[0],
                      "subject": item.subject[1], "point": item.row[0] if item.row else None,
                      "condition": item.row[1] if item.row else None, "item": item.key or None}
                     for item in items], "note": NO_CLAIM}
