"""The lists of a plan, in the columns in which they can be read again."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from fuseplan.exchange.cells import end_text
from fuseplan.exchange.lists import MORE_JOINTS, PlanList, heading, kind_at, rooted
from fuseplan.exchange.wire_places import place_words
from fuseplan.papers.harmless import csv_text, shown
from fuseplan.papers.spreadsheet import SheetCell, fill, new_book
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import wires_of
from fuseplan.quantities import writing

Cell = str | float
"""A number stands in the unit of its heading; what is not said is an empty text."""


def list_of(plan: Plan, which: PlanList) -> tuple[list[str], list[list[Cell]]]:
    """Headings and rows of a list; columns that no row fills are left out."""
    rows = [[*named, *(_cell(which, column, part) for column in which.columns)] for named, part in _rows(plan, which)]
    heads = [heading(which, column) for column in which.all_columns]
    kept = [place for place in range(len(heads)) if place < len(which.naming) or any(row[place] != "" for row in rows)]
    return [heads[place] for place in kept], [[row[place] for place in kept] for row in rows]


def _rows(plan: Plan, which: PlanList) -> Iterator[tuple[list[Cell], Mapping[str, Any]]]:
    """Where each row belongs, and the values it may name: those of the entry in its first row, and of the one part it
    stands for."""
    if which.choosing:
        for (owner, name), place, wire in wires_of(plan):
            for segment in wire:
                yield [name, *place_words(owner, place)], {which.repeated: segment}
        return
    table = getattr(plan, str(which.entry[0].path[0]))
    for name, part in table.items():
        if len(which.entry) > 1:
            inner = getattr(part, str(which.entry[1].path[0]))
            yield from (([name, key], {"": each}) for key, each in inner.items())
            continue
        members = getattr(part, which.repeated)
        # A circuit without a load is a circuit all the same.
        for number in range(max(len(members), 1)):
            found = {"": part} if number == 0 else {}
            if number < len(members):
                found[which.repeated] = members[number]
            yield [name], found


def _cell(which: PlanList, column: Any, part: Mapping[str, Any]) -> Cell:
    own = bool(which.repeated) and column.path[0] == which.repeated
    here = part.get(which.repeated if own else "")
    for step in column.path[2:] if own else column.path:
        here = _under(here, step)
    if here is None or here == ():
        return ""
    kind, _ = kind_at(rooted(which, column))
    if kind in ("amount", "number"):
        return float(here)
    if kind == "flag":
        return "yes" if here else "no"
    if kind == "end":
        return end_text(here.connector, here.pin)
    return ", ".join(here) if kind == "words" else str(here)


def _under(part: Any, step: Any) -> Any:
    """The value of a key; None where the plan leaves it out, as what is taken then is not the plan's word."""
    if part is None:
        return None
    if isinstance(part, tuple):
        return part[int(step)] if int(step) < len(part) else None
    for name, info in type(part).model_fields.items():
        if step == (info.alias or name):
            return getattr(part, name) if name in part.model_fields_set else None
    return None


def not_listed(plan: Plan) -> str:
    """What the list of wires has no column for, in a sentence; empty where that is nothing."""
    count = sum(len(segment.splice) > MORE_JOINTS for _, _, wire in wires_of(plan) for segment in wire)
    return "" if not count else (f"the list of wires has columns for {MORE_JOINTS + 1} joints in a length of wire; "
                                 f"{count} of the plan's lengths have more, which are in no list")


def csv_list(plan: Plan, which: PlanList) -> str:
    """A list as CSV."""
    heads, rows = list_of(plan, which)
    return csv_text([heads, *rows])


def workbook(plan: Plan, lists: Iterable[PlanList]) -> bytes:
    """The lists as the sheets of an XLSX workbook; the same plan gives the same bytes."""
    out = io.BytesIO()
    with new_book(out) as book:
        for which in lists:
            heads, rows = list_of(plan, which)
            fill(book, book.add_worksheet(which.name), heads, [
                [SheetCell(writing.typed(cell), cell) if isinstance(cell, float) else SheetCell(shown(cell))
                 for cell in row] for row in rows], len(which.naming))
    return out.getvalue()
