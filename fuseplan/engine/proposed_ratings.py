"""The rating proposed for a protective device: one that passes every check that looks at a rating, or none.

The fuse range says what the load needs and what the wire allows. Inside it a rating may still open at switch-on, may
not open on a short at the far end, may let a short overheat the wire, or may be more than its holder or its position
takes. The first rating that passes all of these is proposed; where none does, none is proposed and the reasons stay.

A fuse's own resistance changes the currents it is chosen by. A rating that does not pass once the network is solved
with it is given up for good (`given_up`), so that proposals settle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fuseplan.array_types import Floats
from fuseplan.engine.assumed import fuse_resistance
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.clearing import OPEN_WITHIN_S
from fuseplan.engine.demand import Demands
from fuseplan.engine.devices import Devices, devices_of
from fuseplan.engine.fault import FarEnds
from fuseplan.engine.fusing import Fusing, Rejected
from fuseplan.engine.inrush import MAY_BLOW, Inrush, inrush_of, judged
from fuseplan.engine.network import Network
from fuseplan.engine.short_heating import outlived_by
from fuseplan.engine.stock import ratings_between
from fuseplan.engine.surges import Surges
from fuseplan.engine.unprinted_times import greatest_time_of
from fuseplan.formulas.fuse import load_share
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables import terminals
from fuseplan.trace import apply, bare, chosen, decided

Reason = Literal["opens at switch-on", "may open at switch-on", "worst case", "far end", "wire in a short", "holder",
                 "position", "own resistance"]
WORDS = {
    "far end": f"may not blow within {writing.stated(OPEN_WITHIN_S, 's')} on a short at the far end",
    "wire in a short": "lets a short overheat the wire",
    "holder": "is more than its holder is rated for",
    "position": "is more than its position in the fuse box is rated for",
    "opens at switch-on": "blows at switch-on",
    "may open at switch-on": "may blow at switch-on, with the typical inrush current of such a load",
    "worst case": "may blow at switch-on at the worst-case current",
    "own resistance": "no longer passes once its own resistance is counted",
}
"""What is wrong with a rating, after the rating."""
Barred = Mapping[int, frozenset[float]]
"""Ratings given up, by the number of the device."""
_NONE: Barred = {}


class _Asked(NamedTuple):
    """What the tests of a rating rest on."""

    network: Network
    inrush: Inrush
    far: FarEnds | None
    """None in a first guess: short circuits are not looked at then."""
    fuse_ohm: Floats
    emf_v: float
    barred: Barred


@dataclass(frozen=True)
class Ranges:
    """Surges and fuse ranges of a network, before the other checks on a rating, and the demands they follow from."""

    network: Network
    demands: Demands
    surges: Surges
    fusing: Fusing

    @cached_property
    def devices(self) -> Devices:
        """The devices by type and rating in force."""
        return devices_of(self.network.fuses_by_kind, bare(self.fusing.rating_a))

    @cached_property
    def inrush(self) -> Inrush:
        """How these withstand the surges."""
        return inrush_of(self.network, self.surges, self.devices)


class ChosenBy(NamedTuple):
    """What ratings are proposed by, as `with_proposals` takes it."""

    ranges: Ranges
    far: FarEnds
    fuse_ohm: Floats
    emf_v: float
    barred: Barred


def with_proposals(ranges: Ranges, far: FarEnds | None = None, fuse_ohm: Floats | None = None, emf_v: float = np.nan,
                   barred: Barred = _NONE, *, entered_too: bool = False) -> Fusing:
    """The same fuse ranges, with proposals that pass the other checks on a rating.

    Args:
        ranges: what flows at switch-on, and the ranges with the first rating that carries each load
        far: the smallest short-circuit currents; left out, shorts are not looked at
        fuse_ohm: the resistance of each device that `far` counts with [ohm] (J,)
        emf_v: the voltage that drives the shorts
        barred: mapping of device to ratings. What is not proposed again.
        entered_too: look at the devices with a rating in the plan as well, for which a proposal changes nothing
    """
    network, fusing = ranges.network, ranges.fusing
    known = ~np.isnan(fusing.proposed_a) & (entered_too | np.isnan(network.entered_a))
    if not known.any():
        return fusing
    if entered_too:
        ranges = replace(ranges, fusing=replace(fusing, rating_a=fusing.proposed_a))
    asked = _Asked(network, ranges.inrush, far, np.zeros(len(network.fuses)) if fuse_ohm is None else fuse_ohm, emf_v,
                   barred)
    proposed = bare(fusing.proposed_a).copy()
    rejected: dict[int, tuple[Rejected, ...]] = {}
    suspect = _suspect(asked, ranges.devices, proposed)
    suspect[list(barred)] = True
    for device in np.flatnonzero(known & suspect).tolist():
        proposed[device], rejected[device] = _chosen(asked, fusing, device)
    same = (proposed == fusing.proposed_a) | ~known
    if same.all():
        return fusing
    rejected = {device: reasons for device, reasons in rejected.items() if reasons}
    left_out = np.isnan(network.entered_a) & known
    proposed = _decided(fusing, proposed, same, rejected)
    rating = np.where(left_out, proposed, fusing.rating_a)
    share = apply(load_share, load=fusing.continuous_a, rating=rating)
    return replace(fusing, rating_a=rating, proposed_a=proposed, share=share, rejected=rejected)


def _decided(fusing: Fusing, proposed_a: Floats, same: NDArray[np.bool_],
             rejected: Mapping[int, tuple[Rejected, ...]]) -> Floats:
    """The ratings proposed (J,), those that are not the first of their range with what speaks against that."""
    first = bare(fusing.proposed_a)

    def words(device: int) -> str:
        reason = next((each.reason for each in rejected.get(device, ()) if each.rating_a == first[device]), "")
        return (f"first rating that passes the other checks on a rating: {writing.rating(float(first[device]))} "
                f"{WORDS.get(reason, '')}")

    changed = decided(proposed_a, "Iᵣ", "A", words, "choice: the other checks on a rating", fusing.proposed_a)
    return np.asanyarray(chosen(same, fusing.proposed_a, changed, ""))


def given_up(network: Network, in_force: Floats, fusing: Fusing, barred: Barred) -> Barred:
    """The ratings not to be proposed again, after a solution with `in_force` (J,) has led to `fusing`.

    A rating given up for a larger one, or for none, has failed with its own resistance counted. Going back to it would
    lead to the same again; a larger one that passes is safe with either, since the wire allows it.
    """
    with np.errstate(invalid="ignore"):
        failed = np.isnan(network.entered_a) & ~np.isnan(in_force) & ~(fusing.rating_a <= in_force)
    return {**barred, **{device: barred.get(device, frozenset()) | {float(in_force[device])}
                         for device in np.flatnonzero(failed).tolist()}}


def _suspect(asked: _Asked, devices: Devices, first_a: Floats) -> NDArray[np.bool_]:
    """Devices whose first proposal may fail one of the tests (J,): only those are looked at one by one."""
    network, inrush = asked.network, asked.inrush
    found = np.zeros(len(network.fuses), dtype=bool)
    blows = (inrush.withstood == MAY_BLOW) | (inrush.worst_withstood == MAY_BLOW)
    found[inrush.device[blows & (inrush.device >= 0)]] = True
    found[[index for index in network.seated.tolist()
           if any(_seat_reasons(network, index, float(first_a[index])))]] = True
    found[[start.device for start in inrush.starts]] = True
    if asked.far is None:
        return found
    # Half as much again for the resistance of another rating and for the wires: what is suspected is tested in full.
    count, guarded = len(found), np.flatnonzero(network.segment_guard >= 0)
    guard = network.segment_guard[guarded]
    opens, heat = devices.clears(devices.type_of(np.concatenate([np.arange(count), guard])),
                                 np.concatenate([bare(asked.far.fuse_a), bare(asked.far.segment_a)[guarded]]))
    found |= opens[:count] > 0.5 * OPEN_WITHIN_S
    found[network.marked.get("fuse blows_at", [])] = True
    found[guard[heat[count:] > _LEAST_HEAT * network.segments.area_mm2[guarded] ** 2]] = True
    return found


_LEAST_HEAT = 3000.0
"""Heat [A²s per mm⁴] far below what brings any wire to its limit: 1 mm² of copper warms by some 20 K."""


_PASSES = (None, "worst case", "may open at switch-on")
"""What a rating may have against it that is proposed where no other is better."""


def _chosen(asked: _Asked, fusing: Fusing, device: int) -> tuple[float, tuple[Rejected, ...]]:
    """The rating proposed for one device, NaN for none, and why the others were not.

    Ratings at hand come before the others, whatever speaks against them short of danger, as a proposal takes them; of
    each those that carry the load at the upper bound of its evidence, the smallest first, then those that carry it as
    entered, the largest first. A usual surge that nobody gave, and one at the worst-case current, only ask for a larger
    one where there is.
    """
    low, upper, high = float(fusing.low_a[0, device]), float(fusing.low_a[1, device]), float(fusing.high_a[device])
    kind = asked.network.fuse_kinds[device]
    steps, at_hand = ratings_between(kind, low, high), asked.network.stock.ratings(kind)
    sure = [step for step in steps if at_most(upper, step)]
    rest = [step for step in reversed(steps) if step not in sure]
    tested: list[tuple[float, Reason | None]] = []
    for step in sorted((*sure, *rest), key=lambda step: step not in at_hand):
        tested.append((step, next(_reasons(asked, device, step), None)))
        if tested[-1][1] is None:
            break
    passing = [step for step, _ in sorted(
        (each for each in tested if each[1] in _PASSES), key=lambda each: (
            each[0] not in at_hand, each[1] == "may open at switch-on", each[0] not in sure, each[1] is not None))]
    rejected = tuple(Rejected(step, reason) for step, reason in sorted(tested) if reason is not None)
    return (passing[0] if passing else np.nan), rejected


def _reasons(asked: _Asked, device: int, rating_a: float) -> Iterator[Reason]:
    """What speaks against a rating, the most dangerous first."""
    network, inrush = asked.network, asked.inrush
    row = network.fuses[device]
    kind = row.fuse.kind
    if rating_a in asked.barred.get(device, ()):
        yield "own resistance"
    if asked.far is not None:
        own = fuse_resistance(kind, rating_a) - float(asked.fuse_ohm[device])
        current = with_more_ohm(asked.emf_v, float(asked.far.fuse_a[device]), own)
        if greatest_time_of(row.fuse, rating_a, current) > OPEN_WITHIN_S:
            yield "far end"
        guarded = np.flatnonzero(network.segment_guard == device)
        if not outlived_by(network, guarded, bare(asked.far.segment_a), bare(asked.far.start_c), kind, rating_a):
            yield "wire in a short"
    yield from _seat_reasons(network, device, rating_a)
    behind = np.flatnonzero(inrush.device == device)
    failing = judged(kind, rating_a, inrush.through_a[behind], inrush.length_s[behind]) == MAY_BLOW
    starts = [start for start in inrush.starts if start.device == device and int(judged(
        kind, rating_a, np.array(start.through_a[0]), np.array(start.length_s))) == MAY_BLOW]
    if (failing & ~inrush.assumed[behind]).any() or any(not start.assumed for start in starts):
        yield "opens at switch-on"
    if failing.any() or starts:
        yield "may open at switch-on"
    worst = judged(kind, rating_a, inrush.worst_through_a[behind], inrush.length_s[behind]) == MAY_BLOW
    if worst.any() or any(int(judged(kind, rating_a, np.array(each.through_a[1]), np.array(each.length_s))) == MAY_BLOW
                          for each in inrush.starts if each.device == device):
        yield "worst case"


def seat_limit_a(network: Network, device: int) -> float:
    """The largest fuse that the holder and the position of a device take [A]; infinite where neither says."""
    return min(seat_limits_a(network, device))


def seat_limits_a(network: Network, device: int) -> tuple[float, float]:
    """The largest fuse that the holder of a device takes, and that its position does, in each fuse box of its feed [A];
    infinite for what does not say."""
    row = network.fuses[device]
    holder = None if row.fuse.holder is None else terminals.holders().get(row.fuse.holder)
    seats = () if row.fuse.position is None else \
        network.box_seats.get((network.places.source(row.owner), row.fuse.position), ())
    return (math.inf if holder is None or holder.max_a is None else holder.max_a,
            min((float(place.part.largest) for _, place in seats if place.part.largest is not None), default=math.inf))


def _seat_reasons(network: Network, device: int, rating_a: float) -> Iterator[Reason]:
    """What of a device's holder and position speaks against a rating."""
    holder_a, position_a = seat_limits_a(network, device)
    if not at_most(rating_a, holder_a):
        yield "holder"
    if not at_most(rating_a, position_a):
        yield "position"


def with_more_ohm(emf_v: float, current_a: float, more_ohm: float) -> float:
    """A short-circuit current with so much more resistance in its loop."""
    if not np.isfinite(current_a) or not current_a > 0:
        return np.nan
    return emf_v / (emf_v / current_a + more_ohm)
