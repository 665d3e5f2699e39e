"""Which voltage or current of the network each point of measurement reads."""

from __future__ import annotations

from collections.abc import Callable

from fuseplan.bench.diagnosis_solve import Quantity, Spot
from fuseplan.bench.diagnosis_tree import CarModel, Element
from fuseplan.bench.points import Point
from fuseplan.plan.feed_way import way_back, way_to
from fuseplan.plan.model import Plan


def quantity_of(model: CarModel, point: Point, setting: int) -> Quantity | None:
    """What a point reads in a setting; None where the network does not tell it."""
    def volts(plus: Spot | None, minus: Spot | None = None) -> Quantity:
        return Quantity(setting, plus, minus)

    def amps(kind: str, number: int) -> Quantity:
        return Quantity(setting, amps_of=(kind, number))

    supply, back = model.supply, model.returns
    if point.kind == "battery":
        return {"volts": volts(Spot(False, 0)), "current": amps("battery", 0)}.get(point.what)
    if point.kind == "earth":
        node = model.earth_node[point.subject]
        return {"drop_mv": volts(Spot(True, node)), "current": amps("returns", node),
                "strap_mv": volts(Spot(True, node), Spot(True, int(back.tree.parent[node])))}.get(point.what)
    if point.kind == "alternator" and model.part.alternator >= 0:
        at = model.part.alternator
        terminal, case = Spot(False, int(supply.node[at])), Spot(True, int(back.node[at]))
        # Its case lies below the negative post while it charges: the meter is put the way round that reads positive.
        return {"volts": volts(terminal, case), "current": amps("alternator", at),
                "cable_mv": volts(terminal, Spot(False, 0)), "case_mv": volts(None, case)}.get(point.what)
    if point.kind not in ("feed", "circuit"):
        return None
    owner = (point.kind, point.subject)
    chain = _chain(model, *owner)
    if point.what.startswith("coil_") or point.what == "socket_v":
        place = model.coil(owner)
        if place < 0:
            return None
        at_86, at_85 = Spot(False, int(supply.node[place])), Spot(True, int(back.node[place]))
        return {"coil_current": amps("consumer", place), "coil_86_v": volts(at_86),
                "coil_85_mv": volts(at_85)}.get(point.what, volts(at_86, at_85))
    within = {"fuse_mv": ("fuse", "fuse"), "holder_mv": ("holder", "fuse"), "contact_mv": ("contact", "contact"),
              "wire_mv": ("wire", "wire")}.get(point.what)
    if within is not None and not (point.kind == "circuit" and point.what == "wire_mv"):
        if any(each not in chain for each in within):
            return None
        first, last = (chain[each] for each in within)
        return volts(Spot(False, int(supply.tree.parent[first])), Spot(False, last))
    if point.kind == "feed":
        node = model.feed_node[point.subject]
        up = min(chain.values(), key=lambda each: len(supply.tree.way(each))) if chain else 0
        return {"volts": volts(Spot(False, node)), "current": amps("supply", node),
                "drop_mv": volts(Spot(False, int(supply.tree.parent[up])), Spot(False, node)) if up else None,
                }.get(point.what)
    place = model.load(point.subject, point.load)
    if place < 0 or not chain:
        return None
    plan: Plan = model.results.plan
    plus, minus = Spot(False, int(supply.node[place])), Spot(True, int(back.node[place]))
    first = min(chain.values(), key=lambda each: len(supply.tree.way(each)))
    circuit = plan.circuit[point.subject]
    feed = Spot(False, model.feed_node.get(circuit.feed or "", 0))
    name = circuit.load[point.load].earth or circuit.earth
    earth = Spot(True, model.earth_node.get(name or "", 0))
    found: dict[str, Callable[[], Quantity]] = {
        "current": lambda: amps("supply", first), "load_current": lambda: amps("consumer", place),
        "feed_v": lambda: volts(feed), "load_v": lambda: volts(plus, minus), "supply_mv": lambda: volts(feed, plus),
        "return_mv": lambda: volts(minus), "earth_mv": lambda: volts(minus, earth),
        "earth_point_mv": lambda: volts(earth),
        "wire_mv": lambda: volts(Spot(False, int(supply.tree.parent[chain["wire"]])), plus),
        "own_wire_mv": lambda: volts(Spot(False, int(supply.tree.parent[plus.node])), plus),
        "own_earth_mv": lambda: volts(minus, Spot(True, int(back.tree.parent[minus.node])))}
    return found[point.what]() if point.what in found else None


def _chain(model: CarModel, kind: str, name: str) -> dict[str, int]:
    """The nodes of the parts of a feed or circuit up to the end of its common wire, by what they are."""
    return {element.what: node for element, node in model.node_of.items()
            if (element.kind, element.subject) == (kind, name)
            and element.what in ("holder", "fuse", "contact", "wire")}


SUPPLY = ""
"""Stands for a circuit where battery, alternator and what joins them are asked about."""


def near(plan: Plan, circuit: str, point: Point) -> bool:
    """Whether a point may tell something about a circuit: its own, and those of its feeds and earth points."""
    if point.kind in ("feed", "earth") and circuit == SUPPLY:
        machine = plan.alternator
        return machine is not None and point.subject in {*way_to(plan, machine.feed), *way_back(plan, machine.earth)}
    if circuit == SUPPLY:
        return point.kind in ("battery", "alternator")
    whole = plan.circuit[circuit]
    if point.kind == "circuit":
        return point.subject == circuit
    if point.kind == "feed":
        coil = None if whole.relay is None else whole.relay.coil_feed
        return point.subject in {*way_to(plan, whole.feed), *way_to(plan, coil)}
    if point.kind == "earth":
        mine = {whole.earth, *(load.earth for load in whole.load)}
        return any(point.subject in set(way_back(plan, each)) for each in mine)
    return point.kind == "battery"


def element_words(plan: Plan, element: Element) -> str:
    """A part in words, in the middle of a sentence."""
    if element.kind == "alternator":
        return "alternator cable, its fuse and its ends"
    if element.kind == "earth":
        earth = plan.earth[element.subject]
        way = "strap or cable" if earth.wire else "body joint"
        return f"earth point '{earth.name or element.subject}': its {way}"
    part = plan.feed[element.subject] if element.kind == "feed" else plan.circuit[element.subject]
    title = part.name or element.subject
    fuse = part.fuse
    if element.what in ("holder", "fuse") and fuse is not None:
        position = f"fuse {fuse.position}" if fuse.position else "fuse"
        words = f"holder of {position}: its contacts" if element.what == "holder" else position
    elif element.what == "contact":
        words = "relay contact and its socket" if part.relay is not None else "switch contact"
    else:
        load = ""
        if element.kind == "circuit" and element.what in ("own_wire", "own_return"):
            each = plan.circuit[element.subject].load[element.load]
            load = each.name or f"load {element.load + 1}"
        words = {"wire": "supply wire, its joints and plugs", "own_wire": f"supply wire of {load} alone",
                 "own_return": f"earth wire or earth joint of {load}",
                 "return": "earth wire and its joint"}[element.what]
    return f"'{title}': {words}"
