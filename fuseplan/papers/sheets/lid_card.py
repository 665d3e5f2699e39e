"""The card for the lid of each fuse box: to be cut out, readable in black and white."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import Assessment
from fuseplan.papers.build_cells import fuse_text
from fuseplan.papers.paper import Block, NewPage, Pairs, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.papers.sheets.fuse_map import NEVER_LARGER, box_grid

_LIST = (TableColumn("position", "Position"), TableColumn("fuse", "Fuse"), TableColumn("protects", "Protects"))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """One card a box, with the fuses before it."""
    facts = build_facts(assessment)
    if not facts.boxes:
        yield Words("The plan has no fuse box.", "note")
    for number, box in enumerate(facts.boxes, 1):
        if number > 1:
            yield NewPage()
        grid = box_grid(assessment, box, card=True)
        yield grid if grid is not None else Table("card", _LIST, tuple(
            (slot.way.position, " / ".join(map(fuse_text, slot.fuses)) or "spare",
             " / ".join(fuse.title for fuse in slot.fuses)) for slot in box.slots), box.title, about=box.title)
        before = [fuse for fuse in facts.loose_fuses if fuse.owner[0] == "feed" and fuse.owner[1] in box.feeds]
        yield Pairs((*((f"Fuse before it: {fuse.title}", fuse_text(fuse)) for fuse in before),
                     ("Spare fuses are kept at", "....................")))
        yield Words(NEVER_LARGER, "caution")


SHEET = Sheet("lid-card", "Card for the fuse box lid", 25, "position, rating, colour word and circuit, to cut out",
              blocks)
