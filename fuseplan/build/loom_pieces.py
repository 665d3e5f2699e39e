"""The wires of the looms that are in no circuit, as drafts of wires to cut, label and terminate: those found, those
that are new, and what is added to one that is too short."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.build.ends import Target, Targets
from fuseplan.build.numbers import Owner, numbers_of
from fuseplan.plan.loom_wires import LoomWire, loom_wires
from fuseplan.plan.looms import Pin
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, PinId, end_words, pin_at, pins_of
from fuseplan.plan.parts import End, Joint, Segment
from fuseplan.plan.words import LoomKind, Origin
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import Amount
from fuseplan.quantities.decimals import rounded
from fuseplan.records import dataclass

ADDED = "extension"
"""Last step of the place of a wire that is added to another."""
_ORIGINS: dict[LoomKind, Origin] = {"chassis": "existing", "engine": "donor", "donor": "donor", "new": "new"}


@dataclass(frozen=True)
class Draft:
    """A wire of a loom, before its lengths are worked out."""

    owner: Owner
    place: str
    segment: Segment
    number: str
    made: bool
    signal: str
    returns: bool
    start: Target
    end: Target
    outside_mm: float | None
    ends: tuple[PinId, ...]
    """The pins it ends on or is added to, that one first."""
    cut_back: tuple[tuple[str, float], ...] = ()
    """Splices it is cut back for, each with the length in m that comes off the wire as found."""
    cable: str = ""
    """What it is of a shielded cable, in words; empty for a wire of its own."""


def drafts(plan: Plan, targets: Targets, settled: bool) -> Iterator[Draft]:
    """The wires of the looms: those of which is decided what becomes of them, or all others."""
    for wire in loom_wires(plan):
        if wire.is_settled == settled:
            yield _found(plan, targets, wire)
    if not settled:
        return
    for at, _, pin in pins_of(plan):
        if pin.extension is not None and pin.fate not in GONE:
            yield _added(plan, at, pin)
    for name, loom in plan.loom.items():
        for index, (segment, (number, made)) in enumerate(zip(loom.wire, numbers_of(("loom", name), "wire", loom.wire),
                                                              strict=True)):
            whole = segment.model_copy(update={"origin": segment.origin or _ORIGINS[loom.kind]})
            yield Draft(("loom", name), f"wire.{index}", whole, number, made, segment.note or "", False,
                        _open(segment.start), _open(segment.end), None, ())


def joins(plan: Plan) -> dict[str, PinId | None]:
    """Splices of wires that are joined to another: their names, with the pin whose wire that is; None where it is a
    part in words."""
    return {name: pin_at(plan, pin.join_to) for at, _, pin in pins_of(plan)
            if (name := _join_name(plan, at, pin)) is not None}


def _join_name(plan: Plan, at: PinId, pin: Pin) -> str | None:
    """The splice a pin's wire is joined at; None where it is not joined, or not said to what. Two that are joined to
    each other have one."""
    if pin.fate != "join" or pin.join_to is None or not (pin.join_to.connector or pin.join_to.pin):
        return None
    far = pin_at(plan, pin.join_to)
    if far is None:
        return f"{at.connector}-{at.pin} to {end_words(plan, pin.join_to)}"
    back = far.of(plan)
    both = (at, far) if back.fate != "join" or pin_at(plan, back.join_to) != at else tuple(sorted((at, far)))
    return " to ".join(f"{each.connector}-{each.pin}" for each in both)


def _open(end: End | None) -> Target:
    """What an end leads to where no order of a circuit says it."""
    if end is None or not (end.connector or end.splice):
        return Target("unknown", "other end not entered", short="?")
    return Target("pin", "")


def wire_number(at: PinId, pin: Pin) -> tuple[str, bool]:
    """Number of a pin's wire, and whether it is made here. A stroke is in no number made for a circuit's wire."""
    return (pin.number, False) if pin.number else (f"{at.connector}/{at.pin}", True)


def _end_at(plan: Plan, at: PinId, pin: Pin) -> End:
    """Where a found wire ends at its pin: in the splice of what is added to it, else in the pin, before which it may be
    joined to another."""
    if pin.extension is not None:
        return End(splice=_added_name(at))
    return End(connector=at.connector, pin=at.pin, splice=_join_name(plan, at, pin))


def _added_name(at: PinId) -> str:
    return f"{at.connector}-{at.pin}"


def _found(plan: Plan, targets: Targets, wire: LoomWire) -> Draft:
    at, pin, there = wire.at, wire.pin, wire.there
    connector = plan.connector[at.connector]
    loom = plan.loom.get(connector.loom or "")
    kind = None if loom is None else loom.kind
    origin = "new" if wire.is_new or kind == "new" else "existing" if kind is None else _ORIGINS[kind]
    number, made = wire_number(at, pin)
    far, end, returns = _far_end(plan, targets, wire)
    back = tuple((_added_name(where), float(each.extension.cut_back)) for where, each in (
        (at, pin), *(() if wire.far is None else ((wire.far, there),)))
        if each.extension is not None and each.extension.cut_back is not None)
    length = pin.length or there.length
    if length is not None and back:
        left = float(length) - sum(metres for _, metres in back)
        length = Amount(left, f"{writing.typed(left)} m") if left > 0.0 else None
    along = pin.along or (there.along[::-1] if there.along else None)
    segment = Segment(size=pin.size or there.size, length=length, along=along,
                      insulation=pin.insulation or there.insulation, colour=pin.colour or there.colour, origin=origin,
                      start=_end_at(plan, at, pin), end=end)
    outside = pin.outside_diameter or there.outside_diameter
    function = pin.function or there.function or ""
    ends = (at,) if wire.far is None else (at, wire.far)
    return Draft(("connector", at.connector), f"pin.{at.pin}", segment, number, made, function, returns,
                 Target("pin", pin.function or ""), far,
                 None if outside is None else rounded(float(outside) * 1000.0, 6, "stated"), ends, back,
                 next(filter(None, (_cable(plan, each) for each in ends)), ""))


def _far_end(plan: Plan, targets: Targets, wire: LoomWire) -> tuple[Target, End | None, bool]:
    """What the other end of a found wire leads to, where it ends, and whether that is an earth."""
    if wire.splice is not None:
        return Target("pin", ""), End(splice=wire.splice), False
    if wire.far is not None and wire.far_pin is not None:
        return Target("pin", wire.far_pin.function or ""), _end_at(plan, wire.far, wire.there), False
    if wire.end is not None:
        return Target("pin", ""), End(connector=wire.end.connector, pin=wire.end.pin), False
    if wire.pin.earth is not None:
        return targets.earth(wire.pin.earth), None, True
    if wire.pin.feed is not None:
        return Target("feed", targets.feed(wire.pin.feed)), None, False
    return Target("unknown", "other end not entered", short="?"), None, False


def _added(plan: Plan, at: PinId, pin: Pin) -> Draft:
    """The wire between the splice and the plug's new place, or the wire it is joined to."""
    added = pin.extension
    assert added is not None
    join = _join_name(plan, at, pin)
    end = End(connector=at.connector, pin=at.pin) if join is None else End(splice=join)
    method = None if added.method is None else added.method.replace("_", " ")
    segment = Segment(size=added.size or pin.size, length=added.length, along=added.along,
                      insulation=added.insulation or pin.insulation, colour=added.colour or pin.colour, origin="new",
                      start=End(splice=_added_name(at)), end=end,
                      joint=Joint(method=method, sleeve=added.sleeve, place=Amount(0.0, "0 m")))
    number, _ = wire_number(at, pin)
    return Draft(("connector", at.connector), f"pin.{at.pin}.{ADDED}", segment, f"{number}-B", True,
                 pin.function or "", False, Target("pin", ""), Target("pin", pin.function or ""), None, (at,), (),
                 _cable(plan, at))


def partner_of(plan: Plan, at: PinId) -> PinId | None:
    """The pin whose wire a pin's wire is twisted with, whichever of the two says so."""
    pins = plan.connector[at.connector].pin
    name = pins[at.pin].twisted_with or next((name for name, pin in pins.items() if pin.twisted_with == at.pin), None)
    return None if name is None or name not in pins else PinId(at.connector, name)


def twists_of(plan: Plan, draft: Draft) -> float | None:
    """Turns per metre of the pair a wire is one of, by what any of its ends says; None where that is not entered, or it
    is in none."""
    added = draft.place.endswith(f".{ADDED}")
    for at in draft.ends:
        partner = partner_of(plan, at)
        pins = [] if partner is None else [each.of(plan) for each in (at, partner)]
        own = [pin.extension.twists for pin in pins if added and pin.extension is not None]
        found = next((each for each in (*own, *(pin.twists for pin in pins)) if each is not None), None)
        if found is not None:
            return float(found)
    return None


def _cable(plan: Plan, at: PinId) -> str:
    pins = plan.connector[at.connector].pin
    if pins[at.pin].shield is not None:
        return "core of a shielded cable"
    return "shield of a shielded cable" if any(pin.shield == at.pin for pin in pins.values()) else ""
