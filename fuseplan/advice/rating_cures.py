"""Findings cured by another rating, another device above or below, or a fuse."""

from __future__ import annotations

import numpy as np

from fuseplan.advice.added_fuse import fit_fuse, is_branch
from fuseplan.advice.coil_feed import own_feed
from fuseplan.advice.draft import NO_MORE_RATINGS, OUT_OF_SCOPE, OWN_HOLDER, Owner
from fuseplan.advice.edit import owner_key, segment_key
from fuseplan.advice.look import Look, subject_key
from fuseplan.advice.ratings import entered
from fuseplan.advice.sizes import steps_up
from fuseplan.checks.fixes import largest_fuse_a
from fuseplan.checks.fuse_to_fit import above_surge, carrying, suits_range, types_that_break
from fuseplan.checks.own_fuse import past_the_file
from fuseplan.checks.rule import Finding
from fuseplan.checks.rules.not_selective import lower_to_fit, not_assured, upper_to_fit
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.compiled_plan import FuseRow
from fuseplan.engine.proposed_ratings import seat_limit_a
from fuseplan.engine.stock import ladder, may_change_type, usual_ratings
from fuseplan.plan.roles import MAY_BE_UNFUSED
from fuseplan.quantities.wire_size import WireSize


def rating(look: Look, finding: Finding) -> None:
    """The device's rating is chosen anew."""
    index = look.manage(finding)
    if index is None:
        return
    fusing, row = look.results.fusing, look.results.network.fuses[index]
    owner = row.owner
    if finding.check == "fuse-exceeds-wire" and not ladder(row.fuse.kind) \
            and look.draft.may_grow(look.results, int(fusing.binding[index])):
        # No other rating of its type is on file: the wire goes with the one entered.
        look.draft.grow(look.results, index, float(fusing.rating_a[index]))
        return
    if owner in look.draft.stuck or owner in look.draft.settled or not look.draft.in_scope(owner_key(owner)):
        look.draft.give_up_on(finding, "the limits of its wire and its load", "no rating meets both")
    elif finding.check == "fuse-too-small" and not ladder(row.fuse.kind):
        look.draft.give_up_on(finding, "the ratings on file", "its ratings are not on file")


def fits_its_seat(look: Look, finding: Finding) -> bool:
    """Whether a rating that holder and position take carries the load as entered, and its wire allows it."""
    index = next((look.fuse_at[each] for each in finding.fields if each.endswith(".rating") and each in look.fuse_at),
                 None)
    if index is None:
        return False
    results = look.results
    low, most = float(results.fusing.low_a[0, index]), seat_limit_a(results.network, index)
    most = min(most, float(results.fusing.high_a[index]))
    return any(low <= step <= most for step in ladder(results.network.fuse_kinds[index]))


def breaking(look: Look, finding: Finding) -> None:
    """A larger type that breaks more, where one of its ratings suits load and wire."""
    results, draft = look.results, look.draft
    index = look.device_of(finding)
    row = None if index is None else results.network.fuses[index]
    if index is None or row is None or not may_change_type(row.fuse) or not draft.in_scope(owner_key(row.owner)):
        draft.give_up_on(finding, "the type of fuse there", "no other type can be fitted in its place")
        return
    kind = next((each for each in types_that_break(results, index) if suits_range(results, index, each)), None)
    if kind is not None:
        fit_type(look, row, kind, finding)
        draft.managed.add(row.owner)
        draft.reasons[row.owner] = finding
        return
    draft.give_up_on(finding, "the types of fuse on file", "no larger type on file that breaks so much has a rating "
                                                           "that carries the load and protects the wire")


def equipment(look: Look, finding: Finding) -> None:
    """The rating of the circuit's own fuse, or one of its own where it shares a larger one."""
    owner = (str(finding.subject_kind), finding.subject)
    if owner in look.assessment.fuse_of:
        rating(look, finding)
    else:
        fuse(look, finding)


def surge(look: Look, finding: Finding) -> None:
    """The rating that withstands what is switched on, or the larger type that has one; the next one up where that is
    to be measured first."""
    index, device = look.manage(finding), look.device_of(finding)
    known = [] if finding.measure or device is None else above_surge(look.results, device, usual=False, worst=False)
    if index is None:
        if device is not None and known:
            _raise_floor(look, look.results.network.fuses[device].owner, known[0], finding)
        return
    row = look.results.network.fuses[index]
    now, owner = float(look.results.fusing.rating_a[index]), row.owner
    named = carrying(look.results, index, float(look.results.fusing.low_a[0, index]))
    if row.owner in look.draft.stuck or not look.draft.in_scope(owner_key(row.owner)):
        look.draft.give_up_on(finding, "fuse-exceeds-wire", "no larger rating can be fitted")
    elif finding.measure and not is_at_hand(look, finding):
        look.draft.give_up_on(finding, "the size of the wire",
                              "a larger fuse asks for a thicker wire or another holder")
        look.draft.release(row.owner, finding, entered(look.draft, row.owner) is not None)
    elif finding.measure:
        _raise_floor(look, owner, _above(look, index)[0], finding)
    elif known:
        _raise_floor(look, owner, known[0], finding)
    elif named is not None and named.withstands and named.kind != row.fuse.kind:
        fit_type(look, row, named.kind, finding)
    elif named is not None and named.withstands and named.rating_a > now:
        _raise_floor(look, owner, named.rating_a, finding)
    else:
        look.draft.give_up_on(finding, NO_MORE_RATINGS, "no larger rating is sold")
        look.draft.release(row.owner, finding, entered(look.draft, row.owner) is not None)


def _above(look: Look, index: int) -> list[float]:
    """The ratings of a device's type above its own."""
    kind, now = look.results.network.fuses[index].fuse.kind, float(look.results.fusing.rating_a[index])
    return look.results.network.stock.preferred(kind, [step for step in ladder(kind) if step > now])


def is_at_hand(look: Look, finding: Finding) -> bool:
    """Whether a surge that is only assumed, or too high at the worst-case current alone, asks for no more than the next
    usual rating of a fuse that is not entered, on wires that are rated for it: it is measured before copper, a holder
    or another fuse is bought for it."""
    index = look.device_of(finding)
    if index is None or entered(look.draft, look.results.network.fuses[index].owner) is not None:
        return False
    kind, above = look.results.network.fuses[index].fuse.kind, _above(look, index)
    return bool(above) and above[0] in (*look.results.network.stock.ratings(kind), *usual_ratings(kind)) \
        and _is_near(look, index, above[0], finding.check)


def _raise_floor(look: Look, owner: tuple[str, str], least_a: float, finding: Finding) -> None:
    held = look.draft.floors.get(owner)
    if held is None or held[0] < least_a:
        look.draft.floors[owner] = (least_a, finding)
        look.draft.settled.discard(owner)


def order(look: Look, finding: Finding) -> None:
    """The larger or slower device above that the check names, else the smaller or quicker ones below: that the wrong
    fuse blows first is no reason for more copper, but for the next size of a wire whose size the plan leaves open."""
    results, draft = look.results, look.draft
    upper = look.assessment.fuse_of[(finding.subject_kind, finding.subject if subject_key(finding)[1:] else "")]
    pairs = [pair for pair in not_assured(results) if pair.upper == upper]
    row = results.network.fuses[upper]
    may_change = row.owner not in draft.stuck and draft.in_scope(owner_key(row.owner))
    step = upper_to_fit(results, upper, pairs)
    if step is not None and may_change:
        _fit_above(look, row, step, finding)
        return
    below = {pair.lower: lower_to_fit(results, upper, pair.lower) for pair in pairs}
    rows = {index: results.network.fuses[index] for index in below}
    if not any(each.owner in draft.managed | draft.stuck or not draft.in_scope(owner_key(each.owner))
               for each in rows.values()):
        found = {index: each[0] for index, each in below.items() if each is not None}
        if len(found) == len(below):
            for index, (kind, _) in found.items():
                fit_type(look, rows[index], kind, finding, OTHER_HOLDER)
                draft.managed.add(rows[index].owner)
                draft.reasons[rows[index].owner] = finding
            return
    step = upper_to_fit(results, upper, pairs, as_far_as_printed=True)
    if step is None:
        larger = upper_to_fit(results, upper, pairs, as_far_as_printed=True, thicker_wire=True)
        step = larger if larger is not None and larger[0] == row.fuse.kind and _is_near(
            look, upper, larger[1], finding.check) else None
    if step is None or not may_change:
        draft.give_up_on(finding, "the published opening bands", "no fuse to fit here or below fixes it")
        return
    _fit_above(look, row, step, finding)


def _fit_above(look: Look, row: FuseRow, device: tuple[str, float], finding: Finding) -> None:
    fit_type(look, row, device[0], finding, OTHER_HOLDER)
    look.draft.managed.add(row.owner)
    _raise_floor(look, row.owner, device[1], finding)


OTHER_HOLDER = "another type needs a holder of its own"


def fit_type(look: Look, row: FuseRow, kind: str, finding: Finding, holder: str = OWN_HOLDER) -> None:
    """Another type in the place of a fuse, where it is another."""
    if kind != row.fuse.kind:
        look.draft.put((*owner_key(row.owner), "fuse", "kind"), row.fuse.kind, kind, finding.check,
                       f"{finding.message}; {holder}")


def _is_near(look: Look, upper: int, rating_a: float, check: str) -> bool:
    """Whether every wire that a device protects is rated for another rating of it; of a wire whose size the plan leaves
    open, the next size may be, once for a check. True where one may not grow: that wire is then named as what stands
    against it."""
    draft, results, network = look.draft, look.results, look.results.network
    held = draft.floors.get(network.fuses[upper].owner)
    raised = held is not None and held[1].check == check
    for index in np.flatnonzero(network.segment_guard == upper).tolist():
        if at_most(rating_a, float(results.largest_fuse_a[index])):
            continue
        if not draft.may_grow(results, index):
            return True
        step = next(iter(steps_up(results, index)), None)
        if raised or step is None or (*segment_key(results, index), "size") not in draft.free or \
                not at_most(rating_a, largest_fuse_a(results, index, WireSize.read(step.words))):
            return False
    return True


def fuse(look: Look, finding: Finding) -> None:
    """A fuse where there is none; its rating is chosen in the next round."""
    key, draft = subject_key(finding), look.draft
    if not draft.in_scope(key):
        draft.give_up_on(finding, OUT_OF_SCOPE, "no fuse can be added here")
        return
    if finding.fields[0].endswith(".role"):
        draft.give_up_on(finding, "what its cable is for", "state that first: it may need no fuse")
        return
    part = draft.plan.circuit[finding.subject] if key[0] == "circuit" else draft.plan.feed[finding.subject]
    if part.role is not None and (key[0] == "feed" or part.role in MAY_BE_UNFUSED):
        draft.give_up_on(finding, "the length and cover of its cable",
                         "its role may go without a fuse: shorten and cover the cable, or fit a bolted fuse")
        return
    owner = (str(key[0]), str(key[1]))
    past = past_the_file(look.results, owner)
    if past is not None:
        draft.give_up_on(finding, NO_MORE_RATINGS, past)
        return
    fit_fuse(draft, look.results, owner, finding.check, finding.message)


def asks_own_fuse(look: Look, finding: Finding) -> bool:
    """Whether a finding is fixed first of all by a fuse of its own for a circuit or feed that has none."""
    return own_fuse_of(look, finding) is not None


def own_fuse_of(look: Look, finding: Finding) -> Owner | None:
    """The circuit or feed that gets a fuse of its own; None where the finding asks for none, or where it is most of the
    load of the fuse before it: another would then do no more."""
    place = finding.fields[0].split(".") if finding.fields else []
    if place[:1] not in (["circuit"], ["feed"]) or place[2:] != ["fuse", "rating"] or feeds_coil(finding):
        return None
    owner = (place[0], place[1])
    return owner if is_branch(look.draft, look.results, owner) else None


def own_fuse(look: Look, finding: Finding) -> None:
    """The same for the part the finding names first, which need not be its subject."""
    owner = own_fuse_of(look, finding)
    if owner is not None:
        fit_fuse(look.draft, look.results, owner, finding.check, finding.message)


def feeds_coil(finding: Finding) -> bool:
    """Whether a finding is fixed first of all by a fuse for the coil of a relay, where its feed has none, or by another
    feed of it."""
    first = next((each for each in finding.fields if not each.endswith(".fuse.rating")), "")
    return first.endswith(".relay.coil_feed")


def coil_fuse(look: Look, finding: Finding) -> None:
    """A fuse for the coil wires of a relay, in a feed of their own."""
    wire = next((look.segment_at[each] for each in finding.fields if each in look.segment_at), None)
    if wire is None or not own_feed(look.draft, look.results, wire, finding.check, finding.message):
        look.draft.give_up_on(finding, "what may be changed here", "no feed can be added for the coil")
