"""The columns of the tables around the circuits: conditions, feeds, earth points, segments."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from fuseplan.papers.columns import Column, fuse_words, of_figure, range_words
from fuseplan.papers.harmless import shown
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing
from fuseplan.results.condition import ConditionResult
from fuseplan.results.segment import SegmentResult
from fuseplan.results.supply import EarthInCondition, EarthResult, FeedResult

if TYPE_CHECKING:
    from fuseplan.checks.headroom import Headroom


def _spaced(name: str | None) -> str:
    return writing.NONE if name is None else shown(name.replace("_", " "))


def _named(view: FeedResult | EarthResult, kind: str, name: str | None) -> str:
    """A feed or an earth point by its name."""
    return writing.NONE if name is None else shown(title_of(view.solved.results.plan, kind, name))


STILL_A = 0.0005
"""Currents and voltages below this are what the solver leaves, not what flows."""


Extreme = tuple[float | None, str]
"""A figure, None where it is not known, and the condition it is of."""


def _extreme(choose: Callable[..., Extreme], figures: Iterable[Extreme]) -> Extreme | None:
    """The largest or smallest figure; one that is not known where there is any, as it might be that."""
    found = list(figures)
    if not found:
        return None
    value, where = next((each for each in found if each[0] is None), None) or choose(found, key=lambda each: each[0])
    return (0.0, where) if value is not None and abs(value) < STILL_A else (value, where)


def most_current(view: FeedResult | EarthResult) -> Extreme | None:
    """Largest current through a feed or an earth point in A, and the condition it flows in."""
    return _extreme(max, ((each.largest_a, name) for name, each in view.in_condition.items()))


def feed_lowest(view: FeedResult) -> Extreme | None:
    """Lowest voltage of a feed while it is live, in V, and the condition."""
    return _extreme(min, ((each.lowest_v, name) for name, each in view.in_condition.items() if each.live))


def earth_highest(view: EarthResult) -> Extreme | None:
    """Highest voltage of an earth point against the battery's earthed post, in V, and the condition."""
    return _extreme(max, ((each.highest_v, name) for name, each in view.in_condition.items()))


def _first(found: Extreme | None) -> float | None:
    return None if found is None else found[0]


def _where(view: FeedResult | EarthResult, found: Extreme | None) -> str:
    return writing.NONE if found is None or found[0] == 0.0 else \
        shown(title_of(view.solved.results.plan, "condition", found[1]))


def _earth_volts(view: EarthResult) -> str:
    return writing.EARTH_DROP(_first(earth_highest(view)))


def _headroom_volts(view: Headroom) -> str:
    if isinstance(view.here, EarthInCondition):
        return writing.EARTH_DROP(view.volts_v)
    return writing.limit(view.volts_v, "V") if view.live else "dead"


CONDITION_COLUMNS: tuple[Column[ConditionResult], ...] = (
    Column("condition", "Condition", "Condition", "left", 0, lambda view: _spaced(view.name)),
    Column("state", "Key", "Key", "left", 2, lambda view: _spaced(view.condition.state)),
    of_figure(ConditionResult.engine_rpm, "engine", "Engine", "Engine", 3),
    of_figure(ConditionResult.average_bus_v, "bus", "Battery post", "Post", 0),
    of_figure(ConditionResult.bus_v, "lowest_bus", "Post, all on", "All on", 2),
    of_figure(ConditionResult.demand_a, "demand", "Demand", "Demand", 0),
    of_figure(ConditionResult.peak_a, "peak", "All on at once", "Peak", 1),
    of_figure(ConditionResult.available_a, "available", "Hot output", "Output", 0),
    of_figure(ConditionResult.balance_a, "balance", "Balance", "Balance", 0),
    of_figure(ConditionResult.battery_a, "battery", "Battery", "Battery", 0),
)

FEED_COLUMNS: tuple[Column[FeedResult], ...] = (
    Column("feed", "Feed", "Feed", "left", 0, lambda view: _named(view, "feed", view.id)),
    Column("from", "From", "From", "left", 2,
           lambda view: _named(view, "feed", view.feed.upstream if view.feed else None)),
    Column("fuse", "Fuse", "Fuse", "left", 0, lambda view: fuse_words(view.fuse, view.is_unfused)),
    Column("window", "Fuse range, A", "Range", "right", 1, lambda view: range_words(view.fuse)),
    Column("most", "Most current", "Most", "right", 0, lambda view: writing.burden(_first(most_current(view)), "A")),
    Column("most_in", "Most in", "Most in", "left", 3, lambda view: _where(view, most_current(view))),
    Column("lowest", "Lowest live", "Lowest", "right", 0, lambda view: writing.limit(_first(feed_lowest(view)), "V")),
    Column("lowest_in", "Lowest in", "Low in", "left", 4, lambda view: _where(view, feed_lowest(view))),
)

EARTH_COLUMNS: tuple[Column[EarthResult], ...] = (
    Column("earth", "Earth point", "Earth", "left", 0, lambda view: _named(view, "earth", view.id)),
    Column("to", "To", "To", "left", 1,
           lambda view: _named(view, "earth", view.earth.upstream if view.earth else None)),
    of_figure(EarthResult.resistance_ohm, "resistance", "Resistance", "Ohms", 2),
    Column("most", "Most current", "Most", "right", 0, lambda view: writing.burden(_first(most_current(view)), "A")),
    Column("volts", "Earth drop", "Drop", "right", 0, _earth_volts),
    Column("most_in", "Most in", "Most in", "left", 3, lambda view: _where(view, most_current(view))),
)

HEADROOM_COLUMNS: tuple[Column[Headroom], ...] = (
    Column("condition", "Condition", "Condition", "left", 0, lambda view: shown(view.name)),
    Column("volts", "Volts", "Volts", "right", 3, _headroom_volts),
    Column("current", "Current", "Current", "right", 0, lambda view: writing.burden(view.current_a, "A")),
    Column("limit", "Limit", "Limit", "right", 2,
           lambda view: writing.NONE if not view.limit else writing.limit(view.limit_a, "A")),
    Column("spare", "Headroom", "Spare", "right", 0,
           lambda view: writing.NONE if not view.limit else writing.balance(view.spare_a, "A"),
           lambda view: "fails" if (view.spare_a or 0.0) < 0 else "unknown" if view.limit and view.limit_a is None
           else ""),
    Column("weakest", "Weakest part", "Weakest part", "left", 1, lambda view: shown(view.limit)),
)


def place_words(view: SegmentResult) -> str:
    """``wire 1``, ``earth wire 2``, ``wire 1 of load 1``."""
    return shown(view.called)


SEGMENT_COLUMNS: tuple[Column[SegmentResult], ...] = (
    Column("place", "Segment", "Segment", "left", 0, place_words),
    Column("size", "Size", "Size", "left", 0,
           lambda view: writing.UNKNOWN if view.segment.size is None
           else writing.wire_size(shown(view.segment.size))),
    of_figure(SegmentResult.length_m, "length", "Length", "Length", 0),
    Column("insulation", "Insulation", "Insul.", "left", 4, lambda view: shown(view.insulation)),
    of_figure(SegmentResult.ambient_c, "ambient", "Ambient", "Ambient", 3),
    of_figure(SegmentResult.conductors, "conductors", "In the run", "In run", 5),
    of_figure(SegmentResult.current_a, "current", "Current", "Current", 0),
    of_figure(SegmentResult.ampacity_a, "ampacity", "May carry", "May carry", 0),
    of_figure(SegmentResult.table_temperature_c, "temperature", "Runs at, by table", "By table", 1),
    of_figure(SegmentResult.temperature_c, "balance", "by heat balance", "Balance", 3),
    Column("binding", "Limits the fuse", "Limits", "left", 2, lambda view: "yes" if view.binding else ""),
)
