"""What a feed's bus, stud, relay, switch and fuse box are rated for, each with its source."""

from __future__ import annotations

from fuseplan.engine.noting import once
from fuseplan.engine.relays import InPlace, contact_in_place
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.records import dataclass

SHUNT_SHARE = 2.0 / 3.0
"""What a shunt carries continuously of its rated current."""


@dataclass(frozen=True)
class FeedLimit:
    """One part's limit.

    Attributes:
        feed: id of the feed
        words: the part, in the middle of a sentence
        limit_a: its continuous rating [A]
        path: key of the plan it stands under
        source: where the figure is from
        relay: the relay contact where it sits; None for other parts
        of_shunt: it holds for an ammeter with a shunt alone, not for one with its movement in the wire
    """

    feed: str
    words: str
    limit_a: float
    path: str
    source: str
    relay: InPlace | None = None
    of_shunt: bool = False

    @property
    def is_printed(self) -> bool:
        """The limit is on file for so hot a place; otherwise it is that of a cooler one, too high."""
        return self.relay is None or self.relay.contact.is_printed


@once
def feed_limits(results: Results) -> list[FeedLimit]:
    """All limits of parts, by feed in the order of the plan; those of fuse boxes last. NaN A for a relay contact of
    which nothing is on file."""
    plan = results.plan
    found: list[FeedLimit] = []
    for name, feed in plan.feed.items():
        if feed.limit is not None:
            found.append(FeedLimit(name, "its bus or stud", float(feed.limit), f"feed.{name}.limit",
                                   "limit given in the plan"))
        if feed.switch is not None and feed.switch.rating is not None:
            found.append(FeedLimit(name, "its switch", float(feed.switch.rating), f"feed.{name}.switch.rating",
                                   "rating given in the plan"))
        if feed.ammeter is not None:
            scale_a, path = float(feed.ammeter.scale), f"feed.{name}.ammeter.scale"
            found.append(FeedLimit(name, "its ammeter", scale_a, path,
                                   "an ammeter carries its full scale: common practice, no source"))
            found.append(FeedLimit(name, "the shunt of its ammeter, if it has one,", SHUNT_SHARE * scale_a, path,
                                   "continuous current at most two thirds of a shunt's rating: shunt makers' sheets",
                                   of_shunt=True))
        if feed.relay is not None:
            fitted = contact_in_place(results.network, ("feed", name), feed.relay)
            ambient = fitted.contact.ambient_c
            found.append(FeedLimit(name, f"its relay contact at {writing.burden(ambient, '°C')}", fitted.carries_a,
                                   f"feed.{name}.relay.contact", fitted.contact.source, fitted))
            if feed.relay.breaks is not None:
                found.append(FeedLimit(name, "its relay contact, when it opens,", float(feed.relay.breaks),
                                       f"feed.{name}.relay.breaks", "what it may break, given in the plan"))
    for box_id, box in plan.fuse_box.items():
        if box.rating is not None:
            found += [FeedLimit(feed, f"the bus of fuse box {in_words(plan, 'fuse_box', box_id)}", float(box.rating),
                                f"fuse_box.{box_id}.rating",
                                "rating given in the plan")
                      for feed in results.network.box_feeds[box_id] if feed in results.network.feed_node]
    return found
