"""What to do about a coil wire that no fuse protects, or one that is too large for it: a small fuse where the coils are
fed. Their current is that of a coil, so it costs nothing and a thicker wire gains nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from fuseplan.engine.names import wire_words
from fuseplan.engine.results import Results
from fuseplan.plan.coils import WIRE_85, feeds_for_coils, is_coil_wire, only_coils, relay_of, relays_of
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words, to_enter
from fuseplan.quantities import writing


def coil_fuse_fix(results: Results, segment: int) -> str | None:
    """A fuse in the feed of the coils, where nothing else is taken from that, else one where the coil wire starts; None
    for another wire."""
    segments = results.network.segments
    if segment < 0 or not is_coil_wire(segments.place[segment]):
        return None
    plan, owner, place = results.plan, segments.owner[segment], segments.place[segment]
    feed = _own_feed(plan, owner)
    if feed is not None:
        coils = (each for each, relay in relays_of(plan) if relay.coil_feed == feed)
        return f"a fuse{_of_at_most(results, coils)} in {in_words(plan, 'feed', feed)}, for all the coils " \
               "on it"
    # No fuse goes between terminal 85 and earth: the wire to 86 stays live then.
    starts = f"{wire_words(plan, owner, place)} starts" if not place.startswith(WIRE_85) else \
        f"the coil of {in_words(plan, *owner)} is fed"
    return f"a fuse{_of_at_most(results, [owner])} where {starts}: in the plan a feed with that fuse, as the feed of " \
           "the coil"


def coil_fields(results: Results, segment: int) -> tuple[str, ...]:
    """Paths of the keys that say how a coil wire is fed: which feed, and first its fuse if that is for coils alone."""
    kind, name = owner = results.network.segments.owner[segment]
    feed = _own_feed(results.plan, owner)
    return (*(() if feed is None else (f"feed.{feed}.fuse.rating",)), f"{kind}.{name}.relay.coil_feed")


def coil_feed_words(plan: Plan, feeds: Sequence[str]) -> str:
    """Some feeds for a coil, of which one is to be chosen: those for coils where there is one, else with a small
    fuse."""
    for_coils = feeds_for_coils(plan).intersection(feeds)
    small = "" if for_coils else ", through a fuse small enough for its coil wires"
    return f"{to_enter(plan, 'feed', [each for each in feeds if not for_coils or each in for_coils])}{small}"


def _own_feed(plan: Plan, owner: tuple[str, str]) -> str | None:
    """The feed a coil is on, where that is without a fuse and for coils alone."""
    relay = relay_of(plan, owner)
    return relay.coil_feed if relay is not None and only_coils(plan, relay.coil_feed) \
        and plan.feed[relay.coil_feed].fuse is None else None


def _of_at_most(results: Results, owners: Iterable[tuple[str, str]]) -> str:
    """The largest fuse that protects all the coil wires of some relays; empty where none is on file, or none does."""
    network = results.network
    wires = [wire for owner in owners for wire in network.segments_of_part.get(owner, ())
             if is_coil_wire(network.segments.place[wire])]
    largest = float(np.min(results.largest_fuse_a[wires], initial=np.inf))
    return f" of at most {writing.LARGEST_FUSE(largest)}" if 0.0 < largest < np.inf else ""
