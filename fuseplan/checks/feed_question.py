"""What a feed leaves out: what makes it live in some states only, without which no contact is checked for what it hands
out; and the wire to it, without which it counts as bolted to the feed it comes from."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.not_said import NotSaid
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.relays import ADVISED_A
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing

MOST_COILS_A = 10.0
"""A feed with a fuse up to this rating is one that thin coil wires may be taken from, and that often sits right beside
the feed it comes from. Common practice, no source."""
SWITCHED_BY = "what switches it: a switch, with its rating, or a relay (switch, relay)"


def unswitched_feeds_asked(results: Results) -> Iterator[NotSaid]:
    """The switch or relay of each feed that is live in fewer states than the one it comes from."""
    network = results.network
    for name, feed in results.plan.feed.items():
        if feed.live is None or feed.upstream is None or feed.relay is not None or feed.switch is not None:
            continue
        if not (network.feed_live[feed.upstream] & ~network.feed_live[name]).any():
            continue
        load_a = float(results.demands.lasting_at(np.array([network.feed_node[name]]))[0, 0])
        yield NotSaid(
            "feed", name, SWITCHED_BY,
            f"nothing between it and {in_words(results.plan, 'feed', feed.upstream)} opens as entered, and no contact "
            f"is checked for the {writing.burden(load_a, 'A')} it hands out", "feed_switch",
            f"feed.{name}.switch.rating", not at_most(load_a, ADVISED_A))


def feed_wires_asked(results: Results) -> Iterator[NotSaid]:
    """The wire to a feed of which something says that there is one: another zone than that of the feed it comes from,
    or a fuse for more than coils that sits in no fuse box."""
    plan, places = results.plan, results.network.places
    for name, feed in plan.feed.items():
        if feed.upstream not in plan.feed or feed.wire:
            continue
        if feed.fuse is None and int(results.network.guard[results.network.feed_node[name]]) < 0:
            continue  # it is a bare cable, and asked about as one
        apart = places.feed(name).zone != places.feed(feed.upstream).zone
        fuse = feed.fuse
        fused = fuse is not None and fuse.position is None and not (
            fuse.rating is not None and at_most(float(fuse.rating), MOST_COILS_A))
        if apart or fused:
            yield NotSaid(
                "feed", name, "the wire to it, or the short link it has in its place",
                f"as entered it is bolted to {in_words(plan, 'feed', str(feed.upstream))}: no wire is checked against "
                "the fuse before it", "feed_wire", f"feed.{name}.wire", True)
