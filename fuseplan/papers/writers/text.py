"""Papers as plain text: files, and the preview on the screens."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path

from fuseplan.papers.columns import Column
from fuseplan.papers.harmless import width
from fuseplan.papers.layout import table
from fuseplan.papers.paper import (
    Block,
    BoxGrid,
    Cell,
    Drawing,
    LabelSheet,
    NewPage,
    Pairs,
    Paper,
    Table,
    TableColumn,
    TickBoxes,
    Words,
)
from fuseplan.papers.paper_set import Head, PaperSet, marks_of
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted, wrap
from fuseplan.quantities import writing
from fuseplan.quantities.decimals import unit_words

ROOM = 120
"""Columns of a text file."""
INDENT = "  "
_NARROWEST_PLACE = 9
"""Columns that a place of a fuse box needs; below it is listed."""
_NARROWEST_VALUE = 24
"""Columns that a value beside its words needs; below it stands under them."""
_BEGINS = {"danger": "DANGER: ", "caution": "⚠ ", "note": "", "plain": ""}

Row = tuple[Cell, ...]


def files(papers: PaperSet, templates: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """One file a paper."""
    for paper in papers.papers:
        text = "\n".join(line.rstrip() for line in paper_lines(papers.head, paper, ROOM)) + "\n"
        yield f"{paper.name}.txt", text.encode("utf-8")


def paper_lines(head: Head, paper: Paper, room: int, paint: Paint = unpainted) -> list[str]:
    """A paper with its head and foot, in lines of `room` columns."""
    lines = [paint(line, "heading") for line in paragraph(f"{paper.title} · {head.plan}", room)]
    lines += paragraph(f"{head.state} · limits: {head.limits}", room)
    if head.banner:
        lines += [paint(line, "danger" if head.dangers else "warning") for line in paragraph(head.banner, room, "⚠ ")]
    for block in paper.blocks:
        lines += ["", *_lines(block, room, paint)]
    for mark in marks_of(paper):
        lines += ["", *paragraph(mark, room)] if mark == marks_of(paper)[0] else paragraph(mark, room)
    return [*lines, "", *paragraph(head.notice, room, "⚠ ")]


def _lines(block: Block, room: int, paint: Paint) -> list[str]:
    match block:
        case Words(text, "heading"):
            return [paint(line, "heading") for line in paragraph(text, room)]
        case Words(text, role):
            lines = paragraph(text, room, _BEGINS[role])
            return [paint(line, role) for line in lines] if role == "danger" else lines
        case Table():
            return _table(block, room, paint)
        case Pairs(items):
            wide = min(max((width(words) for words, _ in items), default=0), room // 3)
            return [line for words, value in items for line in _pair(words, value, wide, room)]
        case BoxGrid():
            return [paint(block.title, "heading"), *_box(block, room)]
        case LabelSheet(labels, stock, first):
            lines = paragraph(f"{len(labels)} labels of {writing.stated(stock.label_width_mm)} × "
                              f"{writing.stated(stock.label_height_mm, 'mm')}, "
                              f"{stock.per_sheet} a sheet, first free label {first}", room)
            for number, label in enumerate(labels, 1):
                where = f" ({label.where})" if label.where else ""
                lines += paragraph(f"{' / '.join(label.lines)}{where}", room, f"{number:>4}  ")
            return lines
        case Drawing(words=words):
            return paragraph(f"Drawing: {words}", room)
        case TickBoxes(items):
            return [line for item in items for line in paragraph(item, room, "☐ ")]
        case NewPage():
            return ["─" * room]


def _pair(words: str, value: str, wide: int, room: int) -> list[str]:
    """A value beside its words, which have `wide` columns; below them where that leaves it too little."""
    if width(words) > wide or room - wide - 2 < _NARROWEST_VALUE:
        return [*paragraph(words, room), *paragraph(value, room, INDENT * 2)]
    return paragraph(value, room, f"{words}{' ' * (wide - width(words))}  ", " " * (wide + 2))


def _table(block: Table, room: int, paint: Paint) -> list[str]:
    lines = [paint(line, "heading") for line in paragraph(block.title, room)] if block.title else []
    shown = [number for number, column in enumerate(block.columns) if column.key != block.group]
    columns = [_column(block.columns[number], number) for number in shown]
    for words, rows in grouped(block):
        if words is not None:
            lines += [paint(line, "heading") for line in paragraph(words, room)]
        # Folded once more than the columns allow, a table is read more easily row by row.
        drawn = table(rows, columns, room, paint, INDENT, fold_heads=True)[0]
        if max(map(width, drawn)) > room:
            drawn = [line for row in rows for line in [*_stacked(block, shown, row, room), ""]]
        lines += drawn
    return [*lines, *(paragraph(block.note, room, INDENT) if block.note else [])]


def grouped(block: Table) -> Iterator[tuple[str | None, list[Row]]]:
    """The rows of a table in stretches of one group, with its words; None where the table has no groups."""
    if block.group is None:
        yield None, list(block.rows)
        return
    at = next(number for number, column in enumerate(block.columns) if column.key == block.group)
    for cell, rows in groupby(block.rows, key=lambda row: row[at]):
        yield block.columns[at].written(cell), list(rows)


def _column(column: TableColumn, number: int) -> Column[Row]:
    return Column(column.key, column.whole_heading, column.whole_heading, "right" if column.number else "left", 0,
                  lambda row: "________" if column.fill_in and row[number] == "" else column.written(row[number]))


def _stacked(block: Table, shown: Sequence[int], row: Row, room: int) -> list[str]:
    """One row as a paragraph, each value behind its heading."""
    cells: list[str] = []
    for number in shown:
        column = block.columns[number]
        text = "________" if column.fill_in and row[number] == "" else column.written(row[number])
        if text:
            unit = f" {unit_words(column.unit)}" if column.unit and text != writing.NONE else ""
            cells.append(f"{column.heading}: {text}{unit}")
    return paragraph(" · ".join(cells), room, rest=INDENT)


def _box(grid: BoxGrid, room: int) -> list[str]:
    """A fuse box as it looks, or as a list where the lines are too short for it."""
    size = (room - 1) // max(grid.columns, 1) - 1
    places = {(row, column): cell for cell in grid.cells for row in range(cell.row, cell.row + cell.rows)
              for column in range(cell.column, cell.column + cell.columns)}
    if size < _NARROWEST_PLACE:
        return [line for cell in sorted(grid.cells, key=lambda each: (each.row, each.column)) for line in paragraph(
            " · ".join((f"row {cell.row}, place {cell.column}: {cell.position}", cell.main, *cell.lines)), room, INDENT,
            INDENT * 2)]
    rule = "+" + f"{'-' * size}+" * grid.columns
    lines = [rule]
    for row in range(1, grid.rows + 1):
        folded: list[list[str]] = []
        for column in range(1, grid.columns + 1):
            cell = places.get((row, column))
            texts = ["–"] if cell is None else [cell.position] if (cell.row, cell.column) != (row, column) else \
                [cell.position, cell.main, *cell.lines]
            folded.append([line for text in texts if text for line in wrap(text, size - 1)])
        for number in range(max(map(len, folded))):
            cells = [each[number] if number < len(each) else "" for each in folded]
            lines.append("|" + "|".join(f"{text}{' ' * (size - width(text))}" for text in cells) + "|")
        lines.append(rule)
    return lines
