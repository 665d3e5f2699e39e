"""How the feeds of coil and contact of a relay are told apart."""

from __future__ import annotations

from typing import NamedTuple

from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.words import OTHER_POST


def feed_name(plan: Plan, name: str | None) -> str:
    """A feed in words; the battery's post where there is none."""
    feed = plan.feed.get(name or "")
    return (feed.name if feed is not None else None) or name or f"battery {OTHER_POST[plan.vehicle.earthed]} post"


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
    coil, contact = ([name for name in way_to(plan, each) if plan.feed[name].fuse is not None]
                     for each in (relay.coil_feed, circuit.feed))
    ways = ((coil, contact, "30", circuit.feed), (contact, coil, "86", relay.coil_feed))
    for pulled, others, terminal, feed in ways:
        alone = [name for name in pulled if name not in others]
        if alone:
            return PartedFeeds(f"the fuse of {feed_name(plan, alone[0])} out", terminal, feed)
    dead = {name: not live[STATE_INDEX["off"]] for name, live in results.network.feed_live.items()}
    if dead.get(relay.coil_feed, False) != dead.get(circuit.feed or "", False):
        return PartedFeeds("the key off", *(ways[0] if dead.get(relay.coil_feed, False) else ways[1])[2:])
    return None
