"""The drain hunt card: the standing drain, and which fuse carries it, by millivolts."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.bench.fuse_millivolts import BAND, current_by_drop, fuse_of
from fuseplan.bench.sheet import SheetRow, sheet_of
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.bench_words import expected_words, limit_words, reading_words, verdict_words
from fuseplan.papers.paper import BY_HAND, Block, Pairs, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.quantities import writing

STEP_V = 0.0001
"""What a hand meter shows at least on its 200 mV range."""
_COLUMNS = (TableColumn("circuit", "Circuit"), TableColumn("fuse", "Fuse"), TableColumn("expected", "Expected"),
            TableColumn("step", "0.1 mV is"), TableColumn("reading", "Reading", fill_in=True),
            TableColumn("is", "Current"), TableColumn("verdict", "Verdict", fill_in=True))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """What to wait for, the whole drain, then fuse by fuse."""
    (section,) = sheet_of(assessment, only=["drain"])
    for note in section.section.notes:
        yield Words(note, "caution")
    whole = next((row for row in section.rows if row.point.what == "drain"), None)
    if whole is None:
        yield Words("The plan has no condition in which the car is parked.", "note")
        return
    yield Pairs((("Standing drain expected", expected_words(whole.expected, whole.point)),
                 ("Limit", "" if whole.limit is None else f"{limit_words(whole.limit, whole.point)} "
                                                          f"({whole.limit.source})"),
                 ("Read", reading_words(whole) or BY_HAND),
                 ("Verdict", verdict_words(whole) or BY_HAND)))
    rows = [row for row in section.rows if row.point.what == "fuse_mv"]
    yield Table("fuses", _COLUMNS, tuple(_row(assessment, row) for row in rows),
                note=f"A current found by millivolts is right within {writing.stated(BAND, 'share')}. Makers' "
                     "fuses of one rating differ; a fuse without a printed resistance shows only more or less.")


def _row(assessment: Assessment, row: SheetRow) -> tuple[str, ...]:
    circuit = assessment.plan.circuit[row.point.subject]
    fuse = fuse_of(assessment, ("circuit", row.point.subject))
    fitted = "" if circuit.fuse is None else " ".join(filter(None, (
        circuit.fuse.position, "" if circuit.fuse.rating is None else writing.rating(float(circuit.fuse.rating)))))
    step = "?" if fuse is None else writing.burden(current_by_drop(fuse, STEP_V).value, "A")
    found = "" if fuse is None or row.reading is None else writing.burden(
        current_by_drop(fuse, row.reading.value).value, "A")
    return (row.point.title, fitted, expected_words(row.expected, row.point), step, reading_words(row), found,
            verdict_words(row))


SHEET = Sheet("drain-card", "Drain hunt", 86, "the standing drain, and which fuse carries it by millivolts", blocks)
