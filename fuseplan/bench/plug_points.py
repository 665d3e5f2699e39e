"""What is measured at the plugs of the looms: every wire from pin to pin, and for each plug in one go what its pins
show to earth, to its supplies, and with power on before a control unit is plugged in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from fuseplan.looms.probing import not_probed
from fuseplan.plan.loom_wires import loom_wires
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, Nets, PinId, circuit_ends, pin_at, pins_of
from fuseplan.plan.parts import End
from fuseplan.plan.unknown_pins import lacks_of
from fuseplan.plan.words import LIVE_SIGNALS
from fuseplan.records import dataclass

_FROM_CONTROL_UNIT = ("sensor_supply", "sensor_return", "shield", "bus_high", "bus_low")
"""Kinds of signal that are dead as long as the control unit is unplugged. Others may get volts by a lamp or a coil."""
_LIVE_UNPLUGGED = ("supply_30", "supply_15", "supply_75")
"""Kinds of supply that are live with the key on and the control unit unplugged. Others wait for its main relay, for the
starter or for a switch."""
DEAD_V = 0.1
"""Less than this is nothing. Common practice, no source."""


@dataclass(frozen=True)
class RungWire:
    """Two pins with one wire, or several joined, between them.

    Attributes:
        changed: a wire on the way is new, made longer or joined
    """

    start: PinId
    end: PinId
    function: str
    changed: bool


@dataclass(frozen=True)
class Plug:
    """One connector with its pins by what they are measured for; none of what is not to be probed."""

    name: str
    supplies: tuple[str, ...]
    live: tuple[str, ...]
    """Those of them that are live with the key on, the control unit unplugged."""
    earths: tuple[str, ...]
    signals: tuple[str, ...]
    """Pins that carry neither supply nor earth."""
    sensors: tuple[str, ...]
    """Those of them that get nothing from anywhere but the control unit."""
    bus: tuple[str, str] | None
    """High and low pin of a data bus."""
    is_control_unit: bool
    changed: bool
    never: tuple[str, ...]
    """Its pins that no meter is put on."""


def plugs(plan: Plan) -> Iterator[Plug]:
    """The connectors with pins of which is known what they do; none of those out of scope."""
    nets, changed = Nets(plan), _changed(plan)
    found: dict[str, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for at, connector, pin in pins_of(plan):
        if connector.out_of_scope is not None or pin.fate in GONE or lacks_of(pin) or pin.signal is None:
            continue
        kind = "never" if not_probed(nets, at) else "supply" if pin.signal in LIVE_SIGNALS else \
            "earth" if pin.signal == "earth_31" else "signal"
        found[at.connector][kind].append(at.pin)
        if kind == "supply" and pin.signal in _LIVE_UNPLUGGED:
            found[at.connector]["live"].append(at.pin)
        if kind == "signal" and pin.signal in ("bus_high", "bus_low"):
            found[at.connector][pin.signal].append(at.pin)
        if kind == "signal" and pin.signal in _FROM_CONTROL_UNIT:
            found[at.connector]["sensor"].append(at.pin)
    for name, kinds in found.items():
        bus = (kinds["bus_high"][0], kinds["bus_low"][0]) if kinds["bus_high"] and kinds["bus_low"] else None
        yield Plug(name, tuple(kinds["supply"]), tuple(kinds["live"]), tuple(kinds["earth"]),
                   tuple(kinds["signal"]), tuple(kinds["sensor"]), bus,
                   plan.connector[name].plugged_into == "control_unit", name in changed, tuple(kinds["never"]))


def _changed(plan: Plan) -> set[str]:
    return {at.connector for at, _, pin in pins_of(plan) if pin.fate in ("new", "extend", "join")}


def never_probed(plan: Plan) -> tuple[str, ...]:
    """Connectors that are out of scope, in words."""
    return tuple(f"{connector.name or name} ({connector.out_of_scope.replace('_', ' ')})"
                 for name, connector in plan.connector.items() if connector.out_of_scope is not None)


def rung_wires(plan: Plan) -> tuple[RungWire, ...]:
    """The wires of the looms in no circuit of which is decided what becomes of them, each from the control unit's pin,
    else from the first, to every other pin it leads to; plug by plug. Both plugs are off, so what is joined by plugging
    is not one wire."""
    nets, taken = Nets(plan), circuit_ends(plan)
    ways = _ways(plan)
    found = []
    seen: set[PinId] = set()
    pins = [at for at, _, _ in pins_of(plan) if at in ways]
    for first in sorted(pins, key=lambda at: plan.connector[at.connector].plugged_into != "control_unit"):
        if first in seen:
            continue
        reached = {at: changed for at, changed in _reached(ways, first).items() if isinstance(at, PinId)}
        seen |= set(reached)
        pin = first.of(plan)
        for at, changed in reached.items():
            there = at.of(plan)
            if at != first and "join" not in (pin.fate, there.fate) and at not in taken and not not_probed(nets, at):
                found.append(RungWire(first, at, pin.function or there.function or "", changed))
    order = list(plan.connector)
    return tuple(sorted(found, key=lambda wire: order.index(wire.start.connector)))


Node = PinId | tuple[str, str]
"""A pin, or ``("splice", name)``."""
Ways = dict[Node, dict[Node, bool]]


def _ways(plan: Plan) -> Ways:
    """Where wires lead from each pin and splice, and whether they are changed."""
    found: Ways = defaultdict(dict)

    def link(one: Node | None, other: Node | None, changed: bool) -> None:
        if one is not None and other is not None:
            found[one][other] = found[other][one] = changed or found[one].get(other, False)

    for wire in loom_wires(plan):
        if wire.is_settled:
            changed = any(pin is not None and pin.fate in ("new", "extend") for pin in (wire.pin, wire.far_pin))
            link(wire.at, wire.far if wire.splice is None else ("splice", wire.splice), changed)
    for loom in plan.loom.values():
        for segment in loom.wire:
            link(_node(plan, segment.start), _node(plan, segment.end), segment.origin == "new" or loom.kind == "new")
    for at, _, pin in pins_of(plan):
        link(at, pin_at(plan, pin.join_to) if pin.fate == "join" else None, True)
    return dict(found)


def _node(plan: Plan, end: End | None) -> Node | None:
    if end is not None and end.splice is not None:
        return "splice", end.splice
    return pin_at(plan, end)


def _reached(ways: Ways, first: Node) -> dict[Node, bool]:
    """All that wires lead to from a pin, and whether anything on the way is changed."""
    found, ahead = {first: False}, [first]
    while ahead:
        here = ahead.pop(0)
        for node, changed in ways[here].items():
            if node not in found:
                found[node] = found[here] or changed
                ahead.append(node)
    return found
