"""Feeds that a plan has and nothing takes from, so that their fuses are left out of the car until something does."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.plan.model import Feed, Plan
from fuseplan.plan.nets import pins_of

NOTHING_YET = "nothing on it yet: leave its fuse out"


def idle_feeds(plan: Plan) -> frozenset[str]:
    """Feeds that are dead with their fuse out, as nothing needs it in: no circuit, coil, alternator, pin or further
    feed with a use takes from them. One without a fuse of its own is live with the feed before it, and is idle only
    where that is."""
    used = set(_named(plan))
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


def _named(plan: Plan) -> Iterator[str]:
    """The feeds that something takes from or hands to, other feeds left aside."""
    if plan.alternator is not None:
        yield from filter(None, (plan.alternator.feed, plan.alternator.sense_feed))
    for circuit in plan.circuit.values():
        yield from filter(None, (circuit.feed, *(circuit.also_from or ()), *(load.to_feed for load in circuit.load)))
        if circuit.relay is not None:
            yield circuit.relay.coil_feed
    yield from (pin.feed for _, _, pin in pins_of(plan) if pin.feed is not None)


def _needs(feed: Feed) -> Iterator[str]:
    """The feeds that a feed in use needs live."""
    if feed.upstream is not None:
        yield feed.upstream
    if feed.relay is not None:
        yield feed.relay.coil_feed
