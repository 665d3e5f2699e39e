"""Where a meter is put: every point of measurement of a plan, by its address.

An address names the part and what is read: ``circuit.fuel_pump.current``, ``circuit.fuel_pump.load.1.load_v`` for a
load after the first (numbered from 0, as in the result), ``feed.main_bus.volts``, ``earth.rear_stud.drop_mv``,
``battery.volts``. An id that holds a dot stands in quotation marks. Values are kept in V, A, ohm and K; the unit of a
point says how people write them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple
from weakref import WeakKeyDictionary

from fuseplan.bench.series_lamp import BULB_W, SeriesLamp
from fuseplan.checks.assessment import Assessment
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX
from fuseplan.plan.coils import driver_side
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.parts import Relay
from fuseplan.records import dataclass
from fuseplan.results.address import joined

Kind = Literal["circuit", "feed", "earth", "battery", "alternator", "can", "connector"]
Unit = Literal["A", "mA", "V", "mV", "ohm", "K"]

SCALE: Mapping[str, float] = MappingProxyType({"A": 1.0, "mA": 1e-3, "V": 1.0, "mV": 1e-3, "ohm": 1.0, "K": 1.0})
"""What one of the unit of a point is in V, A, ohm or K."""
MINUS = "battery negative post"


class What(NamedTuple):
    """One thing that is read: what it is in words, its unit, and where the red and the black probe go; for a current
    the first is where it is measured."""

    words: str
    unit: Unit
    probe: str
    to: str = ""


_LOAD: dict[str, What] = {
    "load_v": What("volts across the load", "V", "{load}, supply pin", "{load}, earth pin"),
    "supply_mv": What("supply-side drop", "mV", "{feed}", "{load}, supply pin"),
    "return_mv": What("earth-side drop", "mV", "{load}, earth pin", MINUS),
    "earth_mv": What("drop of its earth wire and joint", "mV", "{load}, earth pin", "{earth}"),
}
_CIRCUIT: dict[str, What] = {
    "current": What("current", "A", "round the supply wire, behind {fuse}"),
    "feed_v": What("volts at the supply point", "V", "{feed}", MINUS),
    "off_v": What("volts at the load, circuit switched off", "V", "{load}, supply pin", MINUS),
    "wire_mv": What("drop of the supply wire, behind fuse and contact", "mV", "load side of {contact}",
                    "{load}, supply pin"),
    "earth_point_mv": What("drop from its earth point", "mV", "{earth}", MINUS),
    "lamp_v": What("volts across the series lamp in the fuse's place", "V", "{fuse}, supply side", "{fuse}, load side"),
    "plug_v": What("volts at its unplugged connector", "V", "supply pin of the open connector", MINUS),
    "cold_ohm": What("cold resistance, loads plugged in", "ohm", "{fuse}, load side", MINUS),
    "plus_to_earth_ohm": What("supply wire to earth, loads unplugged", "ohm",
                              "{load}, supply pin of the open connector", MINUS),
    "wire_ohm": What("supply wire end to end", "ohm", "{fuse}, load side",
                     "{load}, supply pin of the open connector"),
    "return_ohm": What("earth wire end to end", "ohm", "{load}, earth pin of the open connector", MINUS),
    "holder_rise": What("temperature above a like part with a like current", "K", "{fuse}",
                        "a like part"),
}
_FUSE: dict[str, What] = {
    "fuse_mv": What("drop across the fuse, on its test points", "mV", "{fuse}, supply side", "{fuse}, load side"),
    "holder_mv": What("drop across fuse and holder", "mV", "terminal of the wire into the holder",
                      "terminal of the wire out of the holder"),
}
_OWN_WIRE: dict[str, What] = {
    "own_wire_mv": What("drop of its own supply wire", "mV", "end of the common wire", "{load}, supply pin"),
}
_OWN_EARTH: dict[str, What] = {
    "own_earth_mv": What("drop of its own earth wire", "mV", "{load}, earth pin", "beginning of the common earth wire"),
}
_BLOWN: dict[str, What] = {
    "bulb_v": What("volts across a {bulb} in the place of its blown fuse, circuit switched on", "V",
                   "{fuse}, supply side", "{fuse}, load side"),
}
_CONTACT: dict[str, What] = {"contact_mv": What("drop across {contact}", "mV", "{contact}, supply side",
                                                "{contact}, load side")}
_COIL_86: dict[str, What] = {"coil_86_v": What("volts at the coil's supply terminal", "V", "relay 86", MINUS)}
_COIL_85: dict[str, What] = {"coil_85_mv": What("earth-side drop of the coil", "mV", "relay 85", MINUS)}
_COIL: dict[str, What] = {
    "coil_v": What("volts across the relay coil", "V", "relay 86", "relay 85"),
    "coil_current": What("current of the relay coil", "mA", "in the wire to 86 or 85"),
    "socket_v": What("volts at the coil terminals of the socket, relay pulled out", "V", "socket 86", "socket 85"),
}
_RELAY_FEED: dict[str, What] = {
    "relay_feed_v": What("volts at relay {terminal} with {how}", "V", "relay {terminal}", MINUS),
}
_FEED: dict[str, What] = {
    "volts": What("volts", "V", "{feed}", MINUS),
    "current": What("current into it", "A", "round the wire to {feed}"),
    "drop_mv": What("drop from the feed before it", "mV", "{upstream}", "{feed}"),
    "lamp_v": What("volts across the series lamp in the fuse's place", "V", "{fuse}, supply side", "{fuse}, load side"),
    "earth_ohm": What("to earth, all fuses out, everything unplugged", "ohm", "{feed}", MINUS),
    "other_feeds_ohm": What("to every other feed in turn: write the lowest", "ohm", "{feed}", "each other feed"),
    "holder_rise": What("temperature above a like part with a like current", "K", "{fuse}", "a like part"),
}
_ROOT: dict[str, What] = {
    "lamp_v": What("volts across the series lamp in the battery earth lead", "V", "end of the earth lead, taken off",
                   MINUS),
}
_EARTH: dict[str, What] = {
    "drop_mv": What("drop to battery negative", "mV", "{earth}", MINUS),
    "strap_mv": What("drop to the earth point it leads to", "mV", "{earth}", "{upstream}"),
    "current": What("current of its strap or cable", "A", "round its strap or cable"),
}
_BATTERY: dict[str, What] = {
    "volts": What("volts", "V", "battery positive post", MINUS),
    "current": What("current out of the battery; into it is negative", "A", "round every cable of the negative post"),
    "ripple_mv": What("AC ripple", "mV", "battery positive post", MINUS),
    "drain": What("standing drain", "mA", "in series in the negative cable, fused range, or clamp round it"),
    "load_test_v": What("volts after 15 s at half the cold-cranking current", "V", "battery positive post", MINUS),
    "reserve_v": What("lowest volts while cranking after 10 min on the battery", "V", "battery positive post", MINUS),
}
_ALTERNATOR: dict[str, What] = {
    "volts": What("volts", "V", "terminal B+", "its case"),
    "current": What("current", "A", "round its cable"),
    "cable_mv": What("drop of its cable", "mV", "terminal B+", "battery positive post"),
    "case_mv": What("drop of its earth", "mV", "its case", MINUS),
}
_CAN: dict[str, What] = {
    "pair_ohm": What("CAN high to CAN low", "ohm", "CAN high", "CAN low"),
    "high_earth_ohm": What("CAN high to earth", "ohm", "CAN high", MINUS),
    "low_earth_ohm": What("CAN low to earth", "ohm", "CAN low", MINUS),
}
_PLUG: dict[str, What] = {
    "wire_ohm": What("{function}, wire end to end", "ohm", "{start}", "{end}"),
    "earths_ohm": What("each earth pin to earth: write the highest", "ohm", "{earths}", MINUS),
    "signals_earth_ohm": What("each signal pin to earth: write the lowest", "ohm", "{signals}", MINUS),
    "signals_supply_ohm": What("each signal pin to each supply pin: write the lowest", "ohm", "{signals}",
                               "{supplies}"),
    "pair_ohm": What("bus high to bus low", "ohm", "pin {high}", "pin {low}"),
    "supplies_v": What("each supply pin that is live with the key on: write the lowest", "V", "{live} of the open plug",
                       MINUS),
    "sensors_v": What("each sensor and bus pin: write the highest", "V", "{sensors} of the open plug", MINUS),
}


@dataclass(frozen=True)
class Point:
    """One point of measurement."""

    address: str
    kind: Kind
    subject: str
    """Id of the circuit, feed or earth point; empty for the others."""
    what: str
    """What is read: ``current``, ``fuse_mv`` …"""
    load: int
    """Number of the load in its circuit, from 0."""
    title: str
    """The part in words: ``Fuel pump``."""
    words: str
    """What is read, in words."""
    probe: str
    """Where the red probe goes, or where the clamp is put."""
    to: str
    """Where the black probe goes; empty for a clamp."""
    unit: Unit

    @property
    def scale(self) -> float:
        """What one of its unit is in V, A, ohm or K."""
        return SCALE[self.unit]


def points(assessment: Assessment) -> Mapping[str, Point]:
    """Every point of measurement of a plan by its address, in the order of the plan; none of circuits out of scope."""
    found = _KNOWN.get(assessment)
    if found is None:
        found = _KNOWN[assessment] = MappingProxyType({each.address: each for each in _all(assessment)})
    return found


_KNOWN: WeakKeyDictionary[Assessment, Mapping[str, Point]] = WeakKeyDictionary()


def _all(assessment: Assessment) -> Iterator[Point]:
    plan = assessment.plan
    yield from _of("battery", "", "Battery", _BATTERY, {})
    if plan.alternator is not None:
        yield from _of("alternator", "", "Alternator", _ALTERNATOR, {})
    for name, feed in plan.feed.items():
        texts = {"feed": feed.name or name, "upstream": _feed_name(plan, feed.upstream),
                 "fuse": f"fuse of {feed.name or name}", "contact": f"contact of {feed.name or name}"}
        contact = feed.relay is not None or feed.switch is not None
        whats = {**_FEED, **(_ROOT if feed.upstream is None else {}), **(_FUSE if feed.fuse is not None else {}),
                 **_coil(feed.relay), **(_CONTACT if contact else {})}
        yield from _of("feed", name, feed.name or name, whats, texts)
    for name, earth in plan.earth.items():
        upstream = plan.earth.get(earth.upstream or "")
        texts = {"earth": earth.name or name, "upstream": (upstream.name if upstream else None) or earth.upstream
                 or MINUS}
        yield from _of("earth", name, earth.name or name, _EARTH, texts)
    bulb = SeriesLamp(BULB_W, assessment.results.network.system_v).words
    for name, circuit in plan.circuit.items():
        if circuit.out_of_scope is None:
            yield from _circuit(plan, name, circuit, parted_feeds(assessment.results, circuit), bulb)
    if any(load.kind == "electronic" for circuit in plan.circuit.values() for load in circuit.load):
        yield from _of("can", "", "CAN pair, if the car has one", _CAN, {})
    if plan.connector:
        yield from _plugs(plan)


def _coil(relay: Relay | None) -> Mapping[str, What]:
    """Points of a relay's coil. What a control unit's own output loses between 85 and earth is in no plan."""
    if relay is None:
        return {}
    earthed = relay.wire_85 and not (relay.driver == "ecu" and driver_side(relay) == "earth")
    return {**_COIL, **(_COIL_86 if relay.wire_86 else {}), **(_COIL_85 if earthed else {})}


def _plugs(plan: Plan) -> Iterator[Point]:
    """Points of plugs, plug by plug, then those of the wires between their pins."""
    from fuseplan.bench.plug_points import plugs, rung_wires

    for plug in plugs(plan):
        title = plan.connector[plug.name].name or plug.name
        texts = {key: f"{'pin' if len(pins) == 1 else 'pins'} {', '.join(pins)}" for key, pins in (
            ("supplies", plug.supplies), ("live", plug.live), ("earths", plug.earths),
            ("signals", plug.signals), ("sensors", plug.sensors))}
        texts |= {"high": plug.bus[0], "low": plug.bus[1]} if plug.bus is not None else {}
        there = {"earths_ohm": plug.earths, "signals_earth_ohm": plug.signals, "pair_ohm": plug.bus,
                 "signals_supply_ohm": plug.signals and plug.supplies,
                 "supplies_v": plug.live if plug.is_control_unit else (),
                 "sensors_v": plug.sensors if plug.is_control_unit else ()}
        yield from _of("connector", plug.name, title, {key: _PLUG[key] for key, pins in there.items() if pins}, texts)
    for wire in rung_wires(plan):
        start = plan.connector[wire.start.connector].name or wire.start.connector
        yield from _of("connector", wire.start.connector, start, {"wire_ohm": _PLUG["wire_ohm"]},
                       {"function": wire.function or "wire", "start": wire.start.words, "end": wire.end.words},
                       within=(wire.start.pin, *wire.end))


def _feed_name(plan: Plan, name: str | None) -> str:
    feed = plan.feed.get(name or "")
    return (feed.name if feed is not None else None) or name or "battery positive post"


def feeds_above(plan: Plan, name: str | None) -> Iterator[str]:
    """A feed and those it comes from, the root last."""
    seen: set[str] = set()
    while name is not None and name in plan.feed and name not in seen:
        seen.add(name)
        yield name
        name = plan.feed[name].upstream


class PartedFeeds(NamedTuple):
    """How the feeds of coil and contact of a relay are told apart."""

    how: str
    """What leaves one of them dead."""
    terminal: str
    """Relay terminal that stays live if it is on the feed it should be on."""
    feed: str | None
    """That feed."""


def parted_feeds(results: Results, circuit: Circuit) -> PartedFeeds | None:
    """A fuse that feeds the coil of a relay but not its contact, or the contact but not the coil; else the key, where
    it leaves one of them dead; None where nothing does."""
    plan, relay = results.plan, circuit.relay
    if relay is None or relay.coil_feed == circuit.feed:
        return None
    coil, contact = ([name for name in feeds_above(plan, each) if plan.feed[name].fuse is not None]
                     for each in (relay.coil_feed, circuit.feed))
    ways = ((coil, contact, "30", circuit.feed), (contact, coil, "86", relay.coil_feed))
    for pulled, others, terminal, feed in ways:
        alone = [name for name in pulled if name not in others]
        if alone:
            return PartedFeeds(f"the fuse of {_feed_name(plan, alone[0])} out", terminal, feed)
    dead = {name: not live[STATE_INDEX["off"]] for name, live in results.network.feed_live.items()}
    if dead.get(relay.coil_feed, False) != dead.get(circuit.feed or "", False):
        return PartedFeeds("the key off", *(ways[0] if dead.get(relay.coil_feed, False) else ways[1])[2:])
    return None


def _circuit(plan: Plan, name: str, circuit: Circuit, parted: PartedFeeds | None, bulb: str) -> Iterator[Point]:
    fuse = "the point it is taken from"
    if circuit.fuse is not None:
        fuse = f"fuse {circuit.fuse.position}" if circuit.fuse.position else "its fuse"
    contact = "relay contact" if circuit.relay is not None else "switch" if circuit.switch is not None else fuse
    texts = {"feed": _feed_name(plan, circuit.feed), "fuse": fuse, "contact": contact, "bulb": bulb}
    whats = {**_CIRCUIT, **({**_FUSE, **_BLOWN} if circuit.fuse is not None else {}),
             **_coil(circuit.relay), **(_CONTACT if contact != fuse else {})}
    if parted is not None:
        whats |= _RELAY_FEED
        texts |= {"terminal": parted.terminal, "how": parted.how}
    title = circuit.name or name
    for number, load in enumerate(circuit.load):
        point = plan.earth.get(load.earth or circuit.earth or "")
        mine = {**texts, "load": load.name or f"load {number + 1}",
                "earth": (point.name if point else None) or load.earth or circuit.earth or "its earth point"}
        of_load = {**_LOAD, **(_OWN_WIRE if load.wire else {}),
                   **(_OWN_EARTH if load.earth_wire and circuit.earth_wire and load.earth is None else {})}
        if number == 0:
            yield from _of("circuit", name, title, {**whats, **of_load}, mine)
        if len(circuit.load) > 1:
            alone = What("current of this load alone", "A", "round the wire of {load}, or the other loads unplugged")
            own = {"load_current": alone, **(of_load if number else {})}
            yield from _of("circuit", name, f"{title}, {mine['load']}", own, mine, number, ("load", str(number)))


def _of(kind: Kind, subject: str, title: str, whats: Mapping[str, What], texts: Mapping[str, str],
        load: int = 0, within: tuple[str, ...] = ()) -> Iterator[Point]:
    steps = (kind, subject, *within) if subject else (kind,)
    for key, what in whats.items():
        words, probe, to = (each.format_map(texts) for each in (what.words, what.probe, what.to))
        yield Point(joined((*steps, key)), kind, subject, key, load, title, words, probe, to, what.unit)
