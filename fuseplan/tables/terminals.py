"""Terminals, connector contacts and fuse holders: what they may carry."""

from __future__ import annotations

from functools import cache, lru_cache

from fuseplan.errors import TableError
from fuseplan.records import dataclass
from fuseplan.tables.conductors import conductor
from fuseplan.tables.load import Cell, Cited, Source, Table, table

FASTON_SERIES: dict[int, str] = {250: "6.3 mm", 110: "2.8 mm"}
TERMINALS: dict[str, str] = {
    "flat_6.3": "flat push-on terminal 6.3 mm, also in relay sockets",
    "flat_2.8": "flat push-on terminal 2.8 mm, also in relay sockets",
    "sealed_20": "sealed connector contact, size 20",
    "sealed_16": "sealed connector contact, size 16",
    "sealed_12": "sealed connector contact, size 12",
    "ring_22": "ring terminal with narrow tongue for 22 mm² wire",
    "ring_38": "ring terminal with narrow tongue for 38 mm² wire",
    "ring_60": "ring terminal with narrow tongue for 60 mm² wire",
}
"""Terminals a plan may name, at the end of a wire or as a relay's socket, with their words."""
_SERIES = {"6.3": 250, "2.8": 110}


@dataclass(frozen=True)
class Holder:
    """One fuse holder: current in A continuously and at most, voltage in V; None where not printed."""

    id: str
    fuse_kind: str
    words: str
    continuous_a: float | None
    max_a: float | None
    voltage_v: float | None
    lead: str
    source: Source


def faston_a(series: int, awg: str) -> Cited[tuple[float, float]] | None:
    """Continuous and intermittent current in A of a push-on terminal on a wire; None if not printed.

    ``series`` is 250 (6.3 mm) or 110 (2.8 mm). Raises TableError for another.
    """
    if series not in FASTON_SERIES:
        raise TableError(f"no push-on terminal series {series}; accepted are 250 and 110")
    printed = table(f"faston_{series}")
    continuous = printed.cited("awg", awg, "continuous_a")
    intermittent = printed.cited("awg", awg, "intermittent_a")
    if continuous is None or intermittent is None:
        return None
    return Cited((continuous.value, intermittent.value), printed.citation)


def sealed_contact_a(size: str) -> Cited[float] | None:
    """Current in A of a sealed connector contact of size 20, 16 or 12; None for another."""
    return table("sealed_contacts").cited("size", size, "current_a")


@cache
def holders() -> dict[str, Holder]:
    """Fuse holders by id."""
    printed = table("littelfuse_holders")
    return {
        str(row["id"]): Holder(
            id=str(row["id"]),
            fuse_kind=str(row["fuse_kind"]),
            words=str(row["words"]),
            continuous_a=_amount(row["continuous_a"]),
            max_a=_amount(row["max_a"]),
            voltage_v=_amount(row["voltage_v"]),
            lead=str(row["lead"] or ""),
            source=printed.citation,
        )
        for row in printed.rows()
    }


def _amount(cell: Cell) -> float | None:
    return cell if isinstance(cell, float) else None


@cache
def wires_taken_mm2(name: str) -> Cited[tuple[float, float]]:
    """Thinnest and thickest wire in mm² on file for a terminal of `TERMINALS`: a ring's by its size, a contact's as
    printed, a flat one's the wires its current is printed for. Raises TableError for another name."""
    if name not in TERMINALS:
        raise TableError(f"no terminal '{name}' is on file; accepted are {', '.join(TERMINALS)}")
    family, _, size = name.partition("_")
    if family == "ring":
        return Cited((float(size), float(size)), ring_terminals().citation)
    if family == "sealed":
        printed = table("sealed_contacts")
        row = next(row for row in printed.rows() if row["size"] == size)
        gauges = [str(row["thinnest_awg"]), str(row["thickest_awg"])]
    else:
        printed = table(f"faston_{_SERIES[size]}")
        gauges = [str(awg) for awg in printed.column("awg")]
    areas = [conductor("AWG", awg).area_mm2 for awg in gauges]
    return Cited((min(areas), max(areas)), printed.citation)


def ring_terminals() -> Table:
    """Ring terminals with narrow tongue."""
    return table("ring_terminals_narrow")


@lru_cache(maxsize=256)
def terminal_limit_a(name: str, area_mm2: float) -> Cited[float] | None:
    """Continuous current in A a terminal of `TERMINALS` bears on a wire of `area_mm2`.

    Flat terminals are printed by wire gauge: the thickest printed gauge that is not thicker than the wire answers.
    None for a wire thinner than any printed. Raises TableError for another name.
    """
    if name not in TERMINALS:
        raise TableError(f"no terminal '{name}' is on file; accepted are {', '.join(TERMINALS)}")
    family, _, size = name.partition("_")
    if family == "sealed":
        return sealed_contact_a(size)
    if family == "ring":
        printed = ring_terminals()
        row = next(row for row in printed.rows() if str(row["part"]).startswith(f"R{size}-"))
        return Cited(float(str(row["current_a"])), printed.citation)
    rows = table(f"faston_{_SERIES[size]}").column("awg")
    areas = {conductor("AWG", str(awg)).area_mm2: str(awg) for awg in rows}
    thinner = [area for area in areas if area <= area_mm2]
    found = faston_a(_SERIES[size], areas[max(thinner)]) if thinner else None
    return None if found is None else Cited(found.value[0], found.source)
