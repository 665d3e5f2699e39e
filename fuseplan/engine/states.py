"""Which feeds and circuits are live in which state of the key."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from fuseplan.plan.model import Feed, Plan
from fuseplan.plan.parts import Relay
from fuseplan.plan.words import STATES
from fuseplan.tables import relays as relay_tables

Flags = NDArray[np.bool_]
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
    known: dict[str, Flags] = {}
    feeds: Mapping[str, Feed] = plan.feed

    def live(name: str, asked: tuple[str, ...]) -> Flags:
        if name in known:
            return known[name]
        if name in asked:
            return np.zeros(len(STATES), dtype=bool)
        feed = feeds.get(name)
        if feed is None:
            return np.ones(len(STATES), dtype=bool)
        mask = _mask(feed.live)
        if feed.upstream is not None:
            mask = mask & live(feed.upstream, (*asked, name))
        if feed.relay is not None and not rests_closed(feed.relay):
            mask = mask & live(feed.relay.coil_feed, (*asked, name))
        known[name] = mask
        return mask

    return {name: live(name, ()) for name in feeds}


ALWAYS: Flags = np.ones(len(STATES), dtype=bool)
"""Live in every state."""
ALWAYS.flags.writeable = False


def relay_fed(relay: Relay | None, feeds: Mapping[str, Flags]) -> Flags:
    """States in which a relay's contact can be closed: its coil is fed, or there is no relay, or it rests closed."""
    return ALWAYS if relay is None or rests_closed(relay) else feeds.get(relay.coil_feed, ALWAYS)
