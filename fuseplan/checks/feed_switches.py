"""The rating a switch in a feed needs: the loads behind it, each with the factor of its kind, on together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.subjects import current_known
from fuseplan.engine.consumers import COIL, LOAD
from fuseplan.engine.intervals import FIVE_S
from fuseplan.engine.relays import factor
from fuseplan.engine.results import Results
from fuseplan.records import dataclass

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class FeedSwitch:
    """The switch of one feed.

    Attributes
    ----------
    feed : id of the feed
    rating_a : its rating [A]; None where not stated
    asked_a : array (cases,), rating it needs, as entered and at the upper bound [A]; NaN where a current is not stated
    carried_a : array (cases,), what it carries then [A]
    """

    feed: str
    rating_a: float | None
    asked_a: Floats
    carried_a: Floats


def asked_of_feeds(results: Results) -> list[FeedSwitch]:
    """The switches in feeds that carry their loads themselves, in the order of the plan.

    What a starter draws is not counted: its solenoid makes and breaks that current, never the switch.
    """
    network, plan, consumers = results.network, results.plan, results.network.consumers
    fitted = [(name, feed) for name, feed in plan.feed.items() if feed.switch is not None and feed.relay is None]
    if not fitted:
        return []
    current = results.demands.load[:, FIVE_S].copy()
    coils = consumers.kind == COIL
    current[:, coils] = consumers.reference_a[coils]
    kinds = ["coil" if coil else kind for coil, kind in zip(coils.tolist(), consumers.load_kind, strict=True)]
    times = np.array([factor(kind, network.system_v) for kind in kinds], dtype=float)
    # The last place stands for consumers without a circuit.
    starters = np.zeros(len(network.circuits) + 1, dtype=bool)
    starters[[number for number in network.marked.get("role starter", ())
              if network.circuits[number].role == "starter"]] = True
    not_known = np.append(~current_known(results), False)[consumers.circuit]
    switched = ((consumers.kind == LOAD) | coils) & ~starters[consumers.circuit]
    return [_of(results, name, feed.switch.rating, current, current * times, switched, not_known)
            for name, feed in fitted if feed.switch is not None]


def _of(results: Results, name: str, rating: float | None, current: Floats, weighted: Floats, switched: Flags,
        not_known: Flags) -> FeedSwitch:
    """What the switch of one feed needs."""
    tree, consumers, node = results.network.supply, results.network.consumers, results.network.feed_node[name]
    behind = tree.order[tree.start[node]:tree.end[node]]
    members = behind[switched[behind]]
    corners = np.arange(len(current))
    asked, carried = np.zeros(len(current)), np.zeros(len(current))
    for on in (consumers.on, *consumers.instead):
        together = on[:, members].T
        sums, plain = weighted[:, members] @ together, current[:, members] @ together
        worst = sums.argmax(axis=1)
        more = sums[corners, worst] > asked
        asked = np.where(more, sums[corners, worst], asked)
        carried = np.where(more, plain[corners, worst], carried)
    if not_known[members].any():
        asked = np.full(len(current), np.nan)
    return FeedSwitch(name, None if rating is None else float(rating), asked, carried)
