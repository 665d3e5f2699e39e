"""A long paper cut into pieces that are set one by one: memory grows with the length of what is set at once."""

from __future__ import annotations

from dataclasses import replace

from fuseplan.papers.paper import Block, BoxGrid, LabelSheet, NewPage, Pairs, Paper, Table, TickBoxes

MOST_LINES = 1600
"""Lines of tables and lists in one piece: some 40 to 50 pages, up to 200 MB while it is set."""


def lines_of(paper: Paper) -> int:
    """About how many lines of tables and lists a paper has."""
    return sum(map(_lines, paper.blocks))


def pieces(paper: Paper) -> list[Paper]:
    """The paper whole, or in pieces of at most about `MOST_LINES` lines, cut at new pages and within long tables."""
    found: list[list[Block]] = [[]]
    held = 0
    for block in (part for each in paper.blocks for part in _cut(each)):
        lines = _lines(block)
        # At a new page a piece may be shorter, so that what belongs together stays so.
        full = held + lines > MOST_LINES or (isinstance(block, NewPage) and held > MOST_LINES * 2 // 3)
        if found[-1] and full:
            found.append([])
            held = 0
        if not (isinstance(block, NewPage) and not found[-1]):
            found[-1].append(block)
            held += lines
    return [replace(paper, blocks=tuple(blocks)) for blocks in found]


def _cut(block: Block) -> list[Block]:
    """A block in parts that each fit a piece; labels begin at the first of a sheet from the second part on."""
    if isinstance(block, Table) and len(block.rows) > MOST_LINES:
        return [replace(block, rows=block.rows[at:at + MOST_LINES], title=block.title if at == 0 else
                        f"{block.title} (continued)".strip()) for at in range(0, len(block.rows), MOST_LINES)]
    if isinstance(block, LabelSheet) and len(block.labels) > MOST_LINES:
        parts, at, first = list[Block](), 0, block.first
        while at < len(block.labels):
            sheets = MOST_LINES // block.stock.per_sheet or 1
            taken = sheets * block.stock.per_sheet - (first - 1)
            parts.append(replace(block, labels=block.labels[at:at + taken], first=first))
            at, first = at + taken, 1
        return parts
    return [block]


def _lines(block: Block) -> int:
    match block:
        case Table(rows=rows):
            return len(rows) + 3
        case LabelSheet(labels=labels):
            return len(labels)
        case Pairs(items) | TickBoxes(items):
            return len(items)
        case BoxGrid(rows=rows):
            return rows * 4
    return 2
