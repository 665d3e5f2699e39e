"""A feed with a small fuse for relay coils, where the fuse before them is too large for their wires."""

from __future__ import annotations

from fuseplan.advice.draft import Draft, Owner
from fuseplan.engine.results import Results
from fuseplan.plan.coils import is_coil_wire, relay_of


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
        stock = results.network.stock
        kind = next((each for each in ("mini", "blade") if stock.ratings(each)), "mini")
        draft.put(("feed", name), None, {"from": feed}, check, why, cause)
        draft.put(("feed", name, "fuse"), None, {"kind": kind}, check, why, cause)
        draft.managed.add(("feed", name))
    draft.put(path, feed, name, check, why, cause)
    return True
