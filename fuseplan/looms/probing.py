"""How each unknown pin is found out the cheapest way: which pin to probe, how, and what the plan lets one expect."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import chain, islice

from fuseplan.errors import TableError
from fuseplan.formulas.resistance import wire_resistance
from fuseplan.looms.functions import function_of
from fuseplan.plan.looms import Pin
from fuseplan.plan.mating import normal, signal_words
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import Nets, PinId, mates_of, pin_at, pins_of
from fuseplan.plan.part_names import in_words, named_end, pin_words
from fuseplan.plan.unknown_pins import DECISION, UnknownPin, blocking, lacks_of, unknown_pins
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.conductors import conductor

CONTINUITY_OHM = 1.0
"""Leads and contacts of a meter included; common practice, no source."""
_COSTS = ("look", "ohms, one wire", "ohms, several wires", "volts", "trace")
"""Cheapest first: a look into the plug, a meter on one wire, on several, the battery on, the loom opened."""


@dataclass(frozen=True)
class Probe:
    """What to do about one unknown.

    Attributes:
        unknown: the pin, or the cavities that are not entered
        cost: how dear it is, from 0, a look
        how: what to do, one sentence
        expect: what the plan lets one expect; empty where it says nothing
        blocks: plugs that get no power until it is known
    """

    unknown: UnknownPin
    cost: int
    how: str
    expect: str
    blocks: tuple[str, ...]

    @property
    def cost_words(self) -> str:
        """The cost in a word or two."""
        return _COSTS[self.cost]


def probes(plan: Plan) -> list[Probe]:
    """A probe for every unknown, first what blocks most plugs, then what is cheapest."""
    nets, mates, coloured = Nets(plan), mates_of(plan), _by_loom_and_colour(plan)
    waiting: dict[UnknownPin, list[str]] = {}
    for blocked in blocking(nets):
        for each in blocked.because:
            waiting.setdefault(each, []).append(blocked.connector)
    found = [_probe(nets, mates, coloured, each, tuple(waiting.get(each, ()))) for each in unknown_pins(plan)]
    return sorted(found, key=lambda probe: (-len(probe.blocks), probe.cost))


Coloured = dict[tuple[str, str], list[PinId]]
"""Pins by loom and colour of their wire."""


def _by_loom_and_colour(plan: Plan) -> Coloured:
    found: Coloured = defaultdict(list)
    for at, connector, pin in pins_of(plan):
        if connector.loom is not None and pin.colour is not None:
            found[connector.loom, normal(pin.colour)].append(at)
    return found


def _probe(nets: Nets, mates: dict[str, str], coloured: Coloured, unknown: UnknownPin, blocks: tuple[str, ...]
           ) -> Probe:
    plan, at = nets.plan, unknown.at
    if not at.pin:
        return Probe(unknown, 0, f"look into {in_words(plan, 'connector', at.connector)} and enter every cavity: "
                                 "the wire's colour and size, or spare where it is empty", "", blocks)
    pin = at.of(plan)
    ways = (_by_scope(nets, at), _by_fate(plan, at, pin), _unprobed(nets, at), _by_mate(plan, mates, at),
            _by_other_end(plan, at, pin), _by_signal(plan, at, pin), _by_colour(nets, coloured, at, pin))
    for cost, how, expect in chain.from_iterable(ways):
        return Probe(unknown, cost, how, expect, blocks)
    return Probe(unknown, 4, f"battery off, plug off: ohms from {pin_words(plan, at)} to the body, then to every other "
                             "pin of the plug; what stays open is traced along the loom", _candidates(), blocks)


Way = tuple[int, str, str]


def _by_scope(nets: Nets, at: PinId) -> Iterator[Way]:
    """Nothing is measured on what is joined to a circuit or a plug that this program says nothing about."""
    marked = nets.off_limits(at)
    if marked:
        yield 0, (f"no meter on {pin_words(nets.plan, at)} and no splice: it is on {marked}; follow the maker's "
                  f"own procedure, and mark {in_words(nets.plan, 'connector', at.connector)} out of scope too, if all "
                  "of it is"), ""


def _by_fate(plan: Plan, at: PinId, pin: Pin) -> Iterator[Way]:
    """What is known but for a decision needs no meter."""
    lacks = lacks_of(pin)
    if lacks == (DECISION,):
        yield 0, (f"decide what becomes of {pin_words(plan, at)}, {pin.function}: keep, extend, join, or cut and "
                  "insulate"), ""
    elif lacks == ("what it is joined to",):
        yield 0, f"enter what {pin_words(plan, at)}, {pin.function}, is joined to", ""


def _unprobed(nets: Nets, at: PinId) -> Iterator[Way]:
    """Nothing is measured on a wire whose function, at whichever end it is entered, is left to its maker."""
    for each in nets.of(at).pins:
        function = function_of(each.of(nets.plan).function)
        if function is not None and not function.is_probed:
            yield 0, f"no meter on {pin_words(nets.plan, at)}, {function.name}: {function.measure}", ""


def not_probed(nets: Nets, at: PinId) -> str:
    """Why no meter is put on a pin; empty where one may be."""
    return next((how for _, how, _ in chain(_by_scope(nets, at), _unprobed(nets, at))), "")


def _is_told(pin: Pin) -> bool:
    """Whether a pin is known and says what it does; one that is cut off or spare says nothing."""
    return pin.function is not None and pin.signal is not None and not lacks_of(pin)


def _by_mate(plan: Plan, mates: dict[str, str], at: PinId) -> Iterator[Way]:
    mate = mates.get(at.connector)
    other = plan.connector[mate].pin.get(at.pin) if mate is not None and mate in plan.connector else None
    if mate is not None and other is not None and _is_told(other):
        colour = f", {other.colour}" if other.colour else ""
        yield 0, (f"look at the same cavity of the other half, {pin_words(plan, PinId(mate, at.pin))}{colour}, then "
                  "continuity through the plugged pair"), f"{other.function}, {signal_words(other.signal)}"


def _by_other_end(plan: Plan, at: PinId, pin: Pin) -> Iterator[Way]:
    if pin.other_end is None or not (pin.other_end.connector or pin.other_end.pin):
        return
    far = pin_at(plan, pin.other_end)
    known = far.of(plan) if far is not None else None
    said = f"; there it is {known.function}, {signal_words(known.signal)}" if known and _is_told(known) else ""
    yield 1, f"battery off, both plugs off: ohms from {pin_words(plan, at)} to {named_end(plan, pin.other_end)}", \
        f"{_continuity(pin)}{said}"


def _continuity(pin: Pin) -> str:
    least = f"under {writing.stated(CONTINUITY_OHM, 'ohm')}"
    if pin.size is None or pin.length is None:
        return least
    try:
        r20 = conductor(pin.size.system, pin.size.name).r20_ohm_per_m
    except TableError:
        return least
    ohm = float(wire_resistance(r20_ohm_per_m=r20, length_m=float(pin.length), temperature_factor=1.0))
    return least if not math.isfinite(ohm) else f"{least}, of which the wire has {writing.burden(ohm, 'ohm')}"


def _by_signal(plan: Plan, at: PinId, pin: Pin) -> Iterator[Way]:
    if pin.signal is None:
        return
    function = function_of(pin.function)
    if function is not None and function.measure.startswith("ohms"):  # nothing else is sure to need no power
        yield 2, f"{pin_words(plan, at)}, {pin.function}: battery off, {function.measure}", ""
        return
    way = _SIGNAL_PROBES.get(pin.signal)
    if way is not None:
        cost, how, expect = way
        yield cost, f"{pin_words(plan, at)}: {how}", expect.replace("{battery}", _battery(plan))


def _battery(plan: Plan) -> str:
    """What a battery at rest shows, as the plan has it."""
    if plan.battery is not None and plan.battery.open_circuit is not None:
        return f"battery voltage, {plan.battery.open_circuit}"
    return f"battery voltage ({plan.vehicle.system} system)"


_OFF = "battery on through a 5 A fuse, plug off: volts to earth"
_SIGNAL_PROBES: dict[str, Way] = {
    "supply_30": (3, f"{_OFF} with the key off", "{battery}"),
    "supply_15": (3, f"{_OFF} with the key off, on, and at start", "0 V, then {battery}, and still while cranking"),
    "supply_75": (3, f"{_OFF} with the key off, at accessory, and at start", "0 V, then {battery}, 0 V while cranking"),
    "supply_50": (3, f"{_OFF} with the key on and at start", "0 V, then {battery} at start only"),
    "supply_58": (3, f"{_OFF} with the side lights off and on", "0 V, then {battery}"),
    "supply_87": (3, f"{_OFF} with the relay pulled and in, key on", "0 V, then {battery}"),
    "switched_supply": (3, f"{_OFF} with its switch off and on", "0 V, then {battery}"),
    "earth_31": (1, "battery off, plug off: ohms to the body and to the engine block", "under 1 Ω"),
    "sensor_supply": (1, "battery off, control unit unplugged: ohms to the control unit's sensor supply pin, and to "
                         "the body", "under 1 Ω to the pin, open to the body"),
    "sensor_return": (1, "battery off, control unit unplugged: ohms to the control unit's sensor return pin, and to "
                         "the body", "under 1 Ω to the pin, open to the body"),
    "shield": (1, "battery off, control unit unplugged: ohms to the control unit's shield pin, and to the body",
               "under 1 Ω to the pin, open to the body"),
    "bus_high": (1, "battery off: ohms to the low wire of the pair", "60 Ω with both end resistors, 120 Ω with one"),
    "bus_low": (1, "battery off: ohms to the high wire of the pair", "60 Ω with both end resistors, 120 Ω with one"),
    "coil_driver": (2, "battery off, control unit unplugged: ohms to the relay's or valve's supply pin",
                    "its coil: 10 to 120 Ω"),
    "signal": (2, "battery off, both plugs off: ohms to each pin of the control unit's plug with that colour",
               "under 1 Ω to one, open to the rest"),
    "pulse": (2, "battery off, both plugs off: ohms to each pin of the control unit's plug with that colour",
              "under 1 Ω to one, open to the rest"),
}
"""By the kind of signal that a diagram or a guess names: cost, how to prove it, what is then expected. Common practice,
no source; 120 Ω at each end of a bus SAE J1939-11, second-hand."""


def _by_colour(nets: Nets, coloured: Coloured, at: PinId, pin: Pin) -> Iterator[Way]:
    """Pins of the same loom with a wire of the same colour, and size where both are entered."""
    plan = nets.plan
    if pin.colour is None:
        return
    loom = plan.connector[at.connector].loom
    if loom is None:
        return
    fitting = (other for other in coloured[loom, normal(pin.colour)] if other.connector != at.connector
               and _same_size(pin, other.of(plan)) and not nets.off_limits(other) and not any(_unprobed(nets, other)))
    alike = [*islice(fitting, _SHOWN + 1)]
    if not alike:
        return
    shown = ", ".join(pin_words(nets.plan, each) for each in alike[:_SHOWN]) + (" …" if len(alike) > _SHOWN else "")
    colours = Counter(each.of(plan).function for each in alike)
    named = ", ".join(str(function) for function in colours if function)
    yield (1 if len(alike) == 1 else 2), (
        f"battery off, both plugs off: ohms from {pin_words(nets.plan, at)} to {shown}, the same colour ({pin.colour}) "
        "in the same loom"), "under 1 Ω to one of them" + (f"; there: {named}" if named else "")


def _same_size(one: Pin, other: Pin) -> bool:
    return one.size is None or other.size is None or one.size == other.size


_SHOWN = 3


def _candidates() -> str:
    return "under 1 Ω to the body: an earth, or a lamp's or heater's cold filament; open: all else"
