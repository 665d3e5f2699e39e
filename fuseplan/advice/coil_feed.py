"""A feed with a small fuse for relay coils, where the fuse before them is too large for their wires."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fuseplan.advice.draft import DISTANCE, WITHIN, Draft, Owner
from fuseplan.checks.boxes import Way, ways
from fuseplan.checks.feed_question import MOST_COILS_A
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.plan.coils import is_coil_wire, only_coils, relay_of
from fuseplan.plan.model import Plan

LEAST_POSITION_A = 5.0
"""A position that takes no fuse as large as this is not proposed for coils: smaller blades are seldom at hand. Common
practice, no source."""
HOLDERS = {"blade": "blade_in_line", "mini": "mini_in_line"}
"""Types a fuse for coils may have, with the holder for a single one."""
DECIDE = f"{WITHIN}; your decision: this holder, or a free position of the fuse box in place of holder and distance"
"""What is left to the user where the plan has no free position of a fuse box on the feed."""


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
    if only_coils(draft.plan, feed) and draft.plan.feed[feed].fuse is None:
        if ("feed", feed, "fuse") not in draft.changes:
            _fit(draft, results, feed, draft.plan.feed[feed].upstream or feed, check, why, cause)
        return True
    draft.put(path, feed, _added(draft, results, feed, check, why, cause), check, why, cause)
    return True


def _added(draft: Draft, results: Results, feed: str, check: str, why: str, cause: Owner | None) -> str:
    """The feed for coils, with a fuse of its own, that is put behind a feed, or was put there for another coil."""
    name = next(each for each in (f"{feed}_coils", *(f"{feed}_coils_{number}" for number in range(2, 1000)))
                if each not in draft.plan.feed)
    if ("feed", name) not in draft.changes:
        zone = draft.plan.feed[feed].zone
        place = {"from": feed} if zone is None else {"from": feed, "zone": zone}
        draft.put(("feed", name), None, place, check, why, cause)
        _fit(draft, results, name, feed, check, why, cause)
    elif cause is None:  # it stays, whatever becomes of the rating it was added for
        for path in (("feed", name), ("feed", name, "fuse")):
            draft.for_fuse.pop(path, None)
    return name


def _fit(draft: Draft, results: Results, feed: str, before: str, check: str, why: str, cause: Owner | None) -> None:
    """Put a fuse into a feed of coils, in a free position of a fuse box on the feed before it where there is one."""
    way = _free_position(draft, results, before)
    kind = _kind(draft.plan, results, before, None if way is None else way.part.kind)
    if way is None:
        fuse, aside = {"kind": kind, "holder": HOLDERS[kind], "distance": DISTANCE}, DECIDE
    else:
        box = results.plan.fuse_box[way.box].name or way.box
        fuse, aside = {"kind": kind, "position": way.position}, f"position {way.position} of {box} is free"
    draft.put(("feed", feed, "fuse"), None, fuse, check, why, cause, aside)
    draft.managed.add(("feed", feed))


def feed_of_coils(draft: Draft, results: Results, feeds: Sequence[str], check: str, why: str) -> str:
    """Where the coil of a relay that is added is fed from, of the feeds it may be on, the best first: one of them, or
    right behind one and live with it, that has a fuse for coils, the smallest; else one with a small enough fuse before
    it, and one that is added where there is none, or no feed may be."""
    plan, network = draft.plan, results.network
    live = {feed: plan.feed[feed].live for feed in feeds if feed in plan.feed}
    found = [(float(each.fuse.rating), name) for name, each in plan.feed.items()
             if (name in live or (each.upstream in live and each.live in (None, live[each.upstream])))
             and not each.wire and each.relay is None and each.switch is None
             and each.fuse is not None and each.fuse.rating is not None and float(each.fuse.rating) <= MOST_COILS_A]
    if found:
        return min(found)[1]
    behind = {feed: int(network.guard[network.feed_node[feed]]) for feed in feeds if feed in network.feed_node}
    small = [feed for feed, device in behind.items()
             if device >= 0 and at_most(float(results.fusing.rating_a[device]), MOST_COILS_A)]
    if small or draft.scope is not None:
        return [*small, *feeds][0]
    return _added(draft, results, feeds[0], check, why, None)


def _free_position(draft: Draft, results: Results, feed: str) -> Way | None:
    """A position of a fuse box on a feed that no fuse is in, nor one that this proposal adds, and that takes one for
    coils, the smallest first; None where there is none."""
    taken = {change.new["position"] for change in draft.changes.values()
             if not isinstance(change.new, str) and "position" in change.new}
    free = [way for box in results.plan.fuse_box for way in ways(results, box)
            if way.is_free and way.feed == feed and way.position not in taken
            and (way.part.kind is None or way.part.kind in HOLDERS)
            and (way.part.largest is None or float(way.part.largest) >= LEAST_POSITION_A)]
    return min(free, key=lambda way: math.inf if way.part.largest is None else float(way.part.largest), default=None)


def _kind(plan: Plan, results: Results, feed: str, taken: str | None) -> str:
    """The type of fuse of a feed for coils: the one its position takes, else the one most used behind the feed they
    were on, else in the plan, one at hand before any other."""
    if taken is not None:
        return taken
    used: list[str] = [fuse.kind for source, fuse in (*((each.feed, each.fuse) for each in plan.circuit.values()),
                                           *((each.upstream, each.fuse) for each in plan.feed.values()))
            if fuse is not None and source == feed]
    anywhere: list[str] = [each.fuse.kind for each in plan.circuit.values() if each.fuse is not None]
    stock = results.network.stock
    return max(HOLDERS, key=lambda each: (bool(stock.ratings(each)), used.count(each), anywhere.count(each)))
