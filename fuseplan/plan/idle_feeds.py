"""Feeds that a plan has and nothing takes from, so that their fuses are left out of the car until something does."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.plan.feed_way import taken_from
from fuseplan.plan.model import Feed, Plan

NOTHING_YET = "nothing on it yet: leave its fuse out"


def idle_feeds(plan: Plan) -> frozenset[str]:
    """Feeds that are dead with their fuse out, as nothing needs it in: no circuit, coil, alternator, pin or further
    feed with a use takes from them. One without a fuse of its own is live with the feed before it, and is idle only
    where that is."""
    used = {*taken_from(plan), *(each.relay.coil_feed for each in plan.circuit.values() if each.relay is not None)}
    reached = list(used)
    while reached:
        feed = plan.feed.get(reached.pop())
        for name in () if feed is None else _needs(feed):
            if name not in used:
                used.add(name)
                reached.append(name)
    idle: set[str] = set()
    # A feed may stand in the plan before the one it comes from.
    for _ in plan.feed:
        found = {name for name, feed in plan.feed.items()
                 if name not in used and (feed.fuse is not None or feed.upstream in idle)}
        if found == idle:
            break
        idle = found
    return frozenset(idle)


def _needs(feed: Feed) -> Iterator[str]:
    """The feeds that a feed in use needs live."""
    if feed.upstream is not None:
        yield feed.upstream
    if feed.relay is not None:
        yield feed.relay.coil_feed
