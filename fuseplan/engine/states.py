"""Which feeds and circuits are live in which state of the key."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from fuseplan.array_types import Flags
from fuseplan.plan.model import Feed, Plan
from fuseplan.plan.parts import Relay
from fuseplan.plan.words import STATES
from fuseplan.tables import relays as relay_tables

STATE_INDEX: dict[str, int] = {state: index for index, state in enumerate(STATES)}


def _mask(states: tuple[str, ...] | None) -> Flags:
    if states is None:
        return np.ones(len(STATES), dtype=bool)
    mask = np.zeros(len(STATES), dtype=bool)
    mask[[STATE_INDEX[state] for state in states]] = True
    return mask


def rests_closed(relay: Relay) -> bool:
    """Whether a relay's contact is closed while its coil is not driven; one that is not on file is taken as open."""
    found = relay_tables.CONTACTS.get(relay.contact)
    return found is not None and found.contact == "NC"


def live_feeds(plan: Plan) -> dict[str, Flags]:
    """For each feed, whether it is live in each state of `STATES`.

    A feed is live where the feed it comes from is live, its own list of states allows it, and the coil of its
    relay, if it has one, is fed. A relay whose coil waits for its own contact, straight or by way of other relays,
    never pulls in: its feed is dead in every state. A contact that is closed at rest asks for no coil.
    """
    feeds: Mapping[str, Feed] = plan.feed
    found = {name: _mask(feed.live) & relay_fed(feed.relay, {}) for name, feed in feeds.items()}
    waits = {name: {other for other in _waits_for(feed) if other in feeds} for name, feed in feeds.items()}
    behind: dict[str, list[str]] = {}
    for name, others in waits.items():
        for other in others:
            behind.setdefault(other, []).append(name)
    open_ends = {name: len(others) for name, others in waits.items()}
    ready = [name for name, count in open_ends.items() if not count]
    for name in ready:
        for each in behind.get(name, ()):
            found[each] = found[each] & found[name]
            open_ends[each] -= 1
            if not open_ends[each]:
                ready.append(each)
    for name in feeds.keys() - set(ready):
        found[name] = np.zeros(len(STATES), dtype=bool)
    return found


def _waits_for(feed: Feed) -> Iterator[str]:
    """The feeds that must be live for this one to be."""
    if feed.upstream is not None:
        yield feed.upstream
    if feed.relay is not None and not rests_closed(feed.relay):
        yield feed.relay.coil_feed


CHARGING: Flags = _mask(("running",))
"""States in which a relay that senses the voltage joins: it pulls in at 13.3 or 13.7 V and drops out at 12.8 V, two
sellers; only a turning alternator holds that."""
CHARGING.flags.writeable = False

ALWAYS: Flags = np.ones(len(STATES), dtype=bool)
"""Live in every state."""
ALWAYS.flags.writeable = False


def relay_fed(relay: Relay | None, feeds: Mapping[str, Flags]) -> Flags:
    """States in which a relay's contact can be closed: its coil is fed, or there is no relay, or it rests closed; one
    that senses the voltage, while the alternator charges."""
    if relay is None or rests_closed(relay):
        return ALWAYS
    fed = feeds.get(relay.coil_feed, ALWAYS)
    return fed & CHARGING if relay.driver == "voltage_sensing" else fed
