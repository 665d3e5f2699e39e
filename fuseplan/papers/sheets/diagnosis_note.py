"""The diagnosis note: for every circuit that was read, the most probable faults with their evidence, and what to read
next."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.bench.diagnosis_readings import diagnosed, read_circuits
from fuseplan.bench.diagnosis_records import Diagnosis
from fuseplan.bench.meter_figures import about, shown
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.bench_text import CAUTION
from fuseplan.papers.bench_words import where_words
from fuseplan.papers.diagnosis_text import (
    asked_condition,
    by_what_they_say,
    fix_words,
    good_words,
    likely,
    share_words,
    size_words,
    speaks,
)
from fuseplan.papers.paper import Block, Sheet, Table, TableColumn, Wishes, Words, to_sign
from fuseplan.plan.part_names import title_of

_SUSPECTS = (TableColumn("order", "Order"), TableColumn("fault", "Fault"), TableColumn("size", "Size"),
             TableColumn("share", "Probable"), TableColumn("do", "Do"), TableColumn("found", "Found", fill_in=True))
_EVIDENCE = (TableColumn("what", "Reading"), TableColumn("read", "Read"), TableColumn("good", "In good order"),
             TableColumn("with_fault", "With the first fault"), TableColumn("speaks", "Says"))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """Circuit by circuit."""
    circuits, refused = read_circuits(assessment)
    yield Words("A diagnosis is the most probable cause in the light of the readings, never a proof. What was not read "
                "is not judged.", "caution")
    if not circuits and not refused:
        yield Words("No circuit has been read yet.", "note")
    for name in circuits:
        yield from _circuit(assessment, diagnosed(assessment, name))
    for why in refused.values():
        yield Words(f"{why}.", "caution")
    yield Words(CAUTION, "caution")
    yield to_sign("Found and put right")


def _circuit(assessment: Assessment, found: Diagnosis) -> Iterator[Block]:
    title = title_of(assessment.plan, "circuit", found.circuit)
    yield Words(title, "heading")
    named = likely(found)
    yield Table("suspects", _SUSPECTS, tuple(
        (str(number), each.fault.words, size_words(each), share_words(each.weight), fix_words(each), "")
        for number, each in enumerate(named, 1)), about=title)
    evidence = by_what_they_say(named[0].evidence)
    if evidence:
        yield Table("evidence", _EVIDENCE, tuple(
            (f"{each.point.title}: {each.point.words}", shown(each.read, each.point), good_words(each),
             about(each.with_fault, each.point.unit), "not as in good order" if speaks(each) else "as in good order")
            for each in evidence), about=title)
    if found.next is not None and not found.settled:
        point = found.next.point
        yield Words(f"Read next: {point.title}, {point.words}; {where_words(point)}; "
                    f"{asked_condition(found.next, assessment, found.circuit)}.")


SHEET = Sheet("diagnosis-note", "Diagnosis", 87, "the most probable faults of every circuit that was read, and what to "
              "read next", blocks, landscape=True)
