"""Where a part is and how hot it is there: the one answer for fuse holders, relays, wires, feeds and earth points.

A part without a zone of its own takes that of the feed it sits on, and a feed without one that of the feed it comes
from, up to the battery. A relay that switches a feed sits at either end of that feed's wire: the plan does not say
which, so the hotter end counts. A length of wire without a zone takes the hottest place its circuit touches.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from fuseplan.plan.model import Circuit, Earth, Feed, Plan
from fuseplan.plan.parts import Fuse, Relay, Segment
from fuseplan.quantities import writing

Owner = tuple[str, str]
"""("circuit" | "feed" | "earth" | "alternator", id)."""

ASSUMED_C = 85.0
"""Ambient in °C of a part for which no zone is found: that of an engine bay, and the one relay makers print the hot
rating of a contact for. Common practice, no source."""


class Place(NamedTuple):
    """Where a part is."""

    ambient_c: float
    zone: str | None
    """The zone this is taken from; None where the plan names none and `ASSUMED_C` is taken."""

    @property
    def words(self) -> str:
        """The temperature, and that it is assumed where it is: ``85 °C (assumed: no zone stated)``."""
        return writing.burden(self.ambient_c, "°C") + ("" if self.zone is not None else " (assumed: no zone stated)")

    def given_words(self, what: str) -> str:
        """``ambient, zone cabin``; for a part without a zone that it is assumed."""
        return f"{what}: no zone is stated, this is assumed" if self.zone is None else f"{what}, zone {self.zone}"

    def cite(self, path: str) -> str:
        """Where it comes from, for the part at a path of the plan."""
        return "common practice, no source" if self.zone is None else f"the plan, {path} and zone.{self.zone}"


ASSUMED = Place(ASSUMED_C, None)


class Places:
    """The place of every part of one plan."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self._zones = {name: Place(float(zone.ambient), name) for name, zone in plan.zone.items()}
        self.feed_root = next((name for name, feed in plan.feed.items() if feed.upstream is None), "")
        self.earth_root = next((name for name, earth in plan.earth.items() if earth.upstream is None), "")
        self._feeds: dict[str, Place | None] = {}
        self._earths: dict[str, Place | None] = {}
        self._touched: dict[Owner, Place] = {}

    def feed_of(self, name: str | None) -> str:
        """A feed by its name; the root where there is none of that name."""
        return name if name is not None and name in self.plan.feed else self.feed_root

    def earth_of(self, name: str | None) -> str:
        """An earth point by its name; the root where there is none of that name."""
        return name if name is not None and name in self.plan.earth else self.earth_root

    def feed(self, name: str | None) -> Place:
        """Place of a feed: its zone, else that of the feed it comes from, else the battery's. A name that does not
        exist is taken as the root."""
        return self._feed(name) or ASSUMED

    def earth(self, name: str | None) -> Place:
        """Place of an earth point: its zone, else that of the earth it leads to, else the battery's."""
        return self._earth(name) or ASSUMED

    def holder(self, owner: Owner, fuse: Fuse) -> Place:
        """Place of a fuse: its own zone, else that of the feed it is taken from."""
        return self._zones.get(fuse.zone or "") or self.feed(self.source(owner))

    def source(self, owner: Owner) -> str:
        """The feed a circuit, a feed or the alternator cable is taken from, where its fuse sits; the root where the
        plan names none."""
        kind, name = owner
        at: str | None
        if kind == "circuit":
            at = self.plan.circuit[name].feed
        elif kind == "feed":
            at = self.plan.feed[name].upstream
        else:
            at = None if self.plan.alternator is None else self.plan.alternator.feed
        return at if at is not None and at in self.plan.feed else self.feed_root

    def relay(self, owner: Owner) -> Place:
        """Place of the relay of a circuit or feed: its own zone, else that of the feed it sits on."""
        kind, name = owner
        relay = (self.plan.circuit if kind == "circuit" else self.plan.feed)[name].relay
        own = self._zones.get(relay.zone or "") if relay is not None else None
        if own is not None:
            return own
        ends = [self._feed(self.source(owner))]
        if kind == "feed":
            ends.append(self._feed(name))
        return _hottest(ends)

    def sections(self, owner: Owner, segment: Segment) -> list[tuple[str | None, Place]]:
        """(run, place) of each part of a length of wire; the run is None for a wire that lies in none."""
        if not segment.along:
            return [(None, self._zones.get(segment.zone or "") or self.touched(owner))]
        runs = self.plan.run
        return [(name, self._zones.get((runs[name].zone if name in runs else None) or "") or self.touched(owner))
                for name in segment.along]

    def touched(self, owner: Owner) -> Place:
        """The hottest place a circuit, a feed, an earth point or the alternator cable touches."""
        found = self._touched.get(owner)
        if found is None:
            found = self._touched[owner] = _hottest(self._touches(owner))
        return found

    def _touches(self, owner: Owner) -> Iterator[Place | None]:
        kind, name = owner
        wires: Iterable[tuple[Segment, ...]] = ()
        fuse: Fuse | None = None
        relay: Relay | None = None
        if kind == "earth":
            earth = self.plan.earth[name]
            yield self._earth(name)
            yield self._earth(earth.upstream)
            wires = (earth.wire,)
        elif kind == "feed":
            feed = self.plan.feed[name]
            yield self._feed(name)
            yield self._feed(feed.upstream)
            wires, fuse, relay = (feed.wire,), feed.fuse, feed.relay
        elif kind == "circuit":
            circuit = self.plan.circuit[name]
            yield self._feed(circuit.feed)
            yield from map(self._earth, _earths(circuit))
            wires, fuse, relay = _wires(circuit), circuit.fuse, circuit.relay
        elif self.plan.alternator is not None:
            yield self._feed(self.plan.alternator.feed)
            yield self._earth(self.plan.alternator.earth)
            wires, fuse = (self.plan.alternator.cable,), self.plan.alternator.fuse
        for part in (fuse, relay):
            yield self._zones.get((part.zone if part is not None else None) or "")
        if relay is not None and (relay.wire_86 or relay.wire_85):
            wires = (*wires, relay.wire_86, relay.wire_85)
            yield self._feed(relay.coil_feed)
            yield self._earth(relay.coil_earth)
        for segment in (segment for wire in wires for segment in wire):
            yield self._zones.get(segment.zone or "")
            for run in segment.along or ():
                yield self._zones.get((self.plan.run[run].zone if run in self.plan.run else None) or "")

    def _feed(self, name: str | None) -> Place | None:
        known = self._up(self.plan.feed, self._feeds, name if name in self.plan.feed else self.feed_root)
        return known or self._battery()

    def _earth(self, name: str | None) -> Place | None:
        known = self._up(self.plan.earth, self._earths, name if name in self.plan.earth else self.earth_root)
        return known or self._battery()

    def _battery(self) -> Place | None:
        """The battery's place; both posts are there, so that of its positive post stands for it."""
        own = self._zones.get((self.plan.battery.zone if self.plan.battery is not None else None) or "")
        return own or self._up(self.plan.feed, self._feeds, self.feed_root)

    def _up(self, nodes: Mapping[str, Feed] | Mapping[str, Earth], known: dict[str, Place | None],
            at: str | None) -> Place | None:
        """The first zone on the way from a node to the root, None where there is none."""
        if at in known:
            return known[at]
        passed: list[str] = []
        found: Place | None = None
        while at is not None and at in nodes and at not in passed:
            if at in known:
                found = known[at]
                break
            passed.append(at)
            found = self._zones.get(nodes[at].zone or "")
            if found is not None:
                break
            at = nodes[at].upstream
        known.update(dict.fromkeys(passed, found))
        return found


def _hottest(found: Iterable[Place | None]) -> Place:
    """The hottest of the places that are known; the assumed one where none is."""
    return max((place for place in found if place is not None), key=lambda place: place.ambient_c, default=ASSUMED)


def _earths(circuit: Circuit) -> Iterator[str | None]:
    yield circuit.earth
    yield from (load.earth for load in circuit.load if load.earth is not None)


def _wires(circuit: Circuit) -> Iterator[tuple[Segment, ...]]:
    yield circuit.wire
    yield circuit.earth_wire
    for load in circuit.load:
        yield load.wire
        yield load.earth_wire
