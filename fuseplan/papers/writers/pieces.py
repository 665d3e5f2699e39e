"""A long paper cut into pieces that are set one by one: memory grows with the length of what is set at once."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from fuseplan.papers.paper import Block, BoxGrid, Cell, LabelSheet, NewPage, Pairs, Paper, Table, TickBoxes

MOST_CELLS = 9000
"""Short cells of tables and lists in one piece: some 30 to 80 pages, up to 160 MB while it is set."""
MOST_WHOLE = 12_000
"""Cells up to which a paper stays whole: one long piece among short ones does little harm, and the papers of an
ordinary car are not parted."""
LONG = 24
"""Letters after which a text counts as one more cell."""
HEAD_ROWS = 3
"""Rows that title and headings of a table take."""
LABEL_CELLS = 5
"""A label stands in the list before the sheets, in three cells, and on its sheet, where it is measured."""


def cells_of(paper: Paper) -> int:
    """About how many cells of tables and lists a paper has."""
    return sum(map(_cells, paper.blocks))


def pieces(paper: Paper) -> list[Paper]:
    """The paper whole, or in pieces of at most about `MOST_CELLS` cells, cut at new pages and within long tables."""
    if cells_of(paper) <= MOST_WHOLE:
        return [paper]
    found: list[list[Block]] = [[]]
    held = 0
    for block in (part for each in paper.blocks for part in _cut(each)):
        cells = _cells(block)
        # At a new page a piece may be shorter, so that what belongs together stays so.
        full = held + cells > MOST_CELLS or (isinstance(block, NewPage) and held > MOST_CELLS * 2 // 3)
        if found[-1] and full:
            found.append([])
            held = 0
        if not (isinstance(block, NewPage) and not found[-1]):
            found[-1].append(block)
            held += cells
    return [replace(paper, blocks=tuple(blocks)) for blocks in found]


def _cut(block: Block) -> list[Block]:
    """A block in parts that each fit a piece; labels begin at the first of a sheet from the second part on."""
    if _cells(block) <= MOST_CELLS:
        return [block]
    if isinstance(block, Table):
        return [replace(block, rows=rows, title=f"{block.title} (continued)".strip() if number else block.title)
                for number, rows in enumerate(_rows_in_pieces(block))]
    if isinstance(block, LabelSheet):
        parts, at, first = list[Block](), 0, block.first
        while at < len(block.labels):
            sheets = MOST_CELLS // LABEL_CELLS // block.stock.per_sheet or 1
            taken = sheets * block.stock.per_sheet - (first - 1)
            parts.append(replace(block, labels=block.labels[at:at + taken], first=first))
            at, first = at + taken, 1
        return parts
    return [block]


def _rows_in_pieces(table: Table) -> list[tuple[tuple[Cell, ...], ...]]:
    """The rows of a table, at least one in each piece."""
    starts, held = [0], 0
    head = HEAD_ROWS * len(table.columns)
    for number, row in enumerate(table.rows):
        cells = _cells_of_row(table, row)
        if held and head + held + cells > MOST_CELLS:
            starts.append(number)
            held = 0
        held += cells
    return [table.rows[start:end] for start, end in pairwise([*starts, len(table.rows)])]


def _cells_of_row(table: Table, row: tuple[Cell, ...]) -> int:
    return sum(1 + len(column.written(cell)) // LONG for column, cell in zip(table.columns, row, strict=True))


def _cells(block: Block) -> int:
    match block:
        case Table(rows=rows, columns=columns):
            return HEAD_ROWS * len(columns) + sum(_cells_of_row(block, row) for row in rows)
        case LabelSheet(labels=labels):
            return len(labels) * LABEL_CELLS
        case Pairs(items):
            return sum(2 + len(value) // LONG for _, value in items)
        case TickBoxes(items):
            return len(items)
        case BoxGrid(rows=rows, columns=columns):
            return rows * columns * 4
    return 2
