"""Where a meter is put: every point of measurement of a plan, by its address.

An address names the part and what is read: ``circuit.fuel_pump.current``, ``circuit.fuel_pump.load.1.load_v`` for a
load after the first (numbered from 0, as in the result), ``feed.main_bus.volts``, ``earth.rear_stud.drop_mv``,
``battery.volts``. An id that holds a dot stands in quotation marks. Values are kept in V, A, ohm and K; the unit of a
point says how people write them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Literal
from weakref import WeakKeyDictionary

from fuseplan.bench.point_words import (
    ALTERNATOR,
    BATTERY,
    BLOWN,
    CAN,
    CIRCUIT,
    COIL,
    COIL_85,
    COIL_86,
    CONTACT,
    EARTH,
    FEED,
    FUSE,
    LOAD,
    MINUS,
    OWN_EARTH,
    OWN_WIRE,
    PLUG,
    RELAY_FEED,
    ROOT,
    Unit,
    What,
)
from fuseplan.bench.relay_feeds import PartedFeeds, feed_name, parted_feeds
from fuseplan.bench.series_lamp import BULB_W, SeriesLamp
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.subjects import SUPPLY_POINT
from fuseplan.plan.coils import driver_side
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.parts import Relay
from fuseplan.plan.words import OTHER_POST
from fuseplan.records import dataclass
from fuseplan.results.address import joined

Kind = Literal["circuit", "feed", "earth", "battery", "alternator", "can", "connector"]

SCALE: Mapping[str, float] = MappingProxyType({"A": 1.0, "mA": 1e-3, "V": 1.0, "mV": 1e-3, "ohm": 1.0, "K": 1.0})
"""What one of the unit of a point is in V, A, ohm or K."""


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
    post = _posts(plan)
    yield from _of("battery", "", "Battery", BATTERY, post)
    if plan.alternator is not None:
        yield from _of("alternator", "", plan.alternator.machine.capitalize(), ALTERNATOR, post)
    for name, feed in plan.feed.items():
        texts = {**post, "feed": feed.name or name, "upstream": feed_name(plan, feed.upstream),
                 "fuse": f"fuse of {feed.name or name}", "contact": f"contact of {feed.name or name}"}
        contact = feed.relay is not None or feed.switch is not None
        whats = {**FEED, **(ROOT if feed.upstream is None else {}), **(FUSE if feed.fuse is not None else {}),
                 **_coil(feed.relay), **(CONTACT if contact else {})}
        yield from _of("feed", name, feed.name or name, whats, texts)
    for name, earth in plan.earth.items():
        upstream = plan.earth.get(earth.upstream or "")
        texts = {**post, "earth": earth.name or name, "upstream": (upstream.name if upstream else None)
                 or earth.upstream or MINUS.format_map(post)}
        yield from _of("earth", name, earth.name or name, EARTH, texts)
    bulb = SeriesLamp(BULB_W, assessment.results.network.system_v).words
    for name, circuit in plan.circuit.items():
        if circuit.out_of_scope is None:
            yield from _circuit(plan, name, circuit, parted_feeds(assessment.results, circuit), bulb)
    if any(load.kind == "electronic" for circuit in plan.circuit.values() for load in circuit.load):
        yield from _of("can", "", "CAN pair, if the car has one", CAN, post)
    if plan.connector:
        yield from _plugs(plan)


def _coil(relay: Relay | None) -> Mapping[str, What]:
    """Points of a relay's coil. What a control unit's own output loses between 85 and earth is in no plan."""
    if relay is None:
        return {}
    earthed = relay.wire_85 and not (relay.driver == "ecu" and driver_side(relay) == "earth")
    return {**COIL, **(COIL_86 if relay.wire_86 else {}), **(COIL_85 if earthed else {})}


def _plugs(plan: Plan) -> Iterator[Point]:
    """Points of plugs, plug by plug, then those of the wires between their pins."""
    from fuseplan.bench.plug_points import plugs, rung_wires

    for plug in plugs(plan):
        title = plan.connector[plug.name].name or plug.name
        texts = {key: f"{'pin' if len(pins) == 1 else 'pins'} {', '.join(pins)}" for key, pins in (
            ("supplies", plug.supplies), ("live", plug.live), ("earths", plug.earths),
            ("signals", plug.signals), ("sensors", plug.sensors))}
        texts |= _posts(plan)
        texts |= {"high": plug.bus[0], "low": plug.bus[1]} if plug.bus is not None else {}
        there = {"earths_ohm": plug.earths, "signals_earth_ohm": plug.signals, "pair_ohm": plug.bus,
                 "signals_supply_ohm": plug.signals and plug.supplies,
                 "supplies_v": plug.live if plug.is_control_unit else (),
                 "sensors_v": plug.sensors if plug.is_control_unit else ()}
        yield from _of("connector", plug.name, title, {key: PLUG[key] for key, pins in there.items() if pins}, texts)
    for wire in rung_wires(plan):
        start = plan.connector[wire.start.connector].name or wire.start.connector
        yield from _of("connector", wire.start.connector, start, {"wire_ohm": PLUG["wire_ohm"]},
                       {**_posts(plan), "function": wire.function or "wire", "start": wire.start.words,
                        "end": wire.end.words},
                       within=(wire.start.pin, *wire.end))


def _circuit(plan: Plan, name: str, circuit: Circuit, parted: PartedFeeds | None, bulb: str) -> Iterator[Point]:
    fuse = SUPPLY_POINT
    if circuit.fuse is not None:
        fuse = f"fuse {circuit.fuse.position}" if circuit.fuse.position else "its fuse"
    contact = "relay contact" if circuit.relay is not None else "switch" if circuit.switch is not None else fuse
    texts = {**_posts(plan), "feed": feed_name(plan, circuit.feed), "fuse": fuse, "contact": contact, "bulb": bulb}
    whats = {**CIRCUIT, **({**FUSE, **BLOWN} if circuit.fuse is not None else {}),
             **_coil(circuit.relay), **(CONTACT if contact != fuse else {})}
    if parted is not None:
        whats |= RELAY_FEED
        texts |= {"terminal": parted.terminal, "how": parted.how}
    title = circuit.name or name
    for number, load in enumerate(circuit.load):
        point = plan.earth.get(load.earth or circuit.earth or "")
        mine = {**texts, "load": load.name or f"load {number + 1}",
                "earth": (point.name if point else None) or load.earth or circuit.earth or "its earth point"}
        of_load = {**LOAD, **(OWN_WIRE if load.wire else {}),
                   **(OWN_EARTH if load.earth_wire and circuit.earth_wire and load.earth is None else {})}
        if number == 0:
            yield from _of("circuit", name, title, {**whats, **of_load}, mine)
        if len(circuit.load) > 1:
            alone = What("current of this load alone", "A", "round the wire of {load}, or the other loads unplugged")
            own = {"load_current": alone, **(of_load if number else {})}
            yield from _of("circuit", name, f"{title}, {mine['load']}", own, mine, number, ("load", str(number)))


def _posts(plan: Plan) -> dict[str, str]:
    """Which post of the battery is earthed, and the other one."""
    return {"earthed": plan.vehicle.earthed, "other": OTHER_POST[plan.vehicle.earthed]}


def _of(kind: Kind, subject: str, title: str, whats: Mapping[str, What], texts: Mapping[str, str],
        load: int = 0, within: tuple[str, ...] = ()) -> Iterator[Point]:
    steps = (kind, subject, *within) if subject else (kind,)
    for key, what in whats.items():
        words, probe, to = (each.format_map(texts) for each in (what.words, what.probe, what.to))
        if to and texts["earthed"] == "positive" and what.unit != "K":
            # The same reading with the same sign, where earth is the higher side.
            probe, to = to, probe
        yield Point(joined((*steps, key)), kind, subject, key, load, title, words, probe, to, what.unit)
