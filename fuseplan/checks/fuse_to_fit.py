"""Which rating of a fuse a fix names: one that carries the load and is not known to blow when that is switched on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from fuseplan.checks.fixes import fuse_words, or_split
from fuseplan.engine.assumed import fuse_resistance
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.clearing import OPEN_WITHIN_S
from fuseplan.engine.equipment import limit_words, strictest
from fuseplan.engine.inrush import withstands
from fuseplan.engine.noting import once
from fuseplan.engine.proposed_ratings import seat_limit_a, with_more_ohm
from fuseplan.engine.results import Results
from fuseplan.engine.short_heating import outlived
from fuseplan.engine.stock import ladder, larger_types, largest_on_file_a, may_change_type, ratings_between
from fuseplan.engine.unprinted_times import greatest_time_of, least_fault_of
from fuseplan.plan.parts import Fuse
from fuseplan.quantities import writing
from fuseplan.quantities.wire_size import WireSize
from fuseplan.tables.conductors import conductor
from fuseplan.tables.fuses import breaking_capacity_a, kind_words

BOLTED_A = 2000.0
"""Nothing on file breaks more than this: bolted strip and mega fuses, ISO 8820-5 and a maker's sheet, as the tables of
breaking capacities have it."""


def rating_to_fit(results: Results, device: int, low_a: float, high_a: float) -> float | None:
    """The rating of a device's type from `low_a` to `high_a` that is to be fitted; None where none suits."""
    return rating_instead(results, device, low_a, high_a, results.network.fuses[device].fuse.rating)


def rating_instead(results: Results, device: int, low_a: float, high_a: float, given_a: float | None, *,
                   wires_stay: bool = True) -> float | None:
    """The same in place of the rating that the plan gave, as `suited` chooses it."""
    fits = _fitting(results, device, low_a, high_a)
    return suited(results, device, fits, given_a, wires_stay=wires_stay) if fits else None


def _fitting(results: Results, device: int, low_a: float, high_a: float) -> list[float]:
    """Those of `holding` at hand, all of them where none is."""
    return results.network.stock.preferred(results.network.fuse_kinds[device], holding(results, device, low_a, high_a))


def holding(results: Results, device: int, low_a: float, high_a: float) -> list[float]:
    """Ratings of a device's type from `low_a` to `high_a` that do not blow on a surge that the plan gives, ascending.
    Where the one fitted does, those that are known to withstand it, if any are."""
    kind, now = results.network.fuse_kinds[device], float(results.fusing.rating_a[device])

    def holds(rating_a: float, known: bool = False) -> bool:
        return withstands(results.inrush, results.surges.starts, device, kind, rating_a, usual=False, worst=False,
                          known=known)

    fits = [rating for rating in ratings_between(kind, low_a, high_a) if holds(rating)]
    sure = [] if math.isnan(now) or holds(now) else [rating for rating in fits if holds(rating, known=True)]
    return sure or fits


def above_surge(results: Results, device: int, usual: bool, worst: bool) -> list[float]:
    """Ratings of a device's type above its own that carry its load, that wire and seat allow and that are known to
    withstand what is switched on behind it, at the `worst` case too, ascending: `usual` surges too, or only those the
    plan gives."""
    fusing, kind = results.fusing, results.network.fuse_kinds[device]
    low, now = float(fusing.low_a[0, device]), float(fusing.rating_a[device])
    most = min(float(fusing.high_a[device]), seat_limit_a(results.network, device))
    return results.network.stock.preferred(kind, [
        step for step in ratings_between(kind, 0.0 if math.isnan(low) else low, most)
        if step > now and withstands(results.inrush, results.surges.starts, device, kind, step, usual=usual,
                                     worst=worst, known=True)])


def suiting(results: Results, device: int, fits_a: Sequence[float]) -> float:
    """Of ratings that carry a device's load as entered, ascending, the one to fit; a usual surge makes a fuse that is
    too small for its load no larger still."""
    return suited(results, device, fits_a, results.network.fuses[device].fuse.rating)


def suited(results: Results, device: int, fits_a: Sequence[float], given_a: float | None, *, wires_stay: bool = True
           ) -> float:
    """The same in place of the rating that the plan gave: where `wires_stay`, of those that blow in time, if any does,
    the smallest that carries the worst-case current too and withstands what is switched on behind the device, else the
    smallest that carries it, else the largest."""
    upper = float(results.fusing.low_a[1, device])
    fits = (blowing_in_time(results, device, fits_a) if wires_stay else ()) or fits_a
    carry = [rating for rating in fits if at_most(upper, rating)] or [fits[-1]]
    return withstanding(results, device, carry, given_a is None or at_most(carry[0], float(given_a))) or carry[0]


def blowing_in_time(results: Results, device: int, ratings_a: Sequence[float]) -> list[float]:
    """Of some ratings those that are known to blow in time on a short at the far end, before it damages a wire."""
    fuse, emf_v = results.network.fuses[device].fuse, float(results.source.open_circuit_v[0])

    def opens_s(rating_a: float) -> float:
        more_ohm = fuse_resistance(fuse.kind, rating_a) - float(results.fuse_ohm[device])
        far_a = with_more_ohm(emf_v, float(results.faults.fuse_far_a[device]), more_ohm)
        return greatest_time_of(fuse, rating_a, far_a)

    return [rating for rating in ratings_a if at_most(opens_s(rating), OPEN_WITHIN_S)
            and outlived(results.network, results.faults, device, fuse.kind, rating)]


def withstanding(results: Results, device: int, ratings_a: Sequence[float], usual: bool = True,
                 kind: str | None = None) -> float | None:
    """The first of some ratings that withstands what is switched on behind a device at the worst-case currents, else
    the first that does at those entered; None where none does. `usual` surges count, or only those the plan gives. The
    ratings are of the device's type, or of another `kind`."""
    kind = results.network.fuse_kinds[device] if kind is None else kind
    return next((rating for worst in (True, False) for rating in ratings_a if withstands(
        results.inrush, results.surges.starts, device, kind, rating, usual=usual, worst=worst)), None)


class Named(NamedTuple):
    """A fuse that a fix names."""

    kind: str
    rating_a: float
    words: str
    """The rating, with its type where that is another one."""
    may_blow: str = ""
    """What stands at the end of the fix where it may blow at switch-on all the same."""
    withstands: bool = True
    """Whether it does not blow on a surge that the plan gives."""


@once
def carrying(results: Results, device: int, low_a: float) -> Named | None:
    """The smallest fuse that carries a load, whatever its wire allows, and does not blow on a surge that the plan
    gives: of the type entered, else of a larger one, there the one for the worst-case current if the wire is known to
    allow it. None where none is sold."""
    network, surges = results.network, (results.inrush, results.surges.starts)
    row, stock = network.fuses[device].fuse, network.stock
    first = stock.instead(row, low_a) or row.kind
    types = (first, *larger_types(first)) if may_change_type(row) else (first,)
    sold = [(kind, rating) for kind in types for rating in stock.preferred(kind, ratings_between(kind, low_a))]
    if not sold or sold[0][0] != first:
        return None
    withstood = next((each for each in sold if withstands(*surges, device, *each, usual=False, worst=False)), None)
    kind, rating = withstood or sold[0]
    if kind != row.kind and not results.fusing.silent[device]:
        rating = _for_worst_case(results, device, kind, [each for of, each in sold if of == kind and each >= rating]) \
            or rating
    return Named(kind, rating, fuse_words(results, device, rating) if kind == row.kind else
                 f"{writing.an(stock.fuse_words(kind, rating))} {larger_words(kind)}",
                 may_blow_words(results, device, kind, rating), withstood is not None)


def _for_worst_case(results: Results, device: int, kind: str, ratings_a: Sequence[float]) -> float | None:
    """Of ratings of another type, ascending, the first that carries a device's worst-case current and withstands what
    is then switched on, else the first that carries it, else the largest; None where the wire allows none."""
    high, upper = float(results.fusing.high_a[device]), float(results.fusing.low_a[1, device])
    fits = [rating for rating in ratings_a if at_most(rating, high) and withstands(
        results.inrush, results.surges.starts, device, kind, rating, usual=False, worst=False)]
    carry = [rating for rating in fits if at_most(upper, rating)] or fits[-1:]
    return withstanding(results, device, carry, kind=kind) or next(iter(carry), None)


def larger_type_words(fuse: Fuse, low_a: float) -> str:
    """A fuse for a load that none of the type of another carries, with the words that none on file does where that is
    so, and where it goes if that one's position or holder takes its own type alone."""
    kind = fuse.kind
    if not ladder(kind):
        return f"a {kind_words(kind)} of {writing.SMALLEST_FUSE(low_a)} or more (its ratings are not on file)"
    if exceeds(low_a, max(largest_on_file_a(each) for each in (kind, "blade"))):
        return f"a fuse of {writing.SMALLEST_FUSE(low_a)} or more (none is on file)"
    seat = "" if may_change_type(fuse) else f" in another {'holder' if fuse.position is None else 'position'}"
    return f"a larger type of fuse than a {kind_words(kind)}{seat}"


def over_makers_limit(results: Results, device: int, low_a: float) -> str | None:
    """What to do where the equipment behind a device allows no fuse that carries a load, whatever the wire allows; None
    where it allows one."""
    most = float(results.fusing.maker_a[device])
    if math.isinf(most):
        return None
    found = carrying(results, device, low_a)
    needs = low_a if found is None or exceeds(low_a, most) else found.rating_a
    if not exceeds(needs, most) or _fitting(results, device, low_a, most):
        return None
    capped = limit_words(results.network, strictest(results.network)[device])
    return (f"compare the maker's figure with the load current: {capped} allows only a smaller fuse than the load "
            f"needs, {writing.SMALLEST_FUSE(needs)}{or_split(results, device)}")


@once
def may_blow_words(results: Results, device: int, kind: str, rating_a: float) -> str:
    """What stands at the end of a fix that names a fuse which may blow at switch-on; empty where it does not."""
    if withstands(results.inrush, results.surges.starts, device, kind, rating_a):
        return ""
    return f"; {writing.rating(rating_a)} may blow at switch-on: measure the inrush current first"


def too_slow_words(results: Results, device: int, rating_a: float, sizes: Sequence[tuple[int, str]] = ()) -> str:
    """What stands at the end of a fix that names a larger fuse which a short at the far end may not blow in time, with
    the `sizes` that go with it; empty where it does, where the one fitted does not either, or where it is not known."""
    network, fuse = results.network, results.network.fuses[device].fuse
    needed_a = least_fault_of(fuse, rating_a)
    if results.fusing.against_shorts[device] or not at_most(float(results.faults.fuse_opens_s[device]), OPEN_WITHIN_S) \
            or math.isnan(needed_a) or rating_a not in ladder(fuse.kind):
        return ""
    new = {index: WireSize.read(size) for index, size in sizes}
    less_ohm = sum(float(results.solution.segment_ohm[:, index].max()) * (1.0 - conductor(
        size.system, size.name).r20_ohm_per_m / float(network.segments.r20_ohm_per_m[index]))
        for index, size in new.items())
    more_ohm = fuse_resistance(fuse.kind, rating_a) - float(results.fuse_ohm[device]) - less_ohm
    far_a = with_more_ohm(float(results.source.open_circuit_v[0]), float(results.faults.fuse_far_a[device]), more_ohm)
    return f"; and a short at the far end may then not blow the {writing.rating(rating_a)} fuse in time: two fuses " \
           "and two wires, or less resistance in its loop" if exceeds(needed_a, far_a) else ""


def larger_words(kind: str) -> str:
    """A type of fuse that is fitted in place of a smaller one."""
    return f"{kind_words(kind)} in a holder of its own"


def types_that_break(results: Results, device: int) -> list[str]:
    """The larger types that break what a short draws through a device, or the most on file where that is less; none
    where a holder or a position takes no other type."""
    row, needed = results.network.fuses[device].fuse, min(float(results.faults.prospective_a[device]), BOLTED_A)
    return [kind for kind in larger_types(row.kind) if may_change_type(row)
            and (found := breaking_capacity_a(kind)) is not None and at_most(needed, found.value)]


def suits_range(results: Results, device: int, kind: str) -> bool:
    """Whether a type has a rating that carries a device's load and protects its wire."""
    fusing = results.fusing
    return bool(ratings_between(kind, float(fusing.low_a[0, device]), float(fusing.high_a[device])))
