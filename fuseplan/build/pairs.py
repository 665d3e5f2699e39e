"""Twisted pairs and shields among the wires of the looms that are in no circuit."""

from __future__ import annotations

from fuseplan.build.loom_pieces import ADDED, partner_of, twists_of
from fuseplan.build.wires import Piece
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import PinId
from fuseplan.records import dataclass


@dataclass(frozen=True)
class PairLine:
    """Wires that are kept together: a pair, a single shielded wire, and the wire that carries their shield."""

    wires: tuple[Piece, ...]
    shield: Piece | None
    twists: float | None
    """Turns per metre; None where that is not entered."""
    is_shielded: bool


def pair_lines(plan: Plan, found: tuple[Piece, ...]) -> tuple[PairLine, ...]:
    """All pairs and shielded wires, those found and what is added to them apart."""
    known = {(at, piece.place.endswith(f".{ADDED}")): piece for piece in found if piece.draft is not None
             for at in piece.draft.ends}
    lines, seen = [], set()
    for (at, added), piece in known.items():
        partner, shield = partner_of(plan, at), plan.connector[at.connector].pin[at.pin].shield
        if piece.draft is None or piece.key in seen or (partner is None and shield is None):
            continue
        other = None if partner is None else known.get((partner, added))
        wires = (piece,) if other is None else (piece, other)
        seen |= {each.key for each in wires}
        carrier = None if shield is None else known.get((PinId(at.connector, shield), added))
        lines.append(PairLine(wires, carrier, twists_of(plan, piece.draft), shield is not None))
    return tuple(lines)
