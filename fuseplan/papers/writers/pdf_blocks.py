"""Blocks as the plain data that the templates of PDF are given."""

from __future__ import annotations

import math
import re
from dataclasses import asdict
from typing import Any

from fuseplan.papers.harmless import width
from fuseplan.papers.label_stock import LabelStock
from fuseplan.papers.paper import (
    Block,
    BoxGrid,
    Drawing,
    Label,
    LabelSheet,
    NewPage,
    Pairs,
    Table,
    TableColumn,
    TickBoxes,
    Words,
)
from fuseplan.papers.writers.text import grouped

_BREAK = "\u200b"
"""A place where a line may end, and nothing is printed."""
_WITHIN = re.compile(r"[_/.,;:=](?=\w)|[^\s_/.,;:=-]{24}(?=[^\s])")
_KEPT = 7
"""Letters of a word that is never broken."""
_SHORT = 12
"""Letters up to which a column of text takes its own width."""
_MOST_WHOLE = 1500
"""Letters in a row up to which it is never parted by the end of a page; well below what fills one."""
_LONGEST = 70
"""Letters beyond which a column is not made wider."""
_FILL_IN = 16
"""Letters that a column to be filled in by hand is as wide as."""
LABEL_LIST = (TableColumn("number", "Label", "", True), TableColumn("text", "Text"), TableColumn("where", "Goes on"))
"""Columns of the list before the label sheets."""


def block_data(block: Block, room_mm: float) -> dict[str, Any]:
    """A block as plain data, with its kind under ``block``."""
    match block:
        case Words(text, role):
            return {"block": "words", "text": text, "role": role}
        case Table():
            return {"block": "table", **_table(block)}
        case Pairs(items):
            return {"block": "pairs", "items": items}
        case BoxGrid():
            return {"block": "box-grid", **asdict(block)}
        case LabelSheet():
            return {"block": "labels", **_labels(block)}
        case Drawing():
            return {"block": "drawing", "svg": block.svg, "words": block.words, "width_mm": block.width_mm,
                    "height_mm": block.height_mm, "room_mm": room_mm}
        case TickBoxes(items):
            return {"block": "ticks", "items": items}
        case NewPage():
            return {"block": "new-page"}


def _table(table: Table) -> dict[str, Any]:
    shown = [number for number, column in enumerate(table.columns) if column.key != table.group]
    columns = [table.columns[number] for number in shown]
    rows: list[dict[str, Any]] = []
    for words, members in grouped(table):
        if words is not None:
            rows.append({"group": words, "cells": []})
        rows += [{"group": None, "cells": [breakable(table.columns[at].written(row[at])) for at in shown]}
                 for row in members]
    for row in rows:
        # A long text may go on over the page; a short one is read in one look.
        row["whole"] = sum(map(len, row["cells"])) <= _MOST_WHOLE
    texts = [[row["cells"][place] for row in rows if row["group"] is None] for place in range(len(columns))]
    return {"title": table.title, "note": table.note, "headings": [column.whole_heading for column in columns],
            "aligns": ["right" if column.number else "left" for column in columns], "rows": rows,
            "widths": [_share(column, cells) for column, cells in zip(columns, texts, strict=True)]}


def breakable(text: str) -> str:
    """A text whose words may be broken: behind their joining signs, and anywhere in what is longer than any word."""
    return " ".join(_WITHIN.sub(rf"\g<0>{_BREAK}", word) if len(word) > _KEPT else word for word in text.split(" "))


def _share(column: TableColumn, cells: list[str]) -> float:
    """Share of the width a column gets, 0 for as wide as its text."""
    if column.fill_in:
        return float(_FILL_IN)
    sizes = [width(cell) for cell in cells]
    longest = max([*sizes, *map(width, column.whole_heading.split())], default=0)
    if column.number or longest <= _SHORT:
        return 0.0
    mean = sum(sizes) / len(sizes)
    word = max((width(word) for cell in cells for word in cell.replace(_BREAK, " ").split()), default=0)
    # Between mean and longest: the mean alone squeezes the one long cell, the longest alone the other columns.
    return min(max(math.sqrt(mean * longest), float(_SHORT), float(word)), float(_LONGEST))


def sheets_of(block: LabelSheet) -> list[list[tuple[Label, float, float]]]:
    """The labels of each sheet with left and upper edge in mm, the first sheet from its first free label on."""
    corners = list(block.stock.corners())
    found: list[list[tuple[Label, float, float]]] = []
    for number, label in enumerate(block.labels, block.first - 1):
        sheet, place = divmod(number, block.stock.per_sheet)
        if sheet == len(found):
            found.append([])
        found[sheet].append((label, *corners[place]))
    return found


def label_list(block: LabelSheet) -> Table:
    """The labels as a list: number on the sheet, text, where it goes."""
    return Table("labels", LABEL_LIST, tuple(
        (float((number - 1) % block.stock.per_sheet + 1), " / ".join(label.lines), label.where)
        for number, label in enumerate(block.labels, block.first)), note="A text that is too long for its label is set "
        "smaller than the others.")


def ruler_left_mm(stock: LabelStock) -> float:
    """Where the ruler begins on a sheet of labels: in its margin, away from the edge that printers leave blank."""
    return min(max(stock.left_margin_mm, 6.0), max(stock.sheet_width_mm - 106.0, 0.0))


def _labels(block: LabelSheet) -> dict[str, Any]:
    sheets = sheets_of(block)
    return {"list": _table(label_list(block)), "stock": asdict(block.stock),
            "strip_mm": block.stock.top_margin_mm if block.stock.sheet_width_mm >= 110.0 else 0.0,
            "ruler_left_mm": ruler_left_mm(block.stock),
            "sheets": [{"name": f"sheet {number} of {len(sheets)}", "labels": [
                {"lines": label.lines, "height_mm": label.height_mm, "left": left, "top": top,
                 "wrap": label.wrap_mm is not None} for label, left, top in members]}
                for number, members in enumerate(sheets, 1)]}
