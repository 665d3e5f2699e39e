"""Tables as plain text of a given width."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from fuseplan.papers.columns import Column
from fuseplan.papers.harmless import width
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted, words, wrap

View = TypeVar("View")

GAP = 2
LONGEST_KEPT_WHOLE = 14
"""Columns of text are folded before any column is left out, but words up to this length are not broken for it."""


def left_out_lines(columns: Sequence[Column[View]], also: str, room: int) -> list[str]:
    """That a table has no room for some columns, and what shows them beside a wider terminal; empty for none."""
    if not columns:
        return []
    names = ", ".join(dict.fromkeys(column.heading for column in columns))
    return paragraph(f"Left out for want of room: {names}. A wider terminal shows them, {also}.", room, "  ")


def section(heading: str, views: Iterable[View], columns: Sequence[Column[View]], room: int, paint: Paint, also: str
            ) -> list[str]:
    """A table under its heading with what it has no room for, which `also` shows too; empty without rows."""
    rows = list(views)
    if not rows:
        return []
    lines, left_out = table(rows, columns, room, paint)
    return [paint(heading, "heading"), *lines, *left_out_lines(left_out, also, room)]


def table(views: Iterable[View], columns: Sequence[Column[View]], room: int, paint: Paint = unpainted,
          indent: str = "  ", fold_heads: bool = False) -> tuple[list[str], list[Column[View]]]:
    """A table as lines, and the columns left out for want of room.

    Columns of text are folded first, those with a brief form of their cells not before these stand there; then the
    columns of the highest rank are left out, one by one. With `fold_heads`
    the headings of columns of figures are folded too.
    """
    rows = [(view, {column.key: column.cell(view) for column in columns}) for view in views]
    space = room - width(indent)
    places, widths = _placed(columns, rows, space, fold_heads)
    sizes = dict(zip(places, widths, strict=True))
    for at, column in enumerate(columns):
        if column.brief is not None:
            for view, cells in rows:
                if width(cells[column.key]) > sizes.get(at, 0):
                    cells[column.key] = column.brief(view)
            places, widths = _placed(columns, rows, space, fold_heads)
    kept = [columns[at] for at in places]
    heads = {column.key: column.short for column in kept}
    whole = [_widest(column.heading, column, rows) for column in kept]
    if sum(whole) + GAP * (len(whole) - 1) <= space:
        heads, widths = {column.key: column.heading for column in kept}, whole
    lines = [paint(indent + line, "heading") for line in _folded([heads[column.key] for column in kept], kept, widths)]
    for view, cells in rows:
        lines += [indent + line for line in _folded([cells[column.key] for column in kept], kept, widths, view, paint)]
    return lines, [column for column in columns if column not in kept]


def _placed(columns: Sequence[Column[View]], rows: list[tuple[View, dict[str, str]]], space: int, fold_heads: bool
            ) -> tuple[list[int], list[int]]:
    """Places of the columns that are shown, and the width of each of these."""
    return fitted([_widest(column.short, column, rows) for column in columns],
                  [_narrowest(column.short, column, rows, fold_heads) for column in columns],
                  [column.rank for column in columns], space, GAP)


def _widest(head: str, column: Column[View], rows: list[tuple[View, dict[str, str]]]) -> int:
    return max([width(head), *(width(cells[column.key]) for _, cells in rows)])


def _narrowest(head: str, column: Column[View], rows: list[tuple[View, dict[str, str]]], fold_heads: bool) -> int:
    """How far a column may be folded; figures and verdicts not at all."""
    widest = _widest(head, column, rows)
    if column.align == "right" and fold_heads:
        return max(_widest("", column, rows), max(map(width, head.split()), default=0))
    if column.align == "right" or column.role is not None:
        return widest
    held = [head, *(word for _, cells in rows for word in words(cells[column.key], LONGEST_KEPT_WHOLE))]
    return min(widest, LONGEST_KEPT_WHOLE, max(map(width, held)))


def fitted(widest: Sequence[int], narrowest: Sequence[int], ranks: Sequence[int], space: int, gap: int
           ) -> tuple[list[int], list[int]]:
    """Which columns are shown in a given space, and how wide each of them is.

    Columns are cut first, the widest first, then the ones of the highest rank are left out, one by one; those of rank 0
    never are, even where they do not fit.

    Args:
        widest, narrowest: width each would take, and below which it is not cut, in columns of the screen (columns,)
        ranks: sequence (columns,)
        space: width there is
        gap: width between two columns
    Returns:
        Places of the columns that are shown, and the width of each of these.
    """
    kept = list(range(len(widest)))
    while sum(narrowest[at] for at in kept) + gap * (len(kept) - 1) > space and any(ranks[at] for at in kept):
        kept.remove(max(kept, key=lambda at: ranks[at]))
    widths = [widest[at] for at in kept]
    least = [narrowest[at] for at in kept]
    while sum(widths) + gap * (len(widths) - 1) > space:
        wider = [index for index in range(len(kept)) if widths[index] > least[index]]
        if not wider:
            break
        widths[max(wider, key=lambda index: widths[index])] -= 1
    return kept, widths


def _folded(texts: list[str], columns: Sequence[Column[View]], widths: list[int], view: View | None = None,
            paint: Paint = unpainted) -> list[str]:
    """The lines of one row, each cell folded to its width."""
    folded = [wrap(text, size) for text, size in zip(texts, widths, strict=True)]
    return [_line([cell[number] if number < len(cell) else "" for cell in folded], columns, widths, view, paint)
            for number in range(max(len(cell) for cell in folded))]


def _line(texts: list[str], columns: Sequence[Column[View]], widths: list[int], view: View | None = None,
          paint: Paint = unpainted) -> str:
    cells = []
    for text, column, size in zip(texts, columns, widths, strict=True):
        blank = " " * (size - width(text))
        shown = text if view is None or column.role is None else paint(text, column.role(view))
        cells.append(f"{blank}{shown}" if column.align == "right" else f"{shown}{blank}")
    return (" " * GAP).join(cells).rstrip()
