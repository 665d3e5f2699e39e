"""What a feed or an earth point has left in each condition, before the first of its parts is at its limit.

The parts and their limits are the rows of the checks on feeds, earths, fuses, holders and terminals, and the current is
the one they hold against them, in one condition: each load at its design voltage. So what is over its limit here is
what they find.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

import numpy as np

from fuseplan.array_types import Floats
from fuseplan.checks.assessment import Assessment
from fuseplan.checks.feed_limits import feed_limits
from fuseplan.checks.limit import Limit
from fuseplan.checks.overload import for_seconds_a, seconds_on
from fuseplan.checks.rules import connection_overloaded, earth_strap_overloaded, feed_overloaded, wrong_fuse_position
from fuseplan.checks.subjects import segment_words
from fuseplan.checks.terminals_on_wires import terminals_on_wires
from fuseplan.engine.fusing import carried_a
from fuseplan.engine.intervals import CONTINUOUS, FIVE_MIN, FIVE_S, LONGER_THAN_S
from fuseplan.engine.results import Results
from fuseplan.plan.coils import is_coil_wire
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.results.supply import EarthInCondition, EarthResult, FeedInCondition, FeedResult


@dataclass(frozen=True)
class Headroom:
    """One condition.

    Attributes:
        here: the feed or earth point in it
        current_a: largest current, whichever load of an `either` group is on [A]
        limit_a: what the weakest part is rated for [A]; None where nothing is on file for one of them, or none has a
            limit
        limit: the weakest part, or the one nothing is on file for; empty where none has a limit
    """

    here: FeedInCondition | EarthInCondition
    current_a: float | None
    limit_a: float | None
    limit: str

    @property
    def condition(self) -> str:
        """Id of the condition."""
        return self.here.owner.solved.condition_ids[self.here.row]

    @property
    def name(self) -> str:
        """Its name."""
        return self.here.owner.solved.results.network.conditions[self.here.row].name or self.condition.replace("_", " ")

    @property
    def live(self) -> bool:
        """The feed hands out supply; an earth point always counts as live."""
        return isinstance(self.here, EarthInCondition) or self.here.live

    @property
    def volts_v(self) -> float | None:
        """Lowest voltage of a feed, or how far an earth point lies from the battery's earthed post [V]."""
        return self.here.highest_v if isinstance(self.here, EarthInCondition) else self.here.lowest_v

    @property
    def spare_a(self) -> float | None:
        """What may still come on [A], negative when it is too much already; None where the limit is not known."""
        return None if self.limit_a is None or self.current_a is None else self.limit_a - self.current_a


Subject = tuple[str, str]
"""Kind and name of a feed or an earth point."""


class _Part(NamedTuple):
    """One limit of a feed or earth point."""

    words: str
    limit_a: float
    intervals: tuple[int, ...]
    """The demand it is for: the largest of these."""


LASTING = (FIVE_MIN, CONTINUOUS)


def feed_headroom(assessment: Assessment, view: FeedResult) -> tuple[Headroom, ...]:
    """Headroom of one feed, as `feeds_headroom`."""
    return feeds_headroom(assessment, [view])[0]


def feeds_headroom(assessment: Assessment, views: Sequence[FeedResult]) -> list[tuple[Headroom, ...]]:
    """Headroom of each of these feeds in every condition: its wire and terminals, its fuse with the holder, its
    relay or switch, its bus."""
    results, network = assessment.results, assessment.results.network
    rows, limits = feed_overloaded.parts_of_feeds(results), feed_limits(results)
    wanted = {("feed", view.id) for view in views}
    parts: dict[Subject, list[_Part]] = {subject: [] for subject in wanted}
    for subject, part, limit in zip(rows.subjects, rows.parts.tolist(), rows.limit.tolist(), strict=True):
        if subject in wanted and not limits[part].of_shunt:
            known = limits[part].is_printed
            parts[subject].append(_Part(limits[part].words, limit if known else math.nan, LASTING))
    for subject, own in (*_wires(results, feed_overloaded.LASTING, wanted), *_fuses(results, wanted),
                         *_terminals(results, wanted)):
        parts[subject].append(own)
    demand, places = results.shared_in_conditions[0], {name: at for at, name in enumerate(network.feed_node)}
    unbounded = [network.supply.holds(consumer) for consumer in network.unbounded]
    return [_rows(results, view.in_condition.values(), parts["feed", view.id], demand[:, :, places[view.id]],
                  [each.supply_a[:, view.node] for each in results.choices],
                  bounded=not any(behind[view.node] for behind in unbounded)) for view in views]


def earth_headroom(assessment: Assessment, view: EarthResult) -> tuple[Headroom, ...]:
    """Headroom of an earth point's strap and its terminals in every condition."""
    results, network = assessment.results, assessment.results.network
    wanted = {("earth", view.id)}
    parts = [part for _, part in (*_wires(results, earth_strap_overloaded.LASTING, wanted),
                                  *_terminals(results, wanted))]
    demand = results.shared_in_conditions[1][:, :, list(network.earth_node).index(view.id)]
    return _rows(results, view.in_condition.values(), parts, demand,
                 [each.return_a[:, view.node] for each in results.choices])


def _rows(results: Results, conditions: Iterable[FeedInCondition | EarthInCondition], parts: list[_Part],
          demand: Floats, currents: Sequence[Floats], *, bounded: bool = True) -> tuple[Headroom, ...]:
    """`demand` is that of each condition over each interval (C, 3) [A]; its current is known where it is `bounded`, and
    none of the `currents` of every choice (R,) is missing."""
    missing = np.asarray(np.isnan(results.entered(np.stack(currents, axis=1))).any(axis=1))
    return tuple(_row(here, float(results.network.duration_s[here.row]), parts, amps,
                      most if bounded and not missing[here.row] else None)
                 for here, amps, most in zip(conditions, demand.tolist(), demand.max(axis=1).tolist(), strict=True))


def _row(here: FeedInCondition | EarthInCondition, lasts_s: float, parts: list[_Part], demand: list[float],
         current: float | None) -> Headroom:
    asked = [(part, max(demand[interval] for interval in part.intervals)) for part in parts
             if any(lasts_s > LONGER_THAN_S[interval] for interval in part.intervals)]
    unknown = next((part.words for part, _ in asked if math.isnan(part.limit_a)), None)
    if unknown is not None:
        return Headroom(here, current, None, f"nothing on file for {unknown}")
    if not asked:
        return Headroom(here, current, None, "")
    part, own = min(asked, key=lambda each: each[0].limit_a - each[1])
    return Headroom(here, None if current is None else own, part.limit_a, part.words)


def _wires(results: Results, limit: Limit, wanted: Collection[Subject]) -> Iterator[tuple[Subject, _Part]]:
    """The wires that carry all of a feed or earth point, those of its relay's coil left out."""
    rows = limit(results)
    places = results.network.segments.place
    own = np.flatnonzero([each in wanted and not is_coil_wire(places[part])
                          for each, part in zip(rows.subjects, rows.parts.tolist(), strict=True)])
    members = rows.parts[own]
    for row, part, most, brief_a, seconds in zip(
            own.tolist(), members.tolist(), rows.limit[own].tolist(), for_seconds_a(results, members).tolist(),
            seconds_on(results, members).tolist(), strict=True):
        yield rows.subjects[row], _Part(segment_words(results, part), most, LASTING)
        yield rows.subjects[row], _Part(
            f"{segment_words(results, part)}, for {writing.stated(seconds, 's')}", brief_a, (FIVE_S,))


def _fuses(results: Results, wanted: Collection[Subject]) -> Iterator[tuple[Subject, _Part]]:
    """What the load side allows at the rating of a feed's fuse, and what the fuse's holder and position carry."""
    for_long, for_minutes = carried_a(results.network, results.fusing.rating_a)
    for index, row in enumerate(results.network.fuses):
        if row.owner in wanted:
            yield row.owner, _Part("its fuse, lastingly", float(for_long[index]), (CONTINUOUS,))
            yield row.owner, _Part("its fuse, for minutes", float(for_minutes[index]), (FIVE_MIN, FIVE_S))
    for rows, words, intervals in ((connection_overloaded.through_holders(results), "the holder of its fuse",
                                    (CONTINUOUS,)),
                                   (wrong_fuse_position.through_ways(results), "the position of its fuse", LASTING)):
        for subject, most in zip(rows.subjects, rows.limit.tolist(), strict=True):
            if subject in wanted:
                yield subject, _Part(words, most, intervals)


def _terminals(results: Results, wanted: Collection[Subject]) -> Iterator[tuple[Subject, _Part]]:
    """The terminals on the wires that carry all of a feed or earth point."""
    rows, fitted = connection_overloaded.through_terminals(results), terminals_on_wires(results)
    for subject, most, (index, _, _) in zip(rows.subjects, rows.limit.tolist(), fitted, strict=True):
        if subject in wanted and not is_coil_wire(results.network.segments.place[index]):
            yield subject, _Part(f"the terminal on {segment_words(results, index)}", most, LASTING)
