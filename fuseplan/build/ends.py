"""Where the two ends of every wire go: as the plan says, else as follows from the order of a circuit.

A circuit goes from its feed through the fuse, then the relay or switch, then the wire; so its wire begins at the last
of those that it has. What the plan leaves open stays open, and is said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Literal

from fuseplan.build.terminals import Crimped, crimped, holder_words
from fuseplan.engine.states import rests_closed
from fuseplan.grouping import grouped
from fuseplan.plan.coils import driver_side, switched_by_feed
from fuseplan.plan.fuse_boxes import places
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.part_names import title_of
from fuseplan.plan.parts import End, Fuse, Load, Relay, Switch, Wire
from fuseplan.quantities import writing
from fuseplan.records import dataclass

Kind = Literal["fuse", "relay", "switch", "feed", "load", "earth", "wire", "alternator", "pin", "unknown"]


@dataclass(frozen=True)
class Target:
    """What a wire leads to, as far as the order of its circuit says."""

    kind: Kind
    words: str
    others: tuple[str, ...] = ()
    """Places in the plan of the wires it meets there."""
    pin: str = ""
    """Terminal on a relay, DIN 72552."""
    stud: str | None = None
    short: str = ""
    """The same in fewer words, for a label."""


@dataclass(frozen=True)
class EndPoint:
    """One end of a wire."""

    target: Target
    connector: str | None
    pin: str | None
    splice: str | None
    crimped: Crimped
    strip_mm: float | None
    lacking: tuple[str, ...]
    """What the plan does not say and whoever builds it must know."""
    meets: tuple[str, ...] = ()
    """Numbers of the wires it is joined to there."""

    @property
    def words(self) -> str:
        """Where it goes: ``C1 pin 4 (pump)``, ``fuse F7, cabin fuse box``."""
        stated = " ".join(each for each in (
            self.connector or "", f"pin {self.pin}" if self.pin else "",
            f"splice {self.splice}" if self.splice else "") if each)
        wires = "wire " + " and ".join(self.meets) if len(self.meets) == 1 else "wires " + ", ".join(self.meets)
        own = " and ".join(each for each in (self.target.words, wires if self.meets else "") if each)
        own = f"{own}, pin {self.target.pin}" if self.target.pin else own
        return f"{stated} ({own})" if stated and own else stated or own

    @property
    def short(self) -> str:
        """Where it goes in few words, for a label: ``C1 pin 4``, ``fuse F7``."""
        if self.connector:
            return f"{self.connector} pin {self.pin}" if self.pin else self.connector
        if self.splice:
            return f"splice {self.splice}"
        own = self.target.short or self.target.words or " + ".join(self.meets)
        return f"{own}, pin {self.target.pin}" if self.target.pin else own


def end_point(target: Target, end: End | None, size: str, is_cut: bool, contact: str = "") -> EndPoint:
    """An end of a wire of a size in words; one that is not cut has its terminal already. `contact` is what the cavity
    it ends in takes."""
    connector, pin, splice = (None, None, None) if end is None else (end.connector, end.pin, end.splice)
    joined = target.kind == "wire" and splice is None and connector is None
    fitted = crimped(end, target.stud, size, "as fitted" if not is_cut and splice is None else
                     "joined" if joined or splice is not None else "", contact)
    strip = None if end is None or end.strip is None else float(end.strip) * 1000.0
    open_points = ((target.kind == "unknown" and connector is None, "where it goes"),
                   (joined, "how it is joined to the next wire"),
                   (is_cut and not joined and splice is None and not fitted.known, "terminal"),
                   (connector is not None and not pin, "pin in that connector"),
                   (is_cut and strip is None, "strip length"))
    return EndPoint(target, connector, pin, splice, fitted, strip,
                    tuple(words for holds, words in open_points if holds))


def output_pin(relay: Relay) -> str:
    """Terminal at which a relay hands on its supply, DIN 72552."""
    return "87a" if rests_closed(relay) else "87"


@dataclass(frozen=True)
class Device:
    """A relay or switch in a wire: how many segments come before it, what ends on it and what begins at it."""

    before: int
    into: Target
    out: Target


def device(owner: str, relay: Relay | None, switch: Switch | None, taken: int | None) -> Device | None:
    """The relay or switch of a part; None where there is none, or it is not known where it sits and nothing is
    taken."""
    fitted = relay or switch
    before = taken if fitted is None or fitted.wire_before is None else fitted.wire_before
    if fitted is None or before is None:
        return None
    if relay is not None:
        return Device(before, Target("relay", f"relay of {owner}", pin="30"),
                      Target("relay", f"relay of {owner}", pin=output_pin(relay)))
    return Device(before, Target("switch", f"switch of {owner}, incoming side"),
                  Target("switch", f"switch of {owner}, outgoing side"))


Ends = tuple[Target, Target, Device | None]


def driver_ends(driver: str, owner: str) -> tuple[str, str]:
    """The two sides of what switches the coil of a part's relay, in words; of a control unit its one output."""
    if driver == "ecu":
        output = f"output of the control unit for the relay of {owner}"
        return output, output
    name = f"{driver.replace('_', ' ')} for the relay of {owner}"
    return f"{name}, incoming side", f"{name}, outgoing side"


class Targets:
    """What the ends of the wires of one plan lead to."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._boxes = grouped(((place.feed, place.position), title_of(plan, "fuse_box", name))
                              for name, box in plan.fuse_box.items() for place in places(box))

    def fuse(self, fuse: Fuse, feed: str, owner: str) -> Target:
        """A fuse by its position, its holder, or whose it is."""
        if fuse.position:
            boxes = self._boxes.get((feed, fuse.position), ())
            where = f", {' or '.join(boxes)}" if boxes else ""
            return Target("fuse", f"fuse {fuse.position}{where}", short=f"fuse {fuse.position}")
        holder = f" in its {holder_words(fuse.holder)}" if fuse.holder else ""
        return Target("fuse", f"fuse of {owner}{holder}", short=f"fuse of {owner}")

    def source(self, owner: str, feed: str, fuse: Fuse | None) -> Target:
        """What comes before the relay or switch behind a feed: its fuse, else the feed."""
        if fuse is not None:
            return self.fuse(fuse, feed, owner)
        return Target("feed", title_of(self.plan, "feed", feed)) if feed else Target("unknown", "feed not stated")

    def circuit_start(self, name: str) -> tuple[Target, Device | None]:
        """What a circuit begins at, and its relay or switch; one of which the plan does not say where it sits is taken
        right behind the fuse."""
        circuit, title = self.plan.circuit[name], title_of(self.plan, "circuit", name)
        found = device(title, circuit.relay, circuit.switch, 0)
        return self.source(title, circuit.feed or "", circuit.fuse), found

    def feed_ends(self, name: str) -> tuple[Target, Target, Device | None]:
        """Both ends of the wire to a feed, and its relay or switch. One of which the plan does not say where it sits,
        and that has a fuse before it, may be at either end: the wire is named by the fuse and the feed."""
        feed, title = self.plan.feed[name], title_of(self.plan, "feed", name)
        found = device(title, feed.relay, feed.switch, None if feed.fuse is not None else 0)
        return self.source(title, feed.upstream or "", feed.fuse), Target("feed", title), found

    def coil_ends(self, owner: tuple[str, str], relay: Relay) -> tuple[Ends, Ends]:
        """Both ends of the wire to 86 and of that from 85, and what switches the coil in the one it is in."""
        title = title_of(self.plan, *owner)
        feed = self.plan.feed.get(relay.coil_feed)
        start = Target("feed", title_of(self.plan, "feed", relay.coil_feed)) if feed is None or feed.fuse is None \
            or feed.wire else self.fuse(feed.fuse, feed.upstream or "", title_of(self.plan, "feed", relay.coil_feed))
        pins = [Target("relay", f"relay of {title}", pin=pin) for pin in ("86", "85")]
        side, before, fitted = driver_side(relay), relay.driver_before, None
        if relay.driver is not None and not switched_by_feed(self.plan, relay):
            into, out = (Target("switch", words) for words in driver_ends(relay.driver, title))
            taken = 0 if side == "supply" else len(relay.wire_85)
            fitted = Device(taken if before is None else before, into, out)
        return ((start, pins[0], fitted if side == "supply" else None),
                (pins[1], self.earth(relay.coil_earth), fitted if side == "earth" else None))

    def alternator_ends(self) -> tuple[Target, Target]:
        """B+ of the alternator, and the fuse of its cable or the feed it ends on."""
        alternator = self.plan.alternator
        root = next((name for name, feed in self.plan.feed.items() if feed.upstream is None), "")
        feed = root if alternator is None or alternator.feed is None else alternator.feed
        machine = "alternator" if alternator is None else alternator.machine
        own = Target("alternator", f"{machine} B+" if machine == "alternator" else f"{machine} output")
        if alternator is not None and alternator.fuse is not None:
            return own, self.fuse(alternator.fuse, feed, f"the {machine}")
        return own, Target("feed", title_of(self.plan, "feed", feed)) if feed else Target("unknown", "feed not stated")

    def feed(self, name: str) -> str:
        """A feed in words."""
        return title_of(self.plan, "feed", name)

    def contact(self, end: End | None) -> str:
        """What a cavity of a connector takes, as a shop is asked for it; empty where the plan does not say."""
        connector = None if end is None else self.plan.connector.get(end.connector or "")
        if connector is None or (connector.family is None and connector.tab_size is None):
            return ""
        size = "" if connector.tab_size is None else f" {writing.stated(float(connector.tab_size) * 1000.0, 'mm')}"
        family = "" if connector.family is None else f" of {connector.family}"
        return f"terminal{size}{family}" + (", with wire seal" if connector.seal == "wire_seals" else "")

    def earth(self, name: str | None) -> Target:
        """An earth point; where none is stated, that."""
        point = self.plan.earth.get(name or "")
        if point is None or name is None:
            return Target("unknown", "earth point not stated")
        return Target("earth", f"earth point: {title_of(self.plan, 'earth', name)}", stud=point.stud,
                      short=f"earth {name.replace('_', ' ')}")

    def load(self, name: str, index: int) -> Target:
        """A load by its name, else by its circuit and number."""
        load = self.plan.circuit[name].load[index]
        title = title_of(self.plan, "circuit", name)
        return Target("load", load.name or (title if len(self.plan.circuit[name].load) == 1 else
                                            f"load {index + 1} of {title}"))

    def behind(self, name: str) -> Target:
        """What the common wire of a circuit leads to: its loads, and the wires of those that have their own."""
        circuit = self.plan.circuit[name]
        return self._together(name, circuit, lambda load: load.wire, "wire", range(len(circuit.load)))

    def before_earth(self, name: str) -> Target:
        """What the common earth wire of a circuit comes from."""
        circuit = self.plan.circuit[name]
        return self._together(name, circuit, lambda load: load.earth_wire, "earth_wire",
                              [index for index, load in enumerate(circuit.load) if load.earth is None])

    def _together(self, name: str, circuit: Circuit, own: Own, key: str, indexes: Indexes) -> Target:
        found = [self.load(name, index).words for index in indexes if not own(circuit.load[index])]
        wires = tuple(f"load.{index}.{key}.0" if key == "wire" else
                      f"load.{index}.{key}.{len(own(circuit.load[index])) - 1}"
                      for index in indexes if own(circuit.load[index]))
        if not found and not wires:
            return Target("unknown", "load not stated")
        kind: Kind = "wire" if wires else "load"
        return Target(kind, " and ".join(found), wires)


Own = Callable[[Load], Wire]
Indexes = Iterable[int]
