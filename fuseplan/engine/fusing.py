"""The fuse range of every protective device, and the rating proposed where the plan leaves it out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.engine.at_limit import ROUNDING, at_most
from fuseplan.engine.demand import Demands
from fuseplan.engine.equipment import maker_side
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S
from fuseplan.engine.network import Network
from fuseplan.engine.stock import AtHand, ladder
from fuseplan.engine.unfused import against_shorts, short_branches
from fuseplan.formulas.fuse import load_share, smallest_fuse
from fuseplan.limits.model import LimitSet
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables import fuses as fuse_tables
from fuseplan.trace import apply, bare, blank, chosen, decided, given, larger, smaller


class Rejected(NamedTuple):
    """A rating inside the fuse range that is not proposed."""

    rating_a: float
    reason: str


@dataclass(frozen=True)
class Fusing:
    """Per protective device; arrays of shape (J,) or (2, J) for the two ends of the evidence."""

    ambient_k: Floats
    """Ambient factor at the holder; NaN where the published curve ends below its ambient."""
    low_a: Floats
    """(2, J): smallest rating the load allows [A]."""
    high_a: Floats
    """Largest rating that wire and equipment allow [A]; infinite where nothing behind it has a limit, and for wires
    that may go without a fuse."""
    wire_a: Floats
    """Largest rating the wire allows [A]; infinite where nothing behind it has a limit on file."""
    maker_a: Floats
    """Largest rating the makers of the equipment behind it allow [A]; infinite where none is stated."""
    binding: Ints
    """Segment that sets `wire_a`, -1 for none."""
    against_shorts: Flags
    """Devices whose wires may go without one (J,): no rating is too large for those wires."""
    short_branches: Flags
    """Wires without a fuse of their own that need protection against shorts alone (S,): they do not set `wire_a`."""
    silent: Flags
    """The limits have nothing on file for a wire the device guards (J,): nothing is proposed."""
    rating_a: Floats
    """Rating in force: as entered, else as proposed; NaN where neither."""
    proposed_a: Floats
    """What is proposed where the plan gives no rating, NaN where the range holds no standard one; elsewhere the first
    that carries the load (`Results.proposals` has what would be proposed)."""
    share: Floats
    """(2, J): continuous demand as a share of the rating in force."""
    continuous_a: Floats
    short_a: Floats
    rejected: Mapping[int, tuple[Rejected, ...]] = field(default_factory=dict)
    """Ratings inside the range of a device that would break another check, where that changed what is proposed."""


def fusing_of(network: Network, limit_a: Floats, demands: Demands) -> Fusing:
    """Fuse ranges, ratings and shares of all protective devices; `limit_a` is the ampacity of each segment (S,)."""
    count = len(network.fuses)
    demand = demands.supply[:, :, network.fuse_node]
    k, low = load_side(network, demand)
    branches = short_branches(network)
    wire, binding, silent = _wire_side(network, limit_a, count, branches)
    maker, shorts = maker_side(network), against_shorts(network)
    allowed = chosen(shorts, np.inf, wire, "its wire may go without a fuse: any rating is more protection than none") \
        if shorts.any() else wire
    high = smaller("largest rating that wire and equipment allow", allowed, maker) if network.marked.get("max_fuse") \
        else allowed
    entered = network.entered_a
    proposed = np.where(silent, np.nan, proposals(network, low, high))
    rating = np.where(np.isnan(entered), proposed, entered) if count else entered
    share = apply(load_share, load=demand[:, CONTINUOUS], rating=rating)
    return Fusing(ambient_k=k, low_a=low, high_a=high, wire_a=wire, maker_a=maker, binding=binding,
                  against_shorts=shorts, short_branches=branches, silent=silent,
                  rating_a=rating, proposed_a=proposed, share=share, continuous_a=demand[:, CONTINUOUS],
                  short_a=np.maximum(demand[:, FIVE_MIN], demand[:, FIVE_S]))


def load_side(network: Network, demand: Floats) -> tuple[Floats, Floats]:
    """Ambient factor of each device (J,), and the smallest rating its demand (cases, 3, J) allows (cases, J)."""
    ambient = network.holder_c
    k = network.limit_set.fuse_k(ambient) if len(ambient) else np.zeros(0)
    low = smallest_rating(network.limit_set, demand, k)
    if not network.current_known.all():
        low[:, [index for index, row in enumerate(network.fuses) if row.owner[0] == "circuit"
                and not network.current_known[network.circuit_number[row.owner[1]]]]] = np.nan
    for consumer in network.unbounded:
        low[:, network.supply.holds(consumer)[network.fuse_node]] = np.nan
    return k, low


def smallest_rating(limit_set: LimitSet, demand: Floats, ambient_k: Floats) -> Floats:
    """The smallest rating that demands (cases, 3, n) allow at ambient factors (n,): (cases, n) [A]."""
    rule = limit_set.fuse
    for_long = given(rule.continuous_share, "s", "-", "share of its rating a fuse may carry continuously",
                     rule.continuous_source)
    for_short = given(rule.intermittent_share, "s", "-", "share of its rating for what lasts up to five minutes",
                      f"limits {limit_set.name}, fuse.intermittent_share")
    lasting = apply(smallest_fuse, load=demand[:, CONTINUOUS], share=for_long, ambient_factor=ambient_k)
    most = larger("what lasts up to five minutes", demand[:, FIVE_MIN], demand[:, FIVE_S])
    short = apply(smallest_fuse, load=most, share=for_short, ambient_factor=ambient_k)
    return np.asanyarray(larger("smallest rating the load allows", lasting, short))


def smallest_at_start(network: Network, demand: Floats, owner: tuple[str, str]) -> Floats:
    """The same for a fuse that a circuit or the wire to a feed has not, where that starts (cases,) [A], from the
    demands on all places of the supply (cases, 3, N). NaN where they are not known."""
    kind, name = owner
    node = network.feed_node[name] if kind == "feed" else int(network.circuit_node[network.circuit_number[name]])
    ambient = np.array([network.places.feed(network.places.source(owner)).ambient_c])
    low = smallest_rating(network.limit_set, demand[:, :, [node]], network.limit_set.fuse_k(ambient))[:, 0]
    known = kind == "feed" or network.current_known[network.circuit_number[name]]
    return low if known and not any(network.supply.holds(each)[node] for each in network.unbounded) else low * np.nan


def carried_a(network: Network, rating_a: Floats) -> tuple[Floats, Floats]:
    """What the load side allows at a rating of each device (J,): a continuous load, and one of up to five minutes [A];
    NaN where the smallest rating is not known either."""
    lasting, brief = np.zeros((2, 1, 3, len(rating_a)))
    lasting[:, CONTINUOUS], brief[:, FIVE_MIN] = 1.0, 1.0
    return rating_a / load_side(network, lasting)[1][0], rating_a / load_side(network, brief)[1][0]


def _wire_side(network: Network, limit_a: Floats, count: int, branches: Flags) -> tuple[Floats, Ints, Flags]:
    """Largest rating the wires of known limit allow, the segment that sets it, and whether the limits have
    nothing on file for a wire behind the device: nothing is proposed then, for no fuse is known to protect it."""
    segments = network.segments
    allowed = network.limit_set.largest_fuse_a(segments.area_mm2, limit_a, segments.base_a)
    high = blank(count, np.inf)
    binding = np.full(count, -1, dtype=np.int64)
    guarded = np.flatnonzero((network.segment_guard >= 0) & ~np.isnan(allowed) & ~branches)
    # From the largest limit to the smallest, so that the smallest is written last.
    for_each = guarded[np.argsort(-allowed[guarded], kind="stable")]
    binding[network.segment_guard[for_each]] = for_each
    found = binding >= 0
    high[found] = allowed[binding[found]]
    names = network.names.segment
    high = decided(high, "Iᵣ", "A", lambda device: "this device protects no wire whose limit is known"
                   if binding[device] < 0 else "of all wires this device protects, down to the next one, "
                   f"{names(int(binding[device]))} sets the limit", "choice: the wire that allows the smallest fuse",
                   high)
    silent = np.zeros(count, dtype=bool)
    silent[network.segment_guard[(network.segment_guard >= 0) & np.isnan(allowed)]] = True
    return high, binding, silent


def proposals(network: Network, low_a: Floats, high_a: Floats) -> Floats:
    """What `propose` says of every device (J,), from the low ends of the fuse ranges (2, J) and the high ones (J,)."""
    found, low, high = np.full(len(network.fuses), np.nan), bare(low_a), bare(high_a)
    stock = network.stock
    for kind, where in network.fuses_by_kind.items():
        found[where] = propose(stock, kind, low[:, where], high[where])

    def words(device: int) -> str:
        covers = at_most(float(low[1, device]), float(found[device]))
        kind, top = network.fuse_kinds[device], float(high[device])
        at_hand = stock.ratings(kind)
        listed, which = (at_hand, stock.words) if found[device] in at_hand else (ladder(kind), "standard rating")
        end = "smallest" if covers else "largest"
        return (f"{end} {which} of a {kind} fuse ({', '.join(map(writing.worked, listed))}) from "
                f"{writing.worked(float(low[int(covers), device]))} "
                f"({'at the worst-case currents' if covers else 'as entered'})"
                f"{f' to {writing.worked(top)}' if np.isfinite(top) else ' and up'}")

    def cite(device: int) -> str:
        found = fuse_tables.ratings(network.fuse_kinds[device])
        return "no ratings on file" if found is None else found.source.line()

    return np.asanyarray(decided(found, "Iᵣ", "A", words, cite, low_a[0], low_a[1], high_a))


@lru_cache(maxsize=64)
def _steps(ratings: tuple[float, ...]) -> Floats:
    """Ratings between two that are none: NaN is sorted past every rating, and there is none below the first or above
    the last."""
    return np.array([-np.inf, *ratings, np.inf])


def propose(stock: AtHand, kind: str, low_a: Floats, high_a: Floats) -> Floats:
    """Ratings of one type for fuse ranges of low ends (2, n) and high ends (n,): of those at hand, else of all, the
    smallest that carries the load at the upper bound of its evidence and does not exceed what the wire allows, else the
    largest of those that carry it as entered. NaN where there is none."""
    found, known = np.full(len(high_a), np.nan), ~np.isnan(low_a[1])
    for ratings in filter(None, (stock.ratings(kind), ladder(kind))):
        for low, smallest in ((low_a[1], True), (low_a[0], False)):
            open_ = known & np.isnan(found)
            if not open_.any():
                break
            steps = _steps(ratings)
            first = steps[steps[:-1].searchsorted(low * (1.0 - ROUNDING))]
            last = steps[steps[:-1].searchsorted(high_a * (1.0 + ROUNDING), side="right") - 1]
            fits = open_ & np.isfinite(first) & (first <= last)
            found = np.where(fits, first if smallest else last, found)
    return found
