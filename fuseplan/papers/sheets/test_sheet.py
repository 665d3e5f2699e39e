"""The test sheet: every reading to be taken, with what to expect, its limit, and room for what was read."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.bench.sheet import sheet_of
from fuseplan.bench.sheet_minutes import time_words
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.bench_table import printed_table, sources_of
from fuseplan.papers.bench_text import CAUTION, left_out_words
from fuseplan.papers.paper import Block, Pairs, Sheet, Wishes, Words, to_sign
from fuseplan.quantities import writing


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """What to do and what never to do, section by section; then one table to sign; then the sources of the limits."""
    sections = sheet_of(assessment)
    yield Words(CAUTION, "caution")
    yield Words("Expected is what this car shows if it is as planned, with its band from how the currents are known. "
                "The limit is another thing: published, or common practice; its source stands at the end by its "
                "number. Rows marked R are required before the car goes on to the next step. First power has a card of "
                "its own with its steps.")
    left = sum(len(each.rows) - len(each.asked_rows) for each in sections)
    if left:
        yield Words(f"{left_out_words(left)} They say where the fault is: type the reading in, and the bench screen, "
                    "the diagnosis and this sheet, printed again, have them.")
    for each in sections:
        yield Words(each.section.title, "heading")
        if each.open_rows:
            many = len(each.open_rows)
            yield Words(f"{writing.counted(many, 'required row')}, {time_words(each.minutes_left)}.")
        for note in each.section.notes:
            yield Words(note, "note")
    sources = sources_of(sections)
    yield printed_table(sections, sources)
    # Before the sources: behind them it may come to stand on a page of its own, away from what is signed for.
    yield to_sign("Tested by")
    yield Words("Sources of the limits", "heading")
    yield Pairs(tuple((f"[{number}]", source) for source, number in sources.items()))


SHEET = Sheet("test-sheet", "Test sheet", 84, "every reading: where, in which condition, expected, limit, room to "
              "write", blocks, landscape=True)
