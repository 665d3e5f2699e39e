"""Sets of limits side by side as text: circuits × limits with fuse, wire limit and verdict, and why they disagree."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from fuseplan.grouping import grouped
from fuseplan.papers.columns import VERDICT_WORDS, Column
from fuseplan.papers.harmless import shown
from fuseplan.papers.layout import table
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.checks.side_by_side import Cell, Row, SideBySide, Stricter

DISAGREE = "≠"
NOT_ON_FILE = "not on file"
LEGEND = ("Each cell: fuse range, ampacity of the thinnest supply wire, verdict. "
          f"{DISAGREE} marks a circuit on which the sets of limits disagree: about the verdict, or about the fuse.")
NO_CIRCUITS = "The plan has no circuits yet."
CAUTION = ("Published limits disagree because they assume different surroundings. No set was made for your car: keep "
           "to the strictest unless you know why it does not apply, and ask a qualified auto electrician where you "
           "are not certain.")


def cell_words(cell: Cell) -> str:
    """One set of limits on one circuit, in a table's cell; nothing but that where it has no limit on file."""
    if not cell.answers:
        return NOT_ON_FILE
    fuse = "" if cell.fuse_kind is None else f"{writing.fuse_range(*cell.range_a)} A, "
    wire = "" if not cell.wire else f"wire {writing.limit(cell.wire_limit_a, 'A')}, "
    return f"{fuse}{wire}{VERDICT_WORDS[cell.verdict]}"


def _fuse(row: Row) -> str:
    cell = row.cells[0]
    if cell.fuse_kind is None:
        return writing.NONE
    if any(each.fuse_entered for each in row.cells):
        return writing.rating(cell.fuse_a)
    ratings = dict.fromkeys("?" if each.proposed_a is None else writing.stated(each.proposed_a) for each in row.cells)
    return f"{'/'.join(ratings)} A*"


def columns_of(found: SideBySide) -> list[Column[Row]]:
    """The columns of the comparison: circuit, mark, fuse, wire, one for each set of limits that answers anything."""
    fixed: list[Column[Row]] = [
        Column("circuit", "circuit", "circuit", "left", 0, lambda row: shown(row.name)),
        Column("disagree", DISAGREE, DISAGREE, "left", 0, lambda row: DISAGREE if row.disagree else ""),
        Column("fuse", "fuse", "fuse", "left", 2, _fuse),
        Column("wire", "wire", "wire", "left", 3, lambda row: shown(writing.wire_size(row.cells[0].wire))),
    ]
    return fixed + [
        Column(each.name, each.name, each.name, "left", 0, partial(_at, number))
        for number, each in enumerate(found.limit_set) if any(row.cells[number].answers for row in found.rows)
    ]


def verdict_columns_of(found: SideBySide) -> list[Column[Row]]:
    """The same with verdicts alone, for where there is little room."""
    named = {each.name: number for number, each in enumerate(found.limit_set)}
    return [replace(column, cell=partial(_verdict_at, named[column.key]), role=partial(_role_at, named[column.key]))
            if column.key in named else column for column in columns_of(found)]


def _verdict_at(number: int, row: Row) -> str:
    cell = row.cells[number]
    return VERDICT_WORDS[cell.verdict] if cell.answers else NOT_ON_FILE


def _role_at(number: int, row: Row) -> str:
    return row.cells[number].verdict


def _at(number: int, row: Row) -> str:
    return cell_words(row.cells[number])


def limits_text(found: SideBySide, room: int, paint: Paint = unpainted) -> str:
    """The whole comparison."""
    lines = [paint(f"{shown(found.plan or 'Plan')}: sets of limits side by side", "heading"), ""]
    first = _stricter_lines(found, room, paint)
    lines += [*first, ""] if first else []
    for each in found.limit_set:
        lines += paragraph(f"{shown(each.title)}: {shown(each.words)}", room, f"  {each.name}: ", "      ")
    lines += ["", *paragraph(LEGEND, room), ""]
    body, _ = table(found.answered, columns_of(found), room, paint)
    lines += body
    alone = [shown(row.name) for row in found.rows if row not in found.answered]
    if alone:
        lines += ["", *paragraph(f"No second set has an answer for {len(alone)}: {', '.join(alone)}", room)]
    lines += ["", paint(f"Disagreements: {found.disagreements} of {len(found.rows)} circuits", "heading")]
    for row in found.rows:
        if row.disagree:
            head = paragraph(f"{shown(row.name)}: {_verdicts(row)}", room, f"{DISAGREE} ")
            lines += ["", *(paint(line, "heading") for line in head)]
            for reason in row.reasons:
                lines += paragraph(shown(reason), room, "    ")
    return "\n".join([*lines, "", *paragraph(f"⚠ {CAUTION}", room)])


def _stricter_lines(found: SideBySide, room: int, paint: Paint) -> list[str]:
    """Where the chosen set is not the strictest, first of all."""
    if len(found.limit_set) == 1:
        return []
    name, stricter = found.limit_set[found.chosen].name, found.stricter
    if not stricter:
        return [paint(f"No other set is stricter than {name} where it has an answer", "heading")]
    by_circuit = grouped((each.circuit, each) for each in stricter)
    lines = [paint(f"{name} is not the strictest for {len(by_circuit)} of {len(found.rows)} circuits", "heading")]
    for those in by_circuit.values():
        said = []
        for limit_set in dict.fromkeys(each.limit_set for each in those):
            limits = ", ".join(f"{each.what} {_less(each)}" for each in those if each.limit_set == limit_set)
            said.append(f"{limit_set}: {limits}")
        lines += paragraph("; ".join(said), room, f"  {shown(those[0].name)}: ", "      ")
    return lines


def _less(stricter: Stricter) -> str:
    """The stricter limit and the chosen set's."""
    unit = "V" if stricter.what == "voltage drop" else "A"
    return f"{writing.limit(stricter.limit, unit)} against {writing.limit(stricter.chosen, unit)}"


def _verdicts(row: Row) -> str:
    return ", ".join(f"{cell.limit_set} {cell.verdict}" + (f" ({', '.join(cell.checks)})" if cell.checks else "")
                     for cell in row.cells if cell.answers)
