"""What makes a feed live in some states only: as long as neither switch nor relay is entered, no contact is checked for
what the feed hands out."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.not_said import NotSaid
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.relays import ADVISED_A
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing

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
