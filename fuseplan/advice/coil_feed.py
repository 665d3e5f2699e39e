"""A feed with a small fuse for relay coils, where the fuse before them is too large for their wires."""

from __future__ import annotations

from fuseplan.advice.draft import DISTANCE, WITHIN, Draft, Owner
from fuseplan.engine.results import Results
from fuseplan.plan.coils import is_coil_wire, relay_of
from fuseplan.plan.model import Plan

HOLDERS = {"blade": "blade_in_line", "mini": "mini_in_line"}
"""Types a fuse for coils may have, with the holder for a single one."""
DECIDE = f"{WITHIN}; your decision: this holder, or a free position of the fuse box in place of holder and distance"
"""What is left to the user: no plan says which positions of a fuse box are free."""


def own_feed(draft: Draft, results: Results, segment: int, check: str, why: str, cause: Owner | None = None) -> bool:
    """Take the relay coil of a coil wire from a feed of its own with a fuse whose rating is chosen in the next round;
    coils of one feed share it. False where the segment is no coil wire, or that is done already or may not be done.

    `cause` is the device whose new rating alone asks for it.
    """
    segments = results.network.segments
    owner = segments.owner[segment]
    relay = relay_of(draft.plan, owner)
    path = (*owner, "relay", "coil_feed")
    if not is_coil_wire(segments.place[segment]) or relay is None or relay.coil_feed not in draft.plan.feed \
            or path in draft.changes or draft.scope is not None:
        return False
    feed = relay.coil_feed
    name = next(each for each in (f"{feed}_coils", *(f"{feed}_coils_{number}" for number in range(2, 1000)))
                if each not in draft.plan.feed)
    if ("feed", name) not in draft.changes:
        zone = draft.plan.feed[feed].zone
        place = {"from": feed} if zone is None else {"from": feed, "zone": zone}
        draft.put(("feed", name), None, place, check, why, cause)
        draft.put(("feed", name, "fuse"), None, _fuse(draft.plan, results, feed), check, why, cause, DECIDE)
        draft.managed.add(("feed", name))
    draft.put(path, feed, name, check, why, cause)
    return True


def _fuse(plan: Plan, results: Results, feed: str) -> dict[str, str]:
    """The fuse of a feed for coils but for its rating: of the type most used behind the feed they were on, else in the
    plan, one at hand before any other."""
    used: list[str] = [fuse.kind for source, fuse in (*((each.feed, each.fuse) for each in plan.circuit.values()),
                                           *((each.upstream, each.fuse) for each in plan.feed.values()))
            if fuse is not None and source == feed]
    anywhere: list[str] = [each.fuse.kind for each in plan.circuit.values() if each.fuse is not None]
    stock = results.network.stock
    kind = max(HOLDERS, key=lambda each: (bool(stock.ratings(each)), used.count(each), anywhere.count(each)))
    return {"kind": kind, "holder": HOLDERS[kind], "distance": DISTANCE}
