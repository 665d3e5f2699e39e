"""What is published for building a loom: tolerances, marks, bundles, tubes, bends, torques, relay pins."""

from __future__ import annotations

import numpy as np

from fuseplan.records import dataclass
from fuseplan.tables.load import Cited, Source, Table, row_source, table


@dataclass(frozen=True)
class Torque:
    """One published tightening torque in N m; `thread` is empty where none is printed."""

    what: str
    thread: str
    least_nm: float
    most_nm: float
    source: Source


@dataclass(frozen=True)
class RelayPin:
    """One pin of a relay: its number in the socket (ISO 7588), on the relay (DIN 72552), and what it is."""

    iso: str
    din: str
    what: str


def cut_tolerance_mm(length_m: float) -> Cited[float]:
    """By how much a wire cut to `length_m` may be longer, in mm; it may never be shorter."""
    printed = table("cut_length_tolerances")
    row = next(row for row in printed.rows() if length_m <= float(str(row["longest_m"])) * (1.0 + 1e-9))
    over, share = row["over_mm"], row["over_share"]
    return Cited(1000.0 * length_m * float(str(share)) if over is None else float(str(over)), printed.citation)


def wire_mark_mm(what: str) -> Cited[float]:
    """A length of the rule for marks along a wire in mm: ``shortest marked``, ``one mark up to``, ``apart at most``."""
    return table("ac43_13_1b_wire_marks").known("what", what, "mm")


def visual_angle_arc_min(what: str) -> Cited[float]:
    """Height of a letter as an angle at the eye: ``smallest``, ``preferred from``, ``preferred to``, ``largest for
    text``."""
    return table("label_visual_angles").known("what", what, "arc_min")


def bundle_factor(wires: int) -> Cited[float] | None:
    """Diameter of a bundle of equal wires over that of one, the larger of the two tables; None past both."""
    printed = table("bundle_factors")
    counts, found = printed.array("wires"), []
    for column in ("distributor", "conduit_maker"):
        factors = printed.array(column)
        there = ~np.isnan(factors)
        if wires <= counts[there].max():
            found.append(float(np.interp(wires, counts[there], factors[there])))
    return Cited(max(found), printed.citation) if found else None


def corrugated_tubes() -> Table:
    """Corrugated tubes on file, the narrowest first."""
    return table("corrugated_tubes")


def bend_diameters(words: str) -> Cited[float]:
    """Smallest bend radius in outside diameters, by the words of its row."""
    return table("bend_radii").known("words", words, "diameters")


def torques(thread: str, words: str = "") -> tuple[Torque, ...]:
    """All published torques for a thread, or for what a text names."""
    printed = table("tightening_torques")
    return tuple(
        Torque(str(row["what"]), str(row["thread"] or ""), float(str(row["least_nm"])), float(str(row["most_nm"])),
               row_source(printed, row))
        for row in printed.rows()
        if (row["thread"] == thread if thread else not row["thread"]) and words in str(row["what"]))


def relay_pins() -> Cited[tuple[RelayPin, ...]]:
    """The pins of a relay, from memory."""
    printed = table("iso_7588_relay_pins")
    return Cited(tuple(RelayPin(str(row["iso"]), str(row["din"]), str(row["what"])) for row in printed.rows()),
                 printed.citation)


def stud_drop(stud: str) -> Cited[tuple[float, float]] | None:
    """Rated current in A of a stud terminal and the largest drop across it then, in V; None where none is printed."""
    printed = table("mil_dtl_83454a_studs")
    row = printed.row("stud", stud)
    if row is None:
        return None
    return Cited((float(str(row["rated_a"])), float(str(row["drop_mv"])) / 1000.0), printed.citation)


def heat_shrink(what: str) -> Cited[tuple[float, float]]:
    """Least and most of what to allow for with heat-shrink tube, by the words of its row."""
    printed = table("heat_shrink")
    row = next(row for row in printed.rows() if str(row["what"]).startswith(what))
    return Cited((float(str(row["least"])), float(str(row["most"]))), row_source(printed, row))
