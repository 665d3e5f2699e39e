"""The wire to a feed: without it the feed counts as bolted to the one it comes from."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.not_said import NotSaid
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words

MOST_COILS_A = 10.0
"""A feed with a fuse up to this rating is one that thin coil wires may be taken from, and that often sits right beside
the feed it comes from. Common practice, no source."""


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
