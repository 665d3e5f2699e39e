"""Blocks as the plain data that the templates of PDF are given."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
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
_WITHIN = re.compile(r"[_/;:=](?=\w)|[.,](?=[^\W\d_])|[^\s_/.,;:=-]{24}(?=[^\s])")
"""Behind what a word may be broken; a number never is at its point."""
_KEPT = 20
"""Letters of a word that is never broken: whoever looks for it in the PDF finds it."""
_LETTER_MM, _DENSE_MM = 1.7, 1.5
"""Width of a letter in a table, and in one of many columns."""
DENSE = 9
"""Columns from more than which on a table is set in smaller letters."""
_BOLD = 1.1
"""Width of a bold letter over that of a plain one."""
_CAPITAL = 0.25
"""How much wider a capital is than the other letters."""
_SHORT = 12
"""Letters up to which a column of text takes its own width."""
_MOST_WHOLE = 1500
"""Letters in a row up to which it is never parted by the end of a page; well below what fills one."""
_SHORT_PAIR = 44
"""Letters up to which the words before a value take their own width."""
_LONGEST = 70
"""Letters beyond which a column is not made wider."""
LABEL_LIST = (TableColumn("sheet", "Sheet"), TableColumn("number", "Label", "", True), TableColumn("text", "Text"),
              TableColumn("where", "Goes on"))
"""Columns of the list before the label sheets."""


def block_data(block: Block, room_mm: float) -> dict[str, Any]:
    """A block as plain data, with its kind under ``block``."""
    match block:
        case Words(text, role):
            return {"block": "words", "text": text, "role": role}
        case Table():
            return {"block": "table", **_table(block, room_mm)}
        case Pairs(items):
            return {"block": "pairs", "items": items, "short": all(width(words) <= _SHORT_PAIR for words, _ in items)}
        case BoxGrid():
            return {"block": "box-grid", **asdict(block)}
        case LabelSheet():
            return {"block": "labels", **_labels(block, room_mm)}
        case Drawing():
            return {"block": "drawing", "svg": block.svg, "words": block.words, "width_mm": block.width_mm,
                    "height_mm": block.height_mm, "room_mm": room_mm}
        case TickBoxes(items):
            return {"block": "ticks", "items": items}
        case NewPage():
            return {"block": "new-page"}


def _table(table: Table, room_mm: float) -> dict[str, Any]:
    shown = [number for number, column in enumerate(table.columns) if column.key != table.group]
    columns = [table.columns[number] for number in shown]
    rows: list[dict[str, Any]] = []
    for words, members in grouped(table):
        if words is not None:
            rows.append({"group": words, "cells": []})
        rows += [{"group": None, "cells": [table.columns[at].written(row[at]) for at in shown]} for row in members]
    for row in rows:
        # A long text may go on over the page; a short one is read in one look.
        row["whole"] = sum(map(len, row["cells"])) <= _MOST_WHOLE
        row["by_hand"] = row["group"] is None and not any(row["cells"])
    texts = [[row["cells"][place] for row in rows if row["group"] is None] for place in range(len(columns))]
    return {"title": table.title, "note": table.note, "headings": [column.whole_heading for column in columns],
            "aligns": ["right" if column.number else "left" for column in columns], "rows": rows,
            "widths": _widths(columns, texts, room_mm)}


def breakable(text: str) -> str:
    """A text whose words may be broken: behind their joining signs, and anywhere in what is longer than any word."""
    return " ".join(_WITHIN.sub(rf"\g<0>{_BREAK}", word) if len(word) > _KEPT else word for word in text.split(" "))


def _widths(columns: Sequence[TableColumn], texts: Sequence[Sequence[str]], room_mm: float) -> list[dict[str, float]]:
    """How wide each column is: in mm to be filled in, as wide as its text (a share of 0), or its share of what is left,
    which holds its longest word where there is room for that."""
    letter_mm = _DENSE_MM if len(columns) > DENSE else _LETTER_MM
    sizes = [[width(cell) for cell in cells] for cells in texts]
    heads = [max(map(width, column.whole_heading.split()), default=0) for column in columns]
    longest = [max([*found, head]) for found, head in zip(sizes, heads, strict=True)]
    own = [column.number or most <= _SHORT for column, most in zip(columns, longest, strict=True)]
    # A long heading of figures is set in two lines, so that its column does not squeeze those of texts beside it.
    two_lines = {at: (max(max(sizes[at], default=0), _BOLD * _halved(column.whole_heading)) + 2) * letter_mm
                 for at, column in enumerate(columns)
                 if column.number and not column.fill_in and width(column.whole_heading) > _SHORT and not all(own)}
    # A column as wide as its text has its heading on one line.
    left_mm = room_mm - sum(column.by_hand_mm if column.fill_in else two_lines.get(
        at, (max(longest[at], width(column.whole_heading)) + 1) * letter_mm)
        for at, column in enumerate(columns) if column.fill_in or own[at])
    shared = [at for at, column in enumerate(columns) if not (column.fill_in or own[at])]
    # Between mean and longest: the mean alone squeezes the one long cell, the longest alone the other columns.
    shares = {at: min(max(math.sqrt(sum(sizes[at]) / max(len(sizes[at]), 1) * longest[at]), float(_SHORT)),
                      float(_LONGEST)) for at in shared}
    least = {at: 1.5 + max([heads[at], *(width(word) + _CAPITAL * sum(map(str.isupper, word)) for cell in texts[at]
                                         for word in breakable(cell).replace(_BREAK, " ").split())])
             for at in shared}
    fair = _with_least(shares, least, left_mm / letter_mm)
    return [{"mm": column.by_hand_mm} if column.fill_in else {"mm": two_lines[at]} if at in two_lines else
            {"share": fair.get(at, 0.0)} for at, column in enumerate(columns)]


def _halved(heading: str) -> int:
    """Width in letters in which a heading takes two lines at most."""
    words = [width(word) for word in heading.split()]
    return min(max(sum(words[:cut]) + cut - 1, sum(words[cut:]) + len(words) - cut - 1)
               for cut in range(1, len(words) + 1))


def _with_least(shares: Mapping[int, float], least: Mapping[int, float], room: float) -> dict[int, float]:
    """Shares of a room, none below its least as long as the room holds them all."""
    held: dict[int, float] = {}
    while shares.keys() - held.keys():
        left = max(room - sum(held.values()), 1.0)
        whole = sum(share for at, share in shares.items() if at not in held)
        short = [at for at, share in shares.items() if at not in held and share / whole * left < least[at]]
        if not short:
            return held | {at: share / whole * left for at, share in shares.items() if at not in held}
        held |= {at: least[at] for at in short}
    return held


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
    """The labels as a list, sheet by sheet: number on the sheet, text, where it goes."""
    sheets = -(-(block.first - 1 + len(block.labels)) // block.stock.per_sheet)
    return Table("labels", LABEL_LIST, tuple(
        (sheet_name(sheet + 1, sheets), float(place + 1), " / ".join(label.lines), label.where)
        for number, label in enumerate(block.labels, block.first - 1)
        for sheet, place in (divmod(number, block.stock.per_sheet),)), group="sheet",
        note="A text that is too long for its label is set smaller than the others.")


def sheet_name(number: int, count: int) -> str:
    """What a sheet of labels is called."""
    return f"sheet {number} of {count}"


def cut(text: str, most: int) -> str:
    """A text for the head or foot of a page, where only so many letters have room."""
    return text if len(text) <= most else f"{text[:most - 1]}…"


def ruler_left_mm(stock: LabelStock) -> float:
    """Where the ruler begins on a sheet of labels: in its margin, away from the edge that printers leave blank."""
    return min(max(stock.left_margin_mm, 6.0), max(stock.sheet_width_mm - 106.0, 0.0))


def _labels(block: LabelSheet, room_mm: float) -> dict[str, Any]:
    sheets = sheets_of(block)
    return {"list": _table(label_list(block), room_mm), "stock": asdict(block.stock),
            "strip_mm": block.stock.top_margin_mm if block.stock.sheet_width_mm >= 110.0 else 0.0,
            "ruler_left_mm": ruler_left_mm(block.stock),
            "sheets": [{"name": sheet_name(number, len(sheets)), "labels": [
                {"lines": label.lines, "height_mm": label.height_mm, "left": left, "top": top,
                 "wrap": label.wrap_mm is not None} for label, left, top in members]}
                for number, members in enumerate(sheets, 1)]}
