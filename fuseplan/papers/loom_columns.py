"""Columns of the tables of looms: pins, splices, and functions to be merged."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from fuseplan.build.terminals import barrel_area_mm2
from fuseplan.checks.pins import area_mm2
from fuseplan.engine.names import wire_words
from fuseplan.looms.loose_wires import LooseWire
from fuseplan.looms.merging import Merge, Offer
from fuseplan.looms.rows import PinRow
from fuseplan.papers.columns import Column
from fuseplan.papers.harmless import shown
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import PinId, splices_of
from fuseplan.plan.part_names import pin_words, title_of
from fuseplan.plan.references import Path
from fuseplan.quantities import writing
from fuseplan.records import dataclass


def _told(text: object) -> str:
    return shown(str(text)) if text else writing.UNKNOWN


def _pin(row: PinRow) -> str:
    """A pin by the name of its connector, the number first, as what is cut off of a long name is at its end."""
    at, name = row.at, row.connector.name
    return shown(f"{at.connector} {at.pin}" if name is None else f"{at.pin} of {name}")


def _known(row: PinRow) -> str:
    return f"? {', '.join(row.lacks)}" if row.lacks else str(row.pin.known or "settled")


def found_words(size: str | None, colour: str | None) -> str:
    """Size and colour of a wire as found: ``0.5 mm² YEGN``; empty where neither is known."""
    return writing.wire_size(" ".join(str(each) for each in (size, colour) if each))


PIN_COLUMNS: Sequence[Column[PinRow]] = (
    Column("pin", "Pin", "Pin", "left", 0, _pin),
    Column("function", "Function", "Function", "left", 0, lambda row: _told(row.function)),
    Column("fate", "Becomes", "Becomes", "left", 1, lambda row: row.fate),
    Column("signal", "Signal", "Signal", "left", 4, lambda row: _told(row.signal)),
    Column("wire", "Wire as found", "Wire", "left", 2, lambda row: _told(found_words(row.pin.size, row.pin.colour))),
    Column("goes_to", "Goes to", "To", "left", 3, lambda row: _told(", ".join(row.goes_to))),
    Column("known", "Known by", "Known", "left", 5, _known),
)


LOOSE_COLUMNS: Sequence[Column[LooseWire]] = (
    Column("wire", "Wire", "Wire", "left", 0, lambda row: shown(row.words)),
    Column("what", "What it is", "What", "left", 1, lambda row: _told(row.segment.note or row.segment.label)),
    Column("found", "Size, colour", "Size", "left", 2, lambda row: _told(
        found_words(row.segment.size, row.segment.colour))),
    Column("ends", "Ends", "Ends", "left", 0, lambda row: shown(" – ".join(row.goes_to))),
    Column("lacks", "Not known", "Not known", "left", 3, lambda row: ", ".join(row.lacks) or writing.NONE),
)


def _with_loose(column: Column[PinRow], cell: Callable[[LooseWire], str]) -> Column[PinRow | LooseWire]:
    """A column of pins that shows wires on no pin too."""
    return Column(column.key, column.heading, column.short, column.align, column.rank,
                  lambda row: column.cell(row) if isinstance(row, PinRow) else cell(row))


_LOOSE_CELLS: Mapping[str, Callable[[LooseWire], str]] = {
    "pin": LOOSE_COLUMNS[0].cell, "function": LOOSE_COLUMNS[1].cell, "wire": LOOSE_COLUMNS[2].cell,
    "goes_to": LOOSE_COLUMNS[3].cell, "known": lambda row: f"? {', '.join(row.lacks)}" if row.lacks else writing.NONE}
LOOM_COLUMNS: Sequence[Column[PinRow | LooseWire]] = tuple(
    _with_loose(column, _LOOSE_CELLS.get(column.key, lambda _: writing.NONE)) for column in PIN_COLUMNS)
"""Columns of the pins, with the wires on no pin below them."""


def offers_words(plan: Plan, offers: tuple[Offer, ...]) -> str:
    """Wires that offer a function: loom and first pin of each."""
    return "; ".join(f"{title_of(plan, 'loom', each.loom)}: {pin_words(plan, each.pins[0])}" for each in offers) \
        or writing.NONE


def merge_columns(plan: Plan) -> Sequence[Column[Merge]]:
    """Columns of the functions to be merged."""
    return (
        Column("function", "Function", "Function", "left", 0, lambda row: shown(row.name)),
        Column("state", "State", "State", "left", 0, lambda row: row.state),
        Column("car", "Car's side", "Car", "left", 2, lambda row: shown(offers_words(plan, row.car))),
        Column("engine", "Engine's side", "Engine", "left", 2, lambda row: shown(offers_words(plan, row.engine))),
        Column("words", "What is so", "What", "left", 1, lambda row: shown(row.words)),
    )


@dataclass(frozen=True)
class SpliceRow:
    """One splice of the looms: its wires, and the area its barrel must take in mm²; None where a size is not known."""

    name: str
    wires: tuple[str, ...]
    barrel_mm2: float | None


def _spliced(plan: Plan, path: Path) -> str:
    """A wire at a splice: ``wire 2 of 'Lambda probe'``, or its pin."""
    if path[0] == "connector":
        return pin_words(plan, PinId(str(path[1]), str(path[3])))
    owner, place = ((str(path[0]), ""), path[1:]) if path[0] == "alternator" else \
        ((str(path[0]), str(path[1])), path[2:])
    return wire_words(plan, owner, ".".join(map(str, place)))


def splice_rows(plan: Plan) -> list[SpliceRow]:
    """The splices that wires of the plan name."""
    found = []
    for name, wires in splices_of(plan).items():
        areas = tuple(area_mm2(each.size) for each in wires)
        known = not any(math.isnan(area) for area in areas)
        found.append(SpliceRow(name, tuple(_spliced(plan, each.path) for each in wires),
                               barrel_area_mm2(areas) if known else None))
    return found


SPLICE_COLUMNS: Sequence[Column[SpliceRow]] = (
    Column("splice", "Splice", "Splice", "left", 0, lambda row: shown(row.name)),
    Column("wires", "Wires", "Wires", "left", 0, lambda row: shown(", ".join(row.wires))),
    Column("count", "Count", "n", "right", 1, lambda row: str(len(row.wires))),
    Column("barrel", "Barrel takes, or the next larger", "Barrel", "right", 0,
           lambda row: writing.UNKNOWN if row.barrel_mm2 is None else writing.burden(row.barrel_mm2, "barrel mm2")),
)


def merge_document(row: Merge) -> dict[str, Any]:
    """A function to be merged as plain data."""
    return {"function": row.function, "name": row.name, "group": row.group, "state": row.state,
            "car": [_offer(each) for each in row.car], "engine": [_offer(each) for each in row.engine],
            "words": row.words, "to_do": row.to_do, "measure": row.measure, "source": row.source}


def _offer(offer: Offer) -> dict[str, Any]:
    return {"loom": offer.loom, "pins": [{"connector": at.connector, "pin": at.pin} for at in offer.pins]}
