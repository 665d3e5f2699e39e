"""The labels of both ends of every wire on a sheet, and how many marks each wire gets along its length."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.facts import build_facts
from fuseplan.build.marks import READING_MM, cable_marks, letter_height_mm, wire_labels
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.build_cells import idle_left_out, unsettled
from fuseplan.papers.paper import Block, Label, LabelSheet, NewPage, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.quantities import writing
from fuseplan.tables.building import visual_angle_arc_min, wire_mark_mm

_MARKS = (TableColumn("wire", "Wire"), TableColumn("text", "Text"), TableColumn("start", "Label at the start: to"),
          TableColumn("end", "Label at the end: to"),
          TableColumn("marks", "Marks", number=True, side="burden"),
          TableColumn("wrap_mm", "Wrap", "mm", True, "burden"))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The sheet of labels, then the list of marks."""
    facts = build_facts(assessment)
    pieces = facts.needed
    yield from idle_left_out(facts)
    if not pieces:
        yield Words("The plan has no wires to label yet.", "note")
        return
    both = [(piece, wire_labels(piece)) for piece in pieces]
    yield from unsettled(assessment)
    yield LabelSheet(tuple(Label(label.lines, label.height_mm, label.wrap_mm, label.where)
                           for _, labels in both for label in labels) + tuple(
        Label((line.name, *line.ends_of_shield(at)), letter_height_mm(), None, f"{line.name}, {side}")
        for line in facts.cables for at, side in enumerate(("start", "end"))), wishes.stock, wishes.first_label)
    yield NewPage()
    yield Words(f"Letters at least {writing.typed(letter_height_mm())} mm high, to be "
                f"read from {writing.stated(READING_MM, 'mm')} (NUREG-0700 rev. 2, 1.3.1-4: "
                f"{writing.typed(visual_angle_arc_min('preferred from').value)} minutes of arc). Marks: none on a wire "
                f"below {_mark('shortest marked')}, one near its middle up to {_mark('one mark up to')}, else at each "
                f"end and no more than {_mark('apart at most')} apart (AC 43.13-1B par. 11-208). Wrap: the least "
                "length of a label that goes round the wire and over its own print. No metal bands; no hot stamp on "
                "insulation of 0.25 mm or less. A core of a cable is marked at its ends, the cable's jacket along its "
                "length: those marks are counted with its first core. "
                "Set the label so that it is read from left to right or from top to bottom.", "note")
    yield Table("marks", _MARKS, tuple(
        (piece.number, piece.label, piece.end.words, piece.start.words,
         None if (marks := cable_marks(piece, facts.cable_of.get(piece.key))) is None else float(marks), first.wrap_mm)
        for piece, (first, second) in both), "Marks on every wire")


def _mark(what: str) -> str:
    return writing.stated(wire_mark_mm(what).value, "mm")


SHEET = Sheet("labels", "Wire labels", 50, "a sheet of labels for both ends of every wire; marks along it", blocks)
