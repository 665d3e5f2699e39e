"""Papers that hold every kind of block, every text of them made by the caller."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from fuseplan.papers.label_stock import usual_stock
from fuseplan.papers.paper import (
    Block,
    BoxCell,
    BoxGrid,
    Drawing,
    Label,
    LabelSheet,
    Marked,
    NewPage,
    Pairs,
    Paper,
    Table,
    TableColumn,
    TickBoxes,
    Words,
)
from fuseplan.papers.paper_set import Head, PaperSet, harmless

SVG = ('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 40" width="100mm" height="40mm">'
       '<line x1="0" y1="20" x2="100" y2="20" stroke="#000"/><text x="5" y="15" font-size="5">drawn</text></svg>')
STOCK = replace(usual_stock(), label_width_mm=38.1, label_height_mm=21.2, left_margin_mm=4.75, top_margin_mm=10.7,
                column_gap_mm=2.5)


def every_block(text: Callable[[str], str]) -> tuple[Block, ...]:
    """One block of each kind and role; `text` makes each text from a word that says what it is."""
    return (
        Words(text("heading"), "heading"), Words(text("plain")), Words(text("note"), "note"),
        Words(text("caution"), "caution"), Words(text("danger"), "danger"),
        Table("parts", (
            TableColumn("group", text("group head")), TableColumn("what", text("what head")),
            TableColumn("length_m", "Length", "m", True, "burden"), TableColumn("fuse_a", "Fuse", "fuse A", True),
            TableColumn("reading", "Reading", fill_in=True)), (
                (text("group 1"), text("cell 1"), 1.234567, 7.5, ""),
                (text("group 1"), text("cell 2"), None, Marked(15.0, "*"), ""),
                (text("group 2"), Marked(text("cell 3"), "†"), 0.3, "unfused", "")),
            title=text("table title"), group="group", note=text("table note")),
        Pairs(((text("pair"), text("value")),)),
        BoxGrid(text("box"), 2, 3, (
            BoxCell(1, 1, text("F1"), text("15 A blue"), (text("circuit"),)),
            BoxCell(1, 2, "F2", "empty", kind="empty", rows=2), BoxCell(2, 1, "F3", "30 A", kind="danger"))),
        Drawing("loom", SVG, 100.0, 40.0, text("drawing")),
        TickBoxes((text("tick"),)), NewPage(),
        LabelSheet((Label((text("label"), "second"), 1.75, None, text("where")), Label(("W2",), 3.0, 9.1)), STOCK, 4))


def sample_set(text: Callable[[str], str] = str, dangers: int = 2) -> PaperSet:
    """Two papers, one upright and one landscape, both with every block."""
    head = Head(text("plan name"), text("revision"), "2026-03-29", text("limits"), text("notice"), dangers, 1, 1)
    return harmless(PaperSet(head, (Paper("one", text("title one"), every_block(text)),
                                    Paper("two", text("title two"), every_block(text), landscape=True, tagged=True))))
