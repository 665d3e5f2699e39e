"""Making wires longer: where each splice goes, what is kept, and what the plan's file then says.

The connector moves away by a distance. Each wire is cut back a little further than its neighbour, so that no two
splices lie side by side, and a new wire leads from there to the connector's new place. Pairs and shields go together.
No place is used twice: nothing on file says after how many wires it may be, and which wires of a loom touch is not
known.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, count
from typing import Any

from fuseplan.checks.rules.joints_side_by_side import STAGGER_M
from fuseplan.engine.at_limit import falls_short
from fuseplan.errors import EditError
from fuseplan.plan.looms import Pin
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, CircuitEnd, Net, Nets, PinId, circuit_ends, splices_of
from fuseplan.plan.part_names import pin_words
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import LENGTH, amount
from fuseplan.records import dataclass
from fuseplan.tables.contacts import stub_limits, twist_limits

METHOD, SLEEVE = "crimp", "adhesive-lined heat-shrink"
LONG_CUT_M = 0.5
"""Cut back further than this, splices are the wrong way; common practice, no source."""
EVERY_SPLICE = (f"Every splice {writing.burden(STAGGER_M, 'm')} or more from connectors, branches, clips and bends, in "
                f"a straight length; {METHOD}, {SLEEVE} over it, lapping both insulations. Same size and colour as "
                "found.")

Path = tuple[str | int, ...]
Edit = tuple[Path, Any]


@dataclass(frozen=True)
class Longer:
    """How one wire is made longer.

    Attributes:
        length_m: of the new wire, splice to connector; it replaces what was added before
        cut_back_m: cut off the wire as it is now, beyond what was cut off before
        end: of the circuit's segment on the pin; None for a wire that is in no circuit
        splice: name of the new splice
        notes: what is to be seen to, each a sentence's middle
    """

    at: PinId
    length_m: float
    cut_back_m: float
    end: CircuitEnd | None
    splice: str
    notes: tuple[str, ...]


def together(plan: Plan, at: PinId) -> list[PinId]:
    """A pin with what must go with it: the partner of its pair, their shield."""
    pins = plan.connector[at.connector].pin
    found: dict[str, None] = {}
    ahead = [at.pin]
    while ahead:
        number = ahead.pop()
        if number in found:
            continue
        found[number] = None
        pin = pins[number]
        ahead += [each for each in (pin.twisted_with, pin.shield) if each is not None]
        ahead += [name for name, each in pins.items() if number in (each.twisted_with, each.shield)]
    return [PinId(at.connector, number) for number in pins if number in found]


def longer(plan: Plan, pins: Sequence[PinId], by_m: float) -> list[Longer]:
    """How the wires of one connector are made longer by a distance, with splices staggered from the old end on.

    Args:
        pins: pins of one connector; what must go with them is added, what is cut off or spare left out
        by_m: how far the connector moves, more than 0
    Raises:
        EditError: A wire is on a connector or a circuit that is out of scope, or nothing is to be made longer.
    """
    if not pins or by_m <= 0.0:
        raise EditError("nothing is to be made longer; accepted are pins of a connector and a length above 0")
    name = pins[0].connector
    connector = plan.connector[name]
    wanted = {each for at in pins for each in together(plan, at)}
    ends, nets = circuit_ends(plan), Nets(plan)
    taken = [place for number, pin in connector.pin.items() if (at := PinId(name, number)) not in wanted
             for place in _splice_places(pin, ends.get(at, ()))]
    found: list[Longer] = []
    for number, pin in connector.pin.items():
        at = PinId(name, number)
        if at not in wanted or pin.fate in GONE:
            continue
        marked = nets.off_limits(at)
        if marked:
            raise EditError(f"{pin_words(plan, at)} is on {marked}: its wire is not spliced or made longer here; "
                            "accepted is the maker's own procedure")
        beside = [each for each in ends.get(at, ()) if each.owner[0] == "loom"]
        end = next((each for each in ends.get(at, ()) if each not in beside), None)
        least = by_m + (float(pin.extension.length) if end is None and pin.extension is not None else 0.0)
        length = _free(least, taken)
        taken.append(length)
        found.append(Longer(at, length, length - least, end, _splice_name(plan, at), (
            *_notes(plan, at, pin, length - least, by_m, nets.of(at)),
            *((f"wires beside it in this pin: {len(beside)}; lay them anew, or join them to it at its splice",)
              if beside else ()))))
    if not found:
        raise EditError(f"no wire of {name} can be made longer: all are cut off or spare")
    return found


def _splice_name(plan: Plan, at: PinId) -> str:
    """A name for the splice behind a pin that no splice has yet."""
    known = splices_of(plan)
    name = f"{at.connector}-{at.pin}"
    return next(each for each in chain([name], (f"{name}-{number}" for number in count(2))) if each not in known)


def _splice_places(pin: Pin, ends: Sequence[CircuitEnd]) -> Iterator[float]:
    """How far from the connector the splices lie that a pin's wire has already, in m."""
    if pin.extension is not None:
        yield float(pin.extension.length)
    for end in ends:
        segment = end.segment
        for joint in (segment.joint, *segment.splice):
            if joint is None or joint.place is None:
                continue
            if end.side == "start":
                yield float(joint.place)
            elif segment.length is not None:
                yield float(segment.length) - float(joint.place)


def _free(least_m: float, taken: Sequence[float]) -> float:
    """The shortest new wire whose splice is no nearer than the stagger to the connector and to any other splice."""
    length = max(least_m, STAGGER_M)
    for other in sorted(taken):
        if falls_short(abs(length - other), STAGGER_M):
            length = other + STAGGER_M
    return length


def _notes(plan: Plan, at: PinId, pin: Pin, cut_back_m: float, by_m: float, net: Net) -> Iterator[str]:
    pins = plan.connector[at.connector].pin
    if cut_back_m > 0.0:
        yield f"cut the wire as found back by {writing.burden(cut_back_m, 'm')} first"
    if pin.extension is not None:
        yield f"the new wire replaces the {pin.extension.length} added before"
    if pin.length is not None and cut_back_m >= float(pin.length):
        yield f"the wire as found is only {pin.length} long: lay a new one"
    partner = pin.twisted_with or next((name for name, each in pins.items() if each.twisted_with == at.pin), None)
    if partner is not None:
        least, most = twist_limits()
        yield (f"keep it with pin {partner}, twisted up to the splice and behind it: at least "
               f"{writing.stated(least.value, '-')} turns per metre, better {writing.stated(most.value, '-')}")
    if pin.shield is not None or pin.signal == "shield":
        yield "carry the shield over the splice; earthed at the control unit only, insulated at the other end"
    if pin.signal in ("bus_high", "bus_low"):
        stub = float(pin.stub or 0.0) + by_m
        limits = ", ".join(f"{writing.stated(each.value, 'm')} ({each.words})" for each in stub_limits(pin.bus_rate))
        known = "" if pin.stub is not None else ", its stub so far not entered"
        yield f"stub then {writing.burden(stub, 'm')}{known}; published limits: {limits}"
    if pin.signal == "sensor_return":
        yield "it goes on to the control unit only: no earth on the way"
    if pin.colour is None:
        yield "its colour is not entered: mark both sides of the splice with the pin"
    if net.splices:
        yield (f"splice {', '.join(net.splices)} is on this wire already: one splice between two plugs is the rule "
               "(FAA AC 43.13-1B, paragraph 11-167 c); run the new wire from that splice if it can be reached")


def furthest_back(plan: Plan, found: Sequence[Longer]) -> str:
    """How far the wire that is cut back most loses, and what is better where that is far; empty where none is cut."""
    most = max(found, key=lambda each: each.cut_back_m)
    if most.cut_back_m <= 0.0:
        return ""
    far = "" if most.cut_back_m <= LONG_CUT_M else \
        " So many splices want a plug between old and new wires, or a new loom from the last branch on."
    return (f"No two splices side by side: the furthest, of {pin_words(plan, most.at)}, cuts its wire back by "
            f"{writing.burden(most.cut_back_m, 'm')}.{far}")


def in_order(found: Sequence[Longer]) -> list[Longer]:
    """Wires in the order in which their edits are made: of several in one wire of a circuit the last segment first, so
    that none moves another."""
    return sorted(found, key=lambda each: (0, False) if each.end is None else (-each.end.number,
                                                                               each.end.side == "start"))


def edits(data: Mapping[str, Any], each: Longer, pin: Pin, zone: str | None) -> list[Edit]:
    """What changes in the plan's file: paths and values.

    Args:
        data: the file as plain dicts and lists
        zone: zone the connector is in, for the new wire of a circuit
    """
    fate: list[Edit] = [] if pin.fate in ("new", "join") else [((*each.at.path, "fate"), "extend")]
    length = writing.entry(each.length_m, "m")
    if each.end is not None:
        return [*fate, _wire_edit(data, each, each.end, length, zone)]
    before = data["connector"][each.at.connector]["pin"][each.at.pin].get("extension", {})
    made: dict[str, Any] = {"length": length, "method": METHOD, "sleeve": SLEEVE} | before | {"length": length}
    if each.cut_back_m > 0.0:
        cut = pin.extension.cut_back if pin.extension is not None else None
        made["cut_back"] = writing.entry(each.cut_back_m + float(cut or 0.0), "m")
    return [*fate, ((*each.at.path, "extension"), made)]


def _wire_edit(data: Mapping[str, Any], each: Longer, end: CircuitEnd, length: str, zone: str | None) -> Edit:
    """The wire of the circuit with a segment of new wire between the splice and the connector."""
    root: Path = ("alternator",) if end.owner[0] == "alternator" else end.owner
    path: Path = (*root, *(int(step) if step.isdigit() else step for step in end.place.split(".")))
    wire: Any = data
    for step in path:
        wire = wire[step]
    segments = [dict(segment) for segment in wire]
    old = segments[end.number]
    new = {key: old[key] for key in ("size",) if key in old} | {"length": length}
    new |= {"zone": zone} if zone is not None else {"zone": old["zone"]} if "zone" in old else {}
    new |= {key: old[key] for key in ("insulation", "colour") if key in old}
    joint = {"method": METHOD, "sleeve": SLEEVE, "place": "0 m" if end.side == "end" else length}
    near = "start" if end.side == "end" else "end"
    new |= {"origin": "new", "joint": joint, near: {"splice": each.splice}, end.side: old.pop(end.side)}
    old[end.side] = {"splice": each.splice}
    if "length" in old and each.cut_back_m > 0.0:
        shorter = float(amount(old["length"], LENGTH)) - each.cut_back_m
        if shorter > 0.0:
            old["length"] = writing.entry(shorter, "m")
    segments.insert(end.number + (end.side == "end"), new)
    return path, segments
