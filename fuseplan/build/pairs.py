"""Twisted pairs and shielded cables among the wires of the looms that are in no circuit: each is one cable."""

from __future__ import annotations

from collections import Counter

from fuseplan.build.loom_pieces import ADDED, partner_of, twists_of
from fuseplan.build.wires import Piece
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import PinId, mates_of
from fuseplan.quantities import writing
from fuseplan.records import dataclass


@dataclass(frozen=True)
class PairLine:
    """Wires that are kept together: a twisted pair, or the cores of a shielded cable and the wire of their shield."""

    wires: tuple[Piece, ...]
    shield: Piece | None
    twists: float | None
    """Turns per metre; None where that is not entered."""
    is_shielded: bool
    outside_mm: float | None
    """Diameter over its jacket; None where that is not entered."""
    earthed: tuple[str, ...]
    """Where the shield goes on or is earthed, at each of its ends: ``ecu pin 11: earthed``."""

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Its cores, then its shield."""
        return self.wires if self.shield is None else (*self.wires, self.shield)

    @property
    def is_cut(self) -> bool:
        """It is cut and bought as one length of cable: all its wires are new."""
        return all(piece.is_cut for piece in self.wires) and (self.is_shielded or len(self.wires) > 1)

    @property
    def name(self) -> str:
        """What the papers and labels call it."""
        return f"cable {(self.shield or self.wires[0]).number}"

    def ends_of_shield(self, at: int) -> tuple[str, ...]:
        """Lines for the label of the cable's start, 0, or end, 1: what is done with its shield there."""
        if not self.is_shielded:
            return ()
        return ("shield:", self.earthed[at]) if self.earthed else ("shield: see cut list",)

    @property
    def path_m(self) -> float | None:
        """The longest way of its wires [m]; None where one is not known."""
        return _longest([piece.path_m for piece in self.wires])

    @property
    def cut_m(self) -> float | None:
        """The one length that is cut [m], the longest any of its wires needs; None where that of a core is not known,
        or it is not cut. That of the shield may be left open: it lies with its cores."""
        if not self.is_cut:
            return None
        own = None if self.shield is None else self.shield.cut_m
        cores = _longest([piece.cut_m for piece in self.wires])
        return cores if cores is None or own is None else max(cores, own)

    @property
    def item(self) -> str:
        """As a shop is asked for it: ``shielded cable, 2 × 0.5 mm², xlpe125, GN + WH, twisted 30 turns per m``."""
        kind = "shielded cable" if self.is_shielded else "twisted pair"
        cores = " + ".join(f"{count} × {size}" for size, count in Counter(each.size for each in self.wires).items())
        insulation = " / ".join(dict.fromkeys(each.segment.insulation or "insulation not stated"
                                              for each in self.wires))
        colours = " + ".join(each.segment.colour or "colour not stated" for each in self.wires)
        twist = "" if len(self.wires) == 1 else ", twisted, turns not stated" if self.twists is None else \
            f", twisted {writing.typed(self.twists)} turns per m"
        return f"{kind}, {cores}, {insulation}, {colours}{twist}"


def _longest(lengths: list[float | None]) -> float | None:
    known = [each for each in lengths if each is not None]
    return max(known) if known and len(known) == len(lengths) else None


def pair_lines(plan: Plan, found: tuple[Piece, ...]) -> tuple[PairLine, ...]:
    """All pairs and shielded cables, those found and what is added to them apart. Cores with one shield are one."""
    known = {(at, piece.place.endswith(f".{ADDED}")): piece for piece in found if piece.draft is not None
             for at in piece.draft.ends}
    groups: dict[tuple[frozenset[PinId | None], PinId | None, bool], list[Piece]] = {}
    seen = set()
    for (at, added), piece in known.items():
        partner = partner_of(plan, at)
        shield = next((PinId(each.connector, name) for each in (at, partner) if each is not None
                       and (name := each.of(plan).shield) is not None), None)
        if piece.key in seen or (partner is None and shield is None):
            continue
        key = (frozenset((at, partner) if shield is None else ()), shield, added)
        seen.add(piece.key)
        groups.setdefault(key, []).append(piece)
        # The partner of a core is in its cable, whichever of the two names the shield.
        other = None if partner is None else known.get((partner, added))
        if other is not None and other.key not in seen:
            seen.add(other.key)
            groups[key].append(other)
    return tuple(_line(plan, tuple(wires), None if shield is None else known.get((shield, added)), shield is not None)
                 for (_, shield, added), wires in groups.items())


def _line(plan: Plan, wires: tuple[Piece, ...], shield: Piece | None, is_shielded: bool) -> PairLine:
    twists = next((found for each in wires if each.draft is not None
                   and (found := twists_of(plan, each.draft)) is not None), None)
    stated = [float(entered) for each in (*wires, shield) if each is not None and each.draft is not None
              for at in each.draft.ends if (entered := at.of(plan).cable_diameter)]
    return PairLine(wires, shield, twists if len(wires) > 1 else None, is_shielded,
                    max(stated) * 1000.0 if stated else None,
                    () if shield is None else _ends_of_shield(plan, shield))


def _ends_of_shield(plan: Plan, shield: Piece) -> tuple[str, ...]:
    """What becomes of a shield at each of its ends; earthed where the plan says so, nowhere else."""
    mates, found = mates_of(plan), []
    for end in (shield.start, shield.end):
        pin = next((at for at in (() if shield.draft is None else shield.draft.ends)
                    if (end.connector, end.pin) == (at.connector, at.pin)), None)
        if pin is None:
            found.append(f"{end.short}: " + (
                "joined, carried over" if end.splice is not None else "earthed" if shield.returns and end is shield.end
                else "cut back, insulated, not earthed"))
            continue
        connector, mate = plan.connector[pin.connector], mates.get(pin.connector)
        entered = connector.pin[pin.pin]
        own = entered.earth is not None and not shield.returns
        if own or entered.signal == "earth_31" or connector.plugged_into not in (None, "loom"):
            what = "earthed"
        elif mate is not None and pin.pin in plan.connector[mate].pin:
            what = f"goes on to {PinId(mate, pin.pin).words}"
        else:
            what = "goes on, the plan does not say to what"
        found.append(f"{pin.words}: {what}")
    return tuple(found)
