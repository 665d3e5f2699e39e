"""The card for the lid of each fuse box: to be cut out, readable in black and white."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.facts import build_facts
from fuseplan.build.fuse_maps import Slot
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.build_cells import fuse_text
from fuseplan.papers.paper import BY_HAND, Block, NewPage, Pairs, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.papers.sheets.fuse_map import NEVER_LARGER, box_grid, notes_of

_LIST = (TableColumn("position", "Position"), TableColumn("fuse", "Fuse"), TableColumn("protects", "Protects"),
         TableColumn("note", "Note"))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """One card a box, with the fuses before it."""
    facts = build_facts(assessment)
    if not facts.boxes:
        yield Words("The plan has no fuse box.", "note")
    for number, box in enumerate(facts.boxes, 1):
        if number > 1:
            yield NewPage()
        grid = box_grid(assessment, box, card=True)
        if grid is not None:
            yield grid
        listed = [slot for slot in box.slots if grid is None or slot.row is None]
        if listed or grid is None:
            yield Table("card", _LIST, tuple(_row(assessment, slot) for slot in listed),
                        box.title if grid is None else f"{box.title}: positions outside its rows", about=box.title)
        before = [fuse for fuse in facts.loose_fuses if fuse.owner[0] == "feed" and fuse.owner[1] in box.feeds]
        yield Pairs((*((f"Fuse before it: {fuse.title}", fuse_text(fuse)) for fuse in before),
                     ("Spare fuses are kept at", BY_HAND)))
        yield Words(NEVER_LARGER, "caution")


def _row(assessment: Assessment, slot: Slot) -> tuple[str, ...]:
    return slot.way.position, " / ".join(map(fuse_text, slot.fuses)) or "spare", \
        " / ".join(fuse.title for fuse in slot.fuses), "; ".join(notes_of(assessment, slot))


SHEET = Sheet("lid-card", "Card for the fuse box lid", 25, "position, rating, colour word and circuit, to cut out",
              blocks)
