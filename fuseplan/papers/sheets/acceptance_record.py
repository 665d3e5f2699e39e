"""The acceptance record: every reading taken, with its date, its condition, and what it says."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.bench.expected import expected
from fuseplan.bench.limits import limit_for
from fuseplan.bench.readings import latest, readings_of
from fuseplan.bench.ready import NO_CLAIM, ready
from fuseplan.bench.sheet import condition_words, temperature_of, verdict_on
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.bench_words import expected_words, limit_words, said_words
from fuseplan.papers.paper import Block, Sheet, Table, TableColumn, Wishes, Words, to_sign

_COLUMNS = (TableColumn("date", "Date"), TableColumn("what", "What"), TableColumn("condition", "Condition"),
            TableColumn("expected", "Expected"), TableColumn("limit", "Limit"), TableColumn("reading", "Reading"),
            TableColumn("instrument", "Instrument"), TableColumn("verdict", "Verdict"),
            TableColumn("accepted", "Taken over into the plan"))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The readings in the order of the plan; what is open; who signs."""
    taken, lost = readings_of(assessment)
    if not taken:
        yield Words("No readings are in the plan yet. This record is no proof of anything until they are.", "danger")
    beside = latest(taken)
    rows, at = [], temperature_of(assessment)
    for each in taken:
        rows.append((each.date or "no date", f"{each.point.title}: {each.point.words}",
                     condition_words(assessment, each.point, each.condition),
                     expected_words(expected(assessment, each.point, each.condition), each.point),
                     limit_words(limit_for(assessment, each.point, each.condition, at), each.point), each.raw,
                     each.instrument or "not stated",
                     said_words(verdict_on(assessment, each, beside)), "yes" if each.accepted else ""))
    yield Table("readings", _COLUMNS, tuple(rows))
    for gone in lost:
        yield Words(f"Not counted: {gone.words}", "caution")
    still = [item for item in ready(assessment) if item.kind != "unsigned"]
    yield Words(f"Still open: {len(still)} (paper ready-list).", "caution" if still else "plain")
    yield Words(NO_CLAIM, "caution")
    yield to_sign("Recorded by")


SHEET = Sheet("acceptance-record", "Acceptance record", 145, "readings with their dates, as the car was handed over",
              blocks, landscape=True)
