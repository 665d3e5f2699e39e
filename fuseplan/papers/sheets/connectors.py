"""Connectors pin by pin, and every splice and joint."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fuseplan.build.connections import PinLine, SpliceLine
from fuseplan.build.ends import EndPoint
from fuseplan.build.facts import build_facts
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rules.joints_side_by_side import STAGGER_M
from fuseplan.looms.rows import PinRow, pin_rows
from fuseplan.papers.build_cells import idle_left_out, unsettled, wire_words
from fuseplan.papers.paper import Block, Cell, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.plan.nets import GONE
from fuseplan.quantities import writing

_PINS = (TableColumn("connector", "Connector"), TableColumn("pin", "Pin"), TableColumn("wire", "Wire or function"),
         TableColumn("what", "Size, colour"), TableColumn("terminal", "Terminal"),
         TableColumn("barrel_mm2", "Barrel takes", "barrel mm2", True, "burden"),
         TableColumn("far_end", "Other end of the wire"), TableColumn("checked", "Rung out", fill_in=True))
_SPLICES = (TableColumn("splice", "Splice or joint"), TableColumn("wires", "Wires"), TableColumn("method", "Method"),
            TableColumn("barrel_mm2", "Barrel takes", "barrel mm2", True, "burden"),
            TableColumn("place_mm", "From the wire's start", "mm", True), TableColumn("sleeve", "Sleeve"),
            TableColumn("done", "Done", fill_in=True))


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """Connectors first, then splices."""
    facts = build_facts(assessment)
    yield from unsettled(assessment)
    yield from idle_left_out(facts)
    if facts.pins:
        listed: dict[tuple[str, str | None], PinRow] = {
            (row.at.connector, row.at.pin): row for row in pin_rows(assessment.plan)}
        yield Table("connectors", _PINS, tuple(row for line in facts.pins for row in _pin(line, listed)), "Connectors",
                    group="connector", note="Several wires in one terminal: their areas add up, the barrel takes the "
                                            "sum or the next larger (NASA-STD-8739.4, 19.11 and 19.12).")
    else:
        yield Words("No end of a wire names a connector: pins cannot be listed.", "note")
    if facts.splices:
        yield Table("splices", _SPLICES, tuple(_splice(line) for line in facts.splices), "Splices and joints",
                    note=f"Stagger them by {writing.stated(STAGGER_M * 1000.0, 'mm')} or more, and keep them as far "
                         "from branches and connectors. Where wires follow each other and no splice is named, how they "
                         "are joined is not in the plan.")


def _pin(line: PinLine, listed: Mapping[tuple[str, str | None], PinRow]) -> Iterator[tuple[Cell, ...]]:
    row = listed.get((line.connector, line.pin))
    if not line.ends and row is not None:
        yield (line.title, line.pin, _without_wire(row), " ".join(
            writing.wire_size(each) for each in (row.pin.size, row.pin.colour) if each) or None, writing.NONE,
            writing.NONE, ", ".join(row.goes_to) or (writing.NONE if row.pin.fate in GONE else None), "")
    elif not line.ends:
        yield line.title, line.pin or writing.UNKNOWN, "no wire of a circuit", writing.NONE, writing.NONE, \
            writing.NONE, writing.NONE, ""
    for piece, end in line.ends:
        far = piece.end if end is piece.start else piece.start
        barrel: Cell = line.barrel_mm2(end) if line.shares(end) else writing.NONE
        yield line.title, line.pin, f"{piece.number}  {piece.signal}".rstrip(), wire_words(piece), \
            None if "terminal" in end.lacking else end.crimped.words, barrel, \
            _far_words(end, far, row), ""


def _far_words(end: EndPoint, far: EndPoint, row: PinRow | None) -> str:
    """Where a wire goes from a pin: its other end, what is beyond a splice, and what it is joined to before the pin."""
    beyond = row.goes_to if row is not None and (far.splice is not None or end.splice is not None) else ()
    known = () if far.target.kind == "unknown" and beyond else (far.words,)
    joined = (f"joined here: splice {end.splice}",) if end.splice is not None else ()
    return ", ".join(dict.fromkeys((*joined, *known, *beyond)))


def _without_wire(row: PinRow) -> Cell:
    """A pin on which no wire of the lists ends: what it does, and why that is so."""
    if row.pin.fate == "spare" and not row.function:
        return "spare"
    why = "not decided what becomes of it" if row.pin.fate == "unknown" else row.fate if row.pin.fate in GONE else ""
    return ": ".join(each for each in (row.function, why) if each) or None


def _splice(line: SpliceLine) -> tuple[Cell, ...]:
    place: Cell = None if line.place_m is None and line.name.startswith("in ") else \
        writing.NONE if line.place_m is None else line.place_m * 1000.0
    return line.name, ", ".join(piece.number for piece in line.pieces), \
        None if line.method == "not stated" else line.method, line.barrel_mm2, place, \
        None if line.sleeve == "not stated" else line.sleeve, ""


SHEET = Sheet("connectors", "Connectors and splices", 100, "every pin with its wire, every splice with its barrel",
              blocks, landscape=True)
