"""The fuse map: every box as it looks, every fuse with what it protects, what sits outside the boxes, the spares."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.buying import SPARES
from fuseplan.build.facts import BuildFacts, build_facts
from fuseplan.build.fuse_maps import AnyFuse, BoxMap, FittedFuse, Slot
from fuseplan.build.terminals import holder_words
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.build_cells import CHECK, DANGER, colour_cell, fuse_text, rating_cell, verdict_words, wire_words
from fuseplan.papers.columns import VERDICT_WORDS, takes_words
from fuseplan.papers.paper import Block, BoxCell, BoxGrid, Cell, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing

NEVER_LARGER = "Never fit a larger fuse than the one on this paper: the wire behind it becomes the fuse."

_FUSES = (TableColumn("position", "Position"), TableColumn("fuse_a", "Fuse", "fuse A", True),
          TableColumn("colour", "Colour"), TableColumn("type", "Type"), TableColumn("protects", "Protects"),
          TableColumn("feed", "Feed"), TableColumn("wire", "Wire"),
          TableColumn("most_a", "Position takes", "fuse A", True), CHECK)
_ELSEWHERE = (TableColumn("protects", "Protects"), TableColumn("fuse_a", "Fuse", "fuse A", True),
              TableColumn("colour", "Colour"), TableColumn("type", "Type"), TableColumn("where", "Where it sits"),
              TableColumn("wire", "Wire"), CHECK)
_SPARES = (TableColumn("fuse", "Fuse"), TableColumn("fitted", "Fitted", number=True),
           TableColumn("spare", "Spare, at least", number=True))


def box_grid(assessment: Assessment, box: BoxMap, card: bool = False) -> BoxGrid | None:
    """A box as it looks; None where the plan does not say how."""
    if box.rows is None or box.columns is None:
        return None
    cells = tuple(_cell(assessment, slot, card) for slot in box.slots if slot.row is not None)
    return BoxGrid(box.title, box.rows, box.columns, cells, card)


def _cell(assessment: Assessment, slot: Slot, card: bool) -> BoxCell:
    assert slot.row is not None
    assert slot.column is not None
    place = (slot.row, slot.column, slot.way.position)
    if not slot.fuses:
        return BoxCell(*place, "spare", () if card else (takes_words(slot.way.part),), "spare")
    against = notes_of(assessment, slot)
    lines = tuple(line for fuse in slot.fuses for line in (() if card else (fuse.result.kind,)) + (fuse.title,))
    return BoxCell(*place, " / ".join(map(fuse_text, slot.fuses)), (*lines, *against),
                   "danger" if slot.wrong or DANGER in against else "fitted")


def notes_of(assessment: Assessment, slot: Slot) -> tuple[str, ...]:
    """What stands against a fuse in its position: it may not sit there, danger, not known; empty where nothing does."""
    verdicts = {verdict_words(assessment, fuse.owner) for fuse in slot.fuses}
    return (*((slot.wrong,) if slot.wrong else ()),
            *(words for words in (DANGER, VERDICT_WORDS["unknown"]) if words in verdicts))


def _row(facts: BuildFacts, slot: Slot, fuse: FittedFuse | None) -> tuple[Cell, ...]:
    assessment, part = facts.assessment, slot.way.part
    feed = title_of(assessment.plan, "feed", slot.way.feed)
    most: Cell = writing.NONE if part.largest is None else float(part.largest)
    if fuse is None:
        return slot.way.position, "spare", writing.NONE, part.kind or writing.NONE, writing.NONE, feed, writing.NONE, \
            most, writing.NONE
    verdict = f"✗ {slot.wrong}" if slot.wrong else verdict_words(assessment, fuse.owner)
    return slot.way.position, rating_cell(fuse), colour_cell(fuse), fuse.result.kind, fuse.title, feed, \
        _behind(facts, fuse), most, verdict


def _behind(facts: BuildFacts, fuse: AnyFuse) -> str:
    """Number and size of the wire right behind a fuse."""
    own = [piece for piece in facts.owned.get(fuse.owner, ()) if not piece.returns]
    if fuse in facts.far_fuses:
        own = [piece for piece in reversed(own) if piece.place.startswith("wire.")]
    return f"{own[0].number}: {wire_words(own[0])}" if own else "no wire in the plan"


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """The boxes, the fuses, the spares."""
    facts = build_facts(assessment)
    yield Words(NEVER_LARGER, "caution")
    for box in facts.boxes:
        grid = box_grid(assessment, box)
        if grid is not None:
            yield grid
        else:
            yield Words(f"{box.title}: the plan does not say how many rows and columns it has; its positions are "
                        "listed below.", "note")
        yield Table("positions", _FUSES, tuple(
            _row(facts, slot, fuse) for slot in box.slots for fuse in slot.fuses or (None,)), box.title,
            about=box.title)
    elsewhere: tuple[AnyFuse, ...] = (*facts.loose_fuses, *facts.far_fuses)
    if elsewhere:
        yield Table("elsewhere", _ELSEWHERE, tuple(
            (fuse.title, rating_cell(fuse), colour_cell(fuse), fuse.kind_words, _where(fuse), _behind(facts, fuse),
             verdict_words(assessment, fuse.owner)) for fuse in elsewhere), "Fuses outside the boxes")
    yield Table("spares", _SPARES, tuple(
        (line.item, line.net, float(SPARES) if line.net is not None else None)
        for line in facts.buying if line.group == "Fuses"), "Spare fuses to keep in the car",
        note="One of each type and rating at least: a state's equipment specification; 49 CFR 393.95(b), second-hand.")


def _where(fuse: AnyFuse) -> str:
    if fuse.holder:
        return holder_words(fuse.holder)
    return f"position {fuse.position}, in no box of the plan" if fuse.position else "not stated"


SHEET = Sheet("fuse-map", "Fuse map", 20, "every fuse box as it looks, every fuse with colour and circuit", blocks,
              landscape=True)
