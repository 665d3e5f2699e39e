"""What a feed or an earth point has left in each condition, before the first of its parts is at its limit."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fuseplan.checks.feed_limits import feed_limits
from fuseplan.checks.subjects import segment_words
from fuseplan.engine.intervals import CONTINUOUS, LONGER_THAN_S
from fuseplan.engine.results import Results
from fuseplan.formulas.fuse import allowed_load
from fuseplan.plan.coils import is_coil_wire
from fuseplan.records import dataclass

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment
    from fuseplan.results.supply import EarthResult, FeedResult

@dataclass(frozen=True)
class Headroom:
    """One condition.

    Attributes
    ----------
    condition : id of the condition
    name : its name
    live : the feed hands out supply; an earth point always counts as live
    volts_v : lowest voltage of a feed, or how far an earth point lies above battery negative [V]
    current_a : largest current, whichever load of an `either` group is on [A]
    limit_a : what the weakest part is rated for [A]; None where nothing is on file for one of them, or none has a limit
    limit : the weakest part, or the one nothing is on file for; empty where none has a limit
    at_earth : an earth point's, not a feed's
    """

    condition: str
    name: str
    live: bool
    volts_v: float | None
    current_a: float | None
    limit_a: float | None
    limit: str
    at_earth: bool

    @property
    def spare_a(self) -> float | None:
        """What may still come on [A], negative when it is too much already; None where the limit is not known."""
        return None if self.limit_a is None or self.current_a is None else self.limit_a - self.current_a


def feed_headroom(assessment: Assessment, view: FeedResult) -> tuple[Headroom, ...]:
    """Headroom of a feed in every condition: its wire, its fuse, its relay or switch, its bus."""
    results = assessment.results
    parts = [(each.words, each.limit_a) for each in feed_limits(results) if each.feed == view.id]
    found = []
    for index, condition in enumerate(results.network.conditions):
        here = view.in_condition[results.network.condition_ids[index]]
        lasting = float(condition.duration) > LONGER_THAN_S[CONTINUOUS]
        limits = [*parts, *_wires(results, ("feed", view.id), index), *_fuse(results, ("feed", view.id), lasting)]
        found.append(_row(results, index, here.live, here.lowest_v, here.largest_a, limits, at_earth=False))
    return tuple(found)


def earth_headroom(assessment: Assessment, view: EarthResult) -> tuple[Headroom, ...]:
    """Headroom of an earth point's strap in every condition."""
    results = assessment.results
    return tuple(
        _row(results, index, True, here.highest_v, here.largest_a, _wires(results, ("earth", view.id), index),
             at_earth=True)
        for index, here in enumerate(view.in_condition.values()))


def _row(results: Results, index: int, live: bool, volts: float | None, current: float | None,
         limits: list[tuple[str, float]], *, at_earth: bool) -> Headroom:
    network = results.network
    name = network.conditions[index].name or network.condition_ids[index].replace("_", " ")
    unknown = next((words for words, limit in limits if math.isnan(limit)), None)
    if unknown is not None:
        weakest, limit_a = f"nothing on file for {unknown}", None
    elif limits:
        weakest, limit = min(limits, key=lambda part: part[1])
        limit_a = limit
    else:
        weakest, limit_a = "", None
    amperes = None if current is None else abs(current)
    return Headroom(network.condition_ids[index], name, live, volts, amperes, limit_a, weakest, at_earth)


def _wires(results: Results, owner: tuple[str, str], condition: int) -> list[tuple[str, float]]:
    return [(segment_words(results, number), float(results.solution.ampacity_a[condition, number]))
            for number, each in enumerate(results.network.segments.owner)
            if each == owner and not is_coil_wire(results.network.segments.place[number])]


def _fuse(results: Results, owner: tuple[str, str], lasting: bool) -> list[tuple[str, float]]:
    """What the feed's fuse may carry: a share of its rating at its holder's ambient."""
    rule, found = results.limit_set.fuse, []
    for index, row in enumerate(results.network.fuses):
        if row.owner == owner:
            share = rule.continuous_share if lasting else rule.intermittent_share
            limit = allowed_load(float(results.fusing.rating_a[index]), share, float(results.fusing.ambient_k[index]))
            found.append((f"its fuse, {'lastingly' if lasting else 'for minutes'}", float(limit)))
    return found
