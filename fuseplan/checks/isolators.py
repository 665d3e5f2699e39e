"""Battery isolators: what lies behind them, and what they do not cut."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from fuseplan.engine.states import STATE_INDEX, live_feeds, rests_closed
from fuseplan.plan.feed_way import way_back, way_to
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.parts import Relay, Switch
from fuseplan.records import dataclass

KEYED_OFF = [STATE_INDEX["off"], STATE_INDEX["accessory"]]
"""States in which what an isolator's contact for the ignition opens is dead anyhow."""

SECOND_CONTACTS = "an isolator with a second pair of contacts that opens the alternator's field or the ignition, " \
    "stated as `also_opens`"
"""What stops an alternator and the engine as well."""
CABLE_ALONE = "the alternator cable"
"""What is left of one that is stopped."""


def earth_isolators(plan: Plan) -> list[str]:
    """Earth points with an isolator in the lead from them, in the order of the plan."""
    return [name for name, earth in plan.earth.items() if earth.switch is not None and earth.upstream is not None]


def supply_isolators(plan: Plan) -> list[str]:
    """Feeds behind a battery isolator, which says what else it opens, in the order of the plan."""
    return [name for name, feed in plan.feed.items() if feed.switch is not None and feed.switch.also_opens is not None]


def hand_switched(plan: Plan, live: Mapping[str, NDArray[np.bool_]], name: str) -> bool:
    """Whether a feed is switched by hand and no position of the key leaves it dead: by a switch, or by a relay that a
    switch drives, as behind an isolator."""
    feed = plan.feed[name]
    by_relay = feed.relay is not None and feed.relay.driver == "switch"
    return bool(live[name].all()) and (by_relay or (feed.switch is not None and feed.relay is None))


def follows_key(plan: Plan, live: Mapping[str, NDArray[np.bool_]], name: str) -> bool:
    """Whether a feed is dead in a position of the key in which the one it comes from is live."""
    upstream = plan.feed[name].upstream
    return upstream is not None and bool((live[upstream] & ~live[name]).any())


def opens_more(switch: Switch | None) -> bool:
    """Whether an isolator is stated to open the alternator's field or the ignition too."""
    return bool(switch is not None and switch.also_opens and "none" not in switch.also_opens)


def opens_ignition(plan: Plan, supply: bool) -> bool:
    """Whether an isolator in the supply, or else in an earth lead, opens the ignition too."""
    switches = [plan.feed[name].switch for name in supply_isolators(plan)] if supply else \
        [plan.earth[name].switch for name in earth_isolators(plan)]
    return any(switch is not None and "ignition" in (switch.also_opens or ()) for switch in switches)


def fed_before(plan: Plan, isolators: list[str]) -> list[str]:
    """Circuits with a feed that none of these isolators parts from the battery, in the order of the plan."""
    ways = {name: list(way_to(plan, circuit.feed)) for name, circuit in plan.circuit.items()}
    return [name for name, way in ways.items() if way and not set(way).intersection(isolators)]


def alternator_left(plan: Plan, isolators: list[str]) -> str:
    """What of an alternator whose cable is stated to end before these isolators stays on the battery: its cable, and
    while it turns itself, where none of them opens its field or the ignition. Empty where it ends behind one or one
    opens it too, and where it is not stated, which is asked."""
    feed = None if plan.alternator is None else plan.alternator.feed
    opened = {word for each in isolators if (switch := plan.feed[each].switch) is not None
              for word in switch.also_opens or ()}
    if not isolators or feed is None or set(way_to(plan, feed)).intersection(isolators) or "alternator_cable" in opened:
        return ""
    return CABLE_ALONE if any(opens_more(plan.feed[each].switch) for each in isolators) else \
        "the alternator, while it turns, and its cable"


@dataclass(frozen=True)
class StillFed:
    """What a second battery feeds with every isolator open.

    Attributes:
        link: circuit that joins it
        circuits: circuits it feeds, in the order of the plan
        ignition_opened: an isolator between them and the first battery opens the ignition too
    """

    link: str
    circuits: tuple[str, ...]
    ignition_opened: bool


def fed_by_second_batteries(plan: Plan) -> Iterator[StillFed]:
    """Every second battery joined behind an isolator. One whose relay lets go with the ignition that the isolator opens
    feeds nothing, nor one behind a converter."""
    supply, leads = supply_isolators(plan), bool(earth_isolators(plan))
    behind = {name: next((each for each in way_to(plan, circuit.feed) if each in supply), None)
              for name, circuit in plan.circuit.items() if circuit.feed in plan.feed}
    for name, isolator in behind.items():
        circuit = plan.circuit[name]
        if circuit.second_battery is None or circuit.second_battery.converter_before is not None \
                or circuit.out_of_scope is not None or (isolator is None and not leads):
            continue
        opened = opens_ignition(plan, isolator is not None)
        fed = [other for other, its_own in behind.items() if other != name and its_own == isolator]
        if isolator is None:
            fed = [each for each in fed if not beyond(plan, (*earths_of(plan, name), *earths_of(plan, each)))]
        if fed and not (opened and _lets_go(plan, circuit)):
            yield StillFed(name, tuple(fed), opened)


def _lets_go(plan: Plan, circuit: Circuit) -> bool:
    """Whether a relay between a second battery and the first has a coil that only the ignition feeds."""
    live = live_feeds(plan)
    return any(relay.coil_feed in live and not live[relay.coil_feed][KEYED_OFF].any()
               for relay in _letting_go(plan, circuit))


def let_go_by(plan: Plan, name: str, isolators: list[str]) -> bool:
    """Whether a relay between a circuit and the battery lets go with one of these isolators open that stops the
    alternator, too: its coil is fed from behind that, and so is every further feed of the circuit's wire."""
    circuit = plan.circuit[name]
    return any(opens_more(plan.feed[each].switch) and all(each in way_to(plan, feed) for feed in circuit.also_from)
               and any(each in way_to(plan, relay.coil_feed) for relay in _letting_go(plan, circuit))
               for each in isolators)


def _letting_go(plan: Plan, circuit: Circuit) -> Iterator[Relay]:
    """The relays between a circuit and the battery that open when their coil has no supply."""
    for relay in (circuit.relay, *(plan.feed[each].relay for each in way_to(plan, circuit.feed))):
        if relay is not None and not rests_closed(relay):
            yield relay


def earths_of(plan: Plan, name: str) -> list[str]:
    """The earth points a circuit returns to, as far as they are stated."""
    circuit = plan.circuit[name]
    found = {load.earth or circuit.earth for load in circuit.load if load.to_feed is None} or {circuit.earth}
    return [each for each in found if each is not None and each in plan.earth]


def earth_way(plan: Plan, name: str | None) -> Iterator[str]:
    """An earth point and those it leads to, up to the battery; from the root where the plan names none."""
    root = next((each for each, earth in plan.earth.items() if earth.upstream is None), None)
    return way_back(plan, name if name in plan.earth else root)


def beyond(plan: Plan, names: Iterable[str]) -> list[str]:
    """Those of some earth points that no isolator parts from the battery."""
    found = []
    for name in names:
        way = list(earth_way(plan, name))
        if not any(plan.earth[each].switch is not None for each in way[:-1]):
            found.append(name)
    return found
