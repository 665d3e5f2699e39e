"""What is not known of a loom, and which plugs get no power until it is.

Nothing is guessed: a pin whose function, kind of signal or fate is not stated, or rests on a guess, is unknown. So is a
cavity of which nothing is entered. A wire that is cut off and insulated, or a spare cavity, is settled.
"""

from __future__ import annotations

from collections import defaultdict

from fuseplan.plan.coils import is_coil_wire, relay_of
from fuseplan.plan.looms import Pin
from fuseplan.plan.model import Plan
from fuseplan.plan.nets import GONE, CircuitEnd, Nets, PinId, mates_of, pins_of
from fuseplan.plan.part_names import in_words, pin_words
from fuseplan.plan.words import LIVE_SIGNALS
from fuseplan.records import dataclass

Live = tuple[str, str]
"""What makes a plug live: ``("feed", id)`` of the plan, or ``("terminal", "30")`` where the feed is not stated."""


DECISION = "what becomes of it"


@dataclass(frozen=True)
class UnknownPin:
    """A pin of which something is not known, or the cavities of a connector that are not entered.

    Attributes:
        at: its pin is empty for cavities that are not entered
        lacks: what is missing, each in a few words
        cavities: how many cavities it stands for
    """

    at: PinId
    lacks: tuple[str, ...]
    cavities: int = 1

    @property
    def missing(self) -> str:
        """What is missing, as it is shown."""
        if not self.at.pin:
            return f"{self.cavities} cavities not entered" if self.cavities > 1 else "one cavity not entered"
        return f"{', '.join(self.lacks)} not known"

    def words(self, plan: Plan) -> str:
        """Pin, or connector, and what is missing."""
        at = self.at
        return f"{pin_words(plan, at) if at.pin else in_words(plan, 'connector', at.connector)}: {self.missing}"


def lacks_of(pin: Pin) -> tuple[str, ...]:
    """What is not known of a pin; nothing for one that is settled."""
    if pin.fate in GONE:
        return ()
    found = []
    if pin.function is None:
        found.append("function")
    if pin.signal is None:
        found.append("kind of signal")
    if pin.fate == "unknown":
        found.append(DECISION)
    if pin.fate == "join" and (pin.join_to is None or (pin.join_to.connector is None and pin.join_to.pin is None)):
        found.append("what it is joined to")
    if pin.known in (None, "guess") and pin.function is not None and pin.signal is not None:
        found.append("proof (a guess so far)")
    return tuple(found)


def unknown_pins(plan: Plan) -> list[UnknownPin]:
    """Everything that is not known of the plan's connectors, in its order; nothing of those out of scope."""
    found = []
    for name, connector in plan.connector.items():
        if connector.out_of_scope is not None:
            continue
        found += [UnknownPin(PinId(name, number), lacks) for number, pin in connector.pin.items()
                  if (lacks := lacks_of(pin))]
        missing = (connector.cavities or 0) - len(connector.pin)
        if missing > 0 or not (connector.pin or connector.cavities):
            found.append(UnknownPin(PinId(name, ""), ("cavities",), max(missing, 1)))
    return found


@dataclass(frozen=True)
class Blocked:
    """A plug that must get no power yet.

    Attributes:
        connector: its id
        live: what would make it live
        because: the unknown pins it shares a live feed with, its own first
    """

    connector: str
    live: tuple[Live, ...]
    because: tuple[UnknownPin, ...]


def live_feeds(nets: Nets) -> dict[str, tuple[Live, ...]]:
    """What makes each connector live; nothing for one that no supply is known to reach. Mating halves share it."""
    plan = nets.plan
    named: dict[str, list[str]] = defaultdict(list)
    for name, feed in plan.feed.items():
        if feed.terminal is not None:
            named[feed.terminal].append(name)
    found: dict[str, dict[Live, None]] = {name: {} for name in plan.connector}
    for at, _, pin in pins_of(plan):
        if pin.fate in GONE:
            continue
        for live in (*_stated(pin, named), *_of_circuits(plan, nets.ends.get(at, ()))):
            found[at.connector][live] = None
    for name, mate in mates_of(plan).items():
        if mate in found:
            found[name] |= found[mate]
    return {name: tuple(live) for name, live in found.items()}


def _stated(pin: Pin, named: dict[str, list[str]]) -> list[Live]:
    if pin.feed is not None:
        return [("feed", pin.feed)]
    if pin.signal not in LIVE_SIGNALS:
        return []
    number = pin.signal.removeprefix("supply_") if pin.signal != "switched_supply" else "switched"
    return [("terminal", number), *(("feed", name) for name in named.get(number, ()))]


def _of_circuits(plan: Plan, ends: list[CircuitEnd] | tuple[CircuitEnd, ...]) -> list[Live]:
    found: list[Live] = []
    for end in ends:
        kind, name = end.owner
        if kind == "circuit" and end.place.endswith("earth_wire"):
            continue
        relay = relay_of(plan, end.owner) if is_coil_wire(end.place) else None
        if relay is not None:
            found.append(("feed", relay.coil_feed))
        elif kind == "circuit":
            circuit = plan.circuit[name]
            found += [("feed", feed) for feed in (circuit.feed, *circuit.also_from) if feed is not None]
        elif kind == "feed":
            found.append(("feed", name))
        elif kind == "alternator":
            found.append(("feed", (plan.alternator.feed if plan.alternator else None) or "alternator"))
    return found


def blocking(nets: Nets) -> list[Blocked]:
    """The plugs that must get no power yet, with the unknown pins that are the reason.

    A feed here is what a plug's supply pins are live from directly: what lies between the battery and that feed has
    fuses of its own, which can be left out. An unknown pin blocks its own plug if that is live or may be, the half it
    is plugged into, the plugs its wire is joined to, from whichever end that is entered, and every plug that shares a
    live feed with one of these. As what a pin does is unknown, its plug is blocked even where no supply is known to
    reach it.
    """
    plan = nets.plan
    live, mates = live_feeds(nets), mates_of(plan)
    unknown: dict[str, list[UnknownPin]] = defaultdict(list)
    for each in unknown_pins(plan):
        unknown[each.at.connector].append(each)
        joined = nets.of(each.at).pins if each.at.pin else ()
        for name in dict.fromkeys((mates.get(each.at.connector), *(pin.connector for pin in joined))):
            if name is not None and each not in unknown[name]:
                unknown[name].append(each)
    by_feed: dict[Live, dict[UnknownPin, None]] = defaultdict(dict)
    for name, found in unknown.items():
        for feed in live.get(name, ()):
            by_feed[feed] |= dict.fromkeys(found)
    blocked = []
    for name in plan.connector:
        because = dict.fromkeys(unknown.get(name, ()))
        for feed in live[name]:
            because |= by_feed.get(feed, {})
        if because:
            own = sorted(because, key=lambda reason: reason.at.connector != name)
            blocked.append(Blocked(name, live[name], tuple(own)))
    return blocked
