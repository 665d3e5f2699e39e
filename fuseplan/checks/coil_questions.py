"""What is asked of the coil wires of relays, to terminal 86 and from 85."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, partial

import numpy as np

from fuseplan.checks.fixes import insulation_for
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.subjects import owner_subject
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.conductor_rating import WEAKEST, allowance_of, conductor_of
from fuseplan.engine.results import Results
from fuseplan.plan.coils import lands_on_earth, relays_of
from fuseplan.plan.parts import Relay
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize

THIN = "0.5 mm2"
"""The size a coil wire usually has. Common practice, no source."""

Owner = tuple[str, str]


def coil_wires_asked(results: Results) -> Iterator[NotSaid]:
    """The wires of a relay's coil: a thin wire behind the fuse of a large feed burns although its coil draws little.

    Safety rests on them where the fuse before them is larger than the usual size of such a wire allows.
    """
    largest_a = cache(partial(_largest_a, results))
    for owner, relay in relays_of(results.plan):
        lacking = [words for words, wire in (("to terminal 86", relay.wire_86), ("from terminal 85", relay.wire_85))
                   if not wire]
        kind, name = owner_subject(owner)
        if lacking:
            exceeds = _exceeds(results, owner, relay, largest_a)
            yield NotSaid(
                kind, name, f"the {'wire' if len(lacking) == 1 else 'wires'} of its relay's coil, "
                f"{' and '.join(lacking)}", "a coil draws little, so its wire is thin: the fuse before it must be "
                "small enough for that wire, or a short in it burns the loom", "coil_wire",
                f"{kind}.{name}.relay.{'wire_85' if relay.wire_86 else 'wire_86'}", bool(exceeds), exceeds)
        if relay.coil_earth is None and lands_on_earth(relay):
            yield NotSaid(kind, name, "the earth point of its relay's terminal 85 (coil_earth)",
                          "it is taken as the battery's earth: a coil on a poor earth may not pull in", "coil_earth",
                          f"{kind}.{name}.relay.coil_earth", False)


def _exceeds(results: Results, owner: Owner, relay: Relay, largest_a: Callable[[float], float]) -> str:
    """That the fuse before a coil wire is larger than a usual one allows, of an insulation that suits its place, or
    that this is not known, in few words; empty where it is known not to be."""
    network = results.network
    node = network.feed_node.get(relay.coil_feed)
    device = -1 if node is None else int(network.guard[node])
    if device < 0:
        return "no fuse before them"
    most = largest_a(max(network.places.touched(owner).ambient_c, network.places.feed(relay.coil_feed).ambient_c))
    rating = float(results.fusing.rating_a[device])
    if at_most(rating, most):
        return ""
    before = "rating not known" if np.isnan(rating) else writing.rating(rating)
    allows = f"nothing on file for {writing.wire_size(THIN)}" if np.isnan(most) else f"{writing.wire_size(THIN)} " \
        f"allows {writing.LARGEST_FUSE(most)}"
    return f"fuse before them {before}, {allows}"


def _largest_a(results: Results, ambient_c: float) -> float:
    """The largest fuse a usual coil wire allows [A], of an insulation that suits the ambient; NaN where nothing on file
    says."""
    insulation = insulation_for(results, WireSize.read(THIN), ambient_c) or WEAKEST
    alone = allowance_of(results.limit_set, THIN, insulation, ambient_c)
    area = conductor_of(results.limit_set, THIN, insulation).area_mm2
    return float(results.limit_set.largest_fuse_a(np.array([area]), np.array([alone.single_a]),
                                                  np.array([alone.base_a]))[0])
