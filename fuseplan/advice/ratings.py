"""Choosing the rating of one protective device, and the wire that goes with it."""

from __future__ import annotations

import math

import numpy as np

from fuseplan.advice.added_fuse import BOLT_IN, LEAST_BRANCH, fit_fuse, is_branch
from fuseplan.advice.coil_feed import own_feed
from fuseplan.advice.draft import DISTANCE, NO_MORE_RATINGS, OUT_OF_SCOPE, OWN_HOLDER, WITHIN, Draft, Owner
from fuseplan.advice.edit import owner_key, segment_key
from fuseplan.checks.fixes import COOLER, LEAVE_OUT, SPLIT, ask_the_maker, or_split
from fuseplan.checks.fuse_to_fit import rating_instead
from fuseplan.checks.rule import Finding
from fuseplan.checks.subjects import fuse_subject, segment_words
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.equipment import limit_words, strictest
from fuseplan.engine.missing import Unknown, leaves_unknown
from fuseplan.engine.proposed_ratings import seat_limit_a
from fuseplan.engine.results import Results
from fuseplan.engine.source import battery_known
from fuseplan.engine.stock import AtHand, ladder, may_change_type, ratings_between
from fuseplan.plan.parts import Fuse
from fuseplan.plan.words import FUSE_KINDS
from fuseplan.quantities import writing
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables.fuses import kind_words


def known_demand(results: Results, index: int) -> bool:
    """Whether a device's load rests on no missing figure, and there is one."""
    kind, name = results.network.fuses[index].owner
    lacks = results.network.missing.get(name, ()) if kind == "circuit" else ()
    if leaves_unknown(lacks, Unknown.CURRENT) or leaves_unknown(lacks, Unknown.RESISTANCE):
        return False
    low = float(results.fusing.low_a[0, index])
    return not math.isnan(low) and low > 0


def fit(draft: Draft, results: Results, index: int) -> None:
    """Bring a device nearer to the smallest rating that carries its load and guards its wire.

    The rating suits the load with the worst-case current where the wire allows that, else it is the largest of those
    that suit it as entered; holder and position take it, where they take any that does. Where the wire allows neither,
    the wire grows; where it may not, the limits collide and the device is left to guard the wire.
    """
    row, fusing = results.network.fuses[index], results.fusing
    owner, kind = row.owner, row.fuse.kind
    path = (*owner_key(owner), "fuse", "rating")
    other = draft.changes.get((*path[:-1], "kind"))
    if not ladder(kind) or not known_demand(results, index) or not draft.in_scope(path) \
            or (other is not None and other.new != kind):
        return
    floor, floor_finding = draft.floors.get(owner, (0.0, None))
    low, upper = (max(float(value), floor) for value in fusing.low_a[:, index])
    high, binding = float(fusing.high_a[index]), int(fusing.binding[index])
    stock = results.network.stock
    seat = min(high, seat_limit_a(results.network, index))
    least, wanted = stock.next_rating(kind, low, seat), stock.next_rating(kind, upper, seat)
    at_hand = _type_at_hand(stock, row.fuse, low, upper, seat)
    if at_hand is not None:
        draft.put((*owner_key(owner), "fuse", "kind"), kind, at_hand, "not-in-stock",
                  f"no {kind_words(kind)} in stock suits load and wire, and one of this type does; it needs a holder "
                  "of its own")
        return
    # A larger type, and with it a thicker wire, is not fitted because a usual fuse must be bought.
    if least is None or stock.instead(row.fuse, low) is not None:
        _larger_type(draft, results, index, low)
        return
    sets = floor_finding.check if floor_finding is not None and floor > float(fusing.low_a[0, index]) \
        else "fuse-too-small"
    maker = float(fusing.maker_a[index])
    chosen = rating_instead(results, index, least, seat, entered(draft, owner)) or least
    if wanted is not None and chosen < wanted and at_most(wanted, maker) \
            and can_grow(draft, results, index, least) and _are_free(draft, results, index, wanted):
        chosen = wanted
    if at_most(chosen, high):
        draft.settled.add(owner)
    elif binding >= 0 and (
            own_feed(draft, results, binding, "fuse-exceeds-wire",
                     f"{segment_words(results, binding)} is rated for {writing.LARGEST_FUSE(high)}, the fuse of its "
                     f"feed is {writing.rating(chosen)}", owner)
            or _alternator_fuse(draft, results, binding, owner, chosen)
            or _branch_fuse(draft, results, binding, owner, chosen)):
        pass
    elif can_grow(draft, results, index, least):
        draft.grow(results, index, chosen)
    else:
        _collide(draft, results, index, floor_finding if sets != "fuse-too-small" else None, least, high)
        return
    held_up = floor_finding if sets != "fuse-too-small" else None
    reason = draft.reasons.get(owner) or held_up
    draft.put(path, row.fuse.rating, writing.rating(chosen), "fuse-too-small" if reason is None else reason.check,
              _why(results, index, reason, held_up), aside=_derated_words(results, index, chosen))


def can_grow(draft: Draft, results: Results, index: int, rating_a: float) -> bool:
    """Whether the wire that sets the largest rating of a device may grow for a rating that the makers allow."""
    binding = int(results.fusing.binding[index])
    return binding >= 0 and at_most(rating_a, float(results.fusing.maker_a[index])) \
        and draft.may_grow(results, binding)


def _are_free(draft: Draft, results: Results, index: int, rating_a: float) -> bool:
    """Whether a device protects wires that are too thin for a rating, and the plan leaves open the sizes of them
    all."""
    thin = np.flatnonzero((results.network.segment_guard == index) & exceeds(rating_a, results.largest_fuse_a))
    return thin.size > 0 and all((*segment_key(results, each), "size") in draft.free for each in thin.tolist())


def _branch_fuse(draft: Draft, results: Results, binding: int, owner: Owner, chosen_a: float) -> bool:
    """Fit a fuse where a circuit, or the wire to a further feed, starts that has none of its own and would have to be
    as thick as the fuse before it asks; its rating is chosen as that of any other. False where it is another wire, or
    has one."""
    branch = results.network.segments.owner[binding]
    if branch[0] not in ("circuit", "feed") or branch == owner or not is_branch(draft, results, branch):
        return False
    fit_fuse(draft, results, branch, "fuse-exceeds-wire",
             f"{segment_words(results, binding)} is rated for "
             f"{writing.LARGEST_FUSE(results.largest_fuse_a[binding])}, the fuse before it is "
             f"{writing.rating(chosen_a)}; it needs one of its own where it starts")
    return True


def _alternator_fuse(draft: Draft, results: Results, binding: int, owner: Owner, chosen_a: float) -> bool:
    """Fit a fuse at the start of the alternator cable, where that cable has none and would have to be as thick as the
    feed it is on; its rating is chosen as that of any other. False where it is another wire, or has one."""
    cable, alternator = ("alternator", ""), draft.plan.alternator
    if results.network.segments.owner[binding] != cable or owner == cable or alternator is None \
            or alternator.fuse is not None or not draft.in_scope(("alternator", "fuse")) \
            or not at_most(float(results.demands.segment[0, :, binding].max()), LEAST_BRANCH * chosen_a):
        return False
    draft.put(("alternator", "fuse"), None, {"kind": _alternator_type(draft), "distance": DISTANCE},
              "fuse-exceeds-wire",
              f"{segment_words(results, binding)} is rated for "
              f"{writing.LARGEST_FUSE(results.largest_fuse_a[binding])}, the fuse before it is "
              f"{writing.rating(chosen_a)}; it needs one of its own where it starts", aside=WITHIN)
    draft.managed.add(cable)
    return True


def _alternator_type(draft: Draft) -> str:
    """Type of fuse for the start of the alternator cable: a maxi, whose opening times are on file, where one of its
    ratings suits load and cable and it is known to break a short there; else a mega."""
    trial = draft.copy()
    trial.put(("alternator", "fuse"), None, {"kind": "maxi"}, "fuse-exceeds-wire", "")
    after = trial.assess()
    network, index = after.results.network, after.fuse_of["alternator", ""]
    above = int(network.guard[network.supply.parent[network.fuse_node[index]]])
    capacities = [fuse_tables.breaking_capacity_a(network.fuse_kinds[each]) for each in (index, above) if each >= 0]
    is_broken = battery_known(draft.plan.battery) and any(
        each is not None and at_most(float(after.results.faults.prospective_a[index]), each.value)
        for each in capacities)
    return "maxi" if is_broken and math.isfinite(after.results.fusing.rating_a[index]) else "mega"


def _type_at_hand(stock: AtHand, fuse: Fuse, low_a: float, upper_a: float, most_a: float) -> str | None:
    """Another type with a rating in stock that suits load and wire, where the plan lists its fuses, none of the fuse's
    own type suits, and the type may change: one for the worst-case current before one for that as entered; no bolt-in
    type where a rating of the fuse's own is sold that suits."""
    def suits(kind: str, least_a: float) -> bool:
        return any(rating in stock.ratings(kind) for rating in ratings_between(kind, least_a, most_a))

    if not stock.lists_fuses or not may_change_type(fuse) or suits(fuse.kind, low_a):
        return None
    left_out = BOLT_IN if ratings_between(fuse.kind, low_a, most_a) else ()
    return next((kind for least_a in (upper_a, low_a) for kind in FUSE_KINDS
                 if kind not in left_out and suits(kind, least_a)), None)


def _why(results: Results, index: int, reason: Finding | None, held_up: Finding | None) -> str:
    low, upper = (float(value) for value in results.fusing.low_a[:, index])
    words = [] if reason is None else [reason.message]
    if held_up is not None and held_up is not reason:
        words.append(f"smaller, {held_up.message}")
    words.append(f"smallest fuse for the load: {writing.SMALLEST_FUSE(low)}")
    if upper > low * 1.02:
        words[-1] += f", {writing.SMALLEST_FUSE(upper)} with the worst-case current"
    return "; ".join(words)


def _derated_words(results: Results, index: int, rating_a: float) -> str:
    """That the heat of a device's place asks for a larger rating than the coolest zone of the plan would; empty where
    it does not."""
    row, fusing, zones = results.network.fuses[index], results.fusing, results.plan.zone
    cool_c = min((float(zone.ambient) for zone in zones.values() if zone.ambient is not None), default=row.ambient_c)
    if not cool_c < row.ambient_c:
        return ""
    factor = float(fusing.ambient_k[index]) / float(results.limit_set.fuse_k(np.array([cool_c]))[0])
    cool = results.network.stock.next_rating(row.fuse.kind, float(fusing.low_a[1, index]) * factor)
    if cool is None or not cool < rating_a:
        return ""
    return f"derated for {writing.burden(row.ambient_c, '°C')}: at {writing.burden(cool_c, '°C')} " \
           f"{writing.rating(cool)} would do"


def _larger_type(draft: Draft, results: Results, index: int, low: float) -> None:
    row = results.network.fuses[index]
    owner, kind = row.owner, row.fuse.kind
    subject = fuse_subject(row)
    stock = results.network.stock
    at_hand, larger = stock.ratings(kind), stock.larger_type(kind, low)
    words = f"it asks for {writing.SMALLEST_FUSE(low)}, the largest {kind_words(kind)} " + (
        f"on file is {writing.rating(ladder(kind)[-1])}" if not at_hand or low > ladder(kind)[-1] else
        f"{'at hand' if stock.lists_fuses else 'that is usual'} is {writing.rating(at_hand[-1])}")
    if larger is None or not may_change_type(row.fuse):
        where = f"position {row.fuse.position}" if row.fuse.position else f"holder {row.fuse.holder}"
        draft.stuck.add(owner)
        draft.withdraw(owner)
        draft.give_up(*subject, "fuse-too-small", NO_MORE_RATINGS,
                      f"{words}, and {where} allows no larger type" if larger is not None else words,
                      LEAVE_OUT if results.fusing.against_shorts[index] else
                      f"{_past_the_ratings(results, index, low, larger)}{or_split(results, index)}")
        return
    draft.put((*owner_key(owner), "fuse", "kind"), kind, larger, "fuse-too-small",
              f"{words}; {OWN_HOLDER}")


def _past_the_ratings(results: Results, index: int, low: float, larger: str | None) -> str:
    """What to do about a load above the ratings of a type: a cooler place only where one of them carries it there."""
    if at_most(low * float(results.fusing.ambient_k[index]), ladder(results.network.fuse_kinds[index])[-1]):
        return COOLER
    return "check the load current: no larger fuse is on file" if larger is None else \
        f"fit a {kind_words(larger)} in a holder of its own"


def _collide(draft: Draft, results: Results, index: int, floor: Finding | None, least: float, high: float) -> None:
    """The device asks for more than a wire that cannot grow bears: leave the wire guarded.

    `floor` is the finding that asks for more than the load does, None where it is the load itself.
    """
    row = results.network.fuses[index]
    owner: Owner = row.owner
    subject = fuse_subject(row)
    limit, against, fix = _limit_words(draft, results, index, least)
    stock = results.network.stock
    own = stock.next_rating(row.fuse.kind, float(results.fusing.low_a[0, index]), high)
    words = (f"it asks for a fuse of {writing.rating(least)}, {limit}")
    draft.withdraw(owner)
    if floor is not None and own is not None and at_most(own, high):
        # Only the surge or the order of fuses is given up; the load itself still finds its rating.
        draft.release(owner, floor, entered(draft, owner) is not None)
        draft.give_up_on(floor, against, words)
        return
    draft.give_up(*subject, "fuse-too-small", against, words, fix)
    draft.stuck.add(owner)
    given = entered(draft, owner)
    guards = stock.preferred(row.fuse.kind, ratings_between(row.fuse.kind, 0.0, high))
    if guards and (given is None or not at_most(given, high)):
        draft.put((*owner_key(owner), "fuse", "rating"), None if given is None else writing.rating(given),
                  writing.rating(guards[-1]),
                  against, f"the largest fuse allowed: {limit}; it may blow under the load")


def _limit_words(draft: Draft, results: Results, index: int, least: float) -> tuple[str, str, str]:
    """What allows no larger fuse and why that stays, the check it stands for, and what to do."""
    fusing = results.fusing
    if not at_most(least, float(fusing.maker_a[index])):
        stated = limit_words(results.network, strictest(results.network)[index])
        return (f"{stated} allows {writing.LARGEST_FUSE(fusing.maker_a[index])}", "fuse-exceeds-equipment",
                ask_the_maker(results, index))
    binding = int(fusing.binding[index])
    segment = results.network.segments.segment[binding]
    reason = ("is an existing wire" if segment.origin == "existing" else OUT_OF_SCOPE
              if not draft.in_scope(segment_key(results, binding)) else "has no next size on file")
    shared = or_split(results, index, f"{SPLIT}, or bring part of it elsewhere")
    return (f"{segment_words(results, binding)} is rated for {writing.LARGEST_FUSE(fusing.wire_a[index])} and {reason}",
            "fuse-exceeds-wire", f"replace that wire{shared}")


def entered(draft: Draft, owner: Owner) -> float | None:
    """The rating the plan gave."""
    fuse = draft.fuse_in_plan(owner_key(owner))
    return None if fuse is None or fuse.rating is None else float(fuse.rating)
