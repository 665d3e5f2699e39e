"""The columns of the tables around the circuits: conditions, feeds, earth points, segments."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from fuseplan.papers.columns import Column, by_number, by_text, fuse_words, window_words
from fuseplan.papers.harmless import shown
from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.checks.headroom import Headroom
    from fuseplan.results.condition import ConditionResult
    from fuseplan.results.segment import SegmentResult
    from fuseplan.results.supply import EarthResult, FeedResult


def _spaced(name: str | None) -> str:
    return writing.NONE if name is None else shown(name.replace("_", " "))


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


def feed_most(view: FeedResult) -> Extreme | None:
    """Largest current through a feed in A, and the condition it flows in."""
    return _extreme(max, ((each.largest_a, name) for name, each in view.in_condition.items()))


def feed_lowest(view: FeedResult) -> Extreme | None:
    """Lowest voltage of a feed while it is live, in V, and the condition."""
    return _extreme(min, ((each.lowest_v, name) for name, each in view.in_condition.items() if each.live))


def earth_most(view: EarthResult) -> Extreme | None:
    """Largest current through an earth point in A, and the condition it flows in."""
    return _extreme(max, ((each.largest_a, name) for name, each in view.in_condition.items()))


def earth_highest(view: EarthResult) -> Extreme | None:
    """Highest voltage of an earth point above the battery's negative post, in V, and the condition."""
    return _extreme(max, ((each.highest_v, name) for name, each in view.in_condition.items()))


def _first(found: Extreme | None) -> float | None:
    return None if found is None else found[0]


def _where(found: Extreme | None) -> str:
    return writing.NONE if found is None or found[0] == 0.0 else _spaced(found[1])


def _earth_volts(view: EarthResult) -> str:
    return writing.EARTH_DROP(_first(earth_highest(view)))


def _headroom_volts(view: Headroom) -> str:
    if view.at_earth:
        return writing.EARTH_DROP(view.volts_v)
    return writing.limit(view.volts_v, "V") if view.live else "dead"


CONDITION_COLUMNS: tuple[Column[ConditionResult], ...] = (
    Column("condition", "Condition", "Condition", "left", 0, lambda view: _spaced(view.name),
           lambda view: by_text(view.name)),
    Column("state", "Key", "Key", "left", 2, lambda view: _spaced(view.condition.state),
           lambda view: by_text(view.condition.state)),
    Column("engine", "Engine", "Engine", "right", 3, lambda view: writing.stated(view.condition.engine, "r/min"),
           lambda view: by_number(float(view.condition.engine))),
    Column("bus", "Battery post", "Post", "right", 0, lambda view: writing.limit(view.average_bus_v, "V"),
           lambda view: by_number(view.average_bus_v)),
    Column("lowest_bus", "Post, all on", "All on", "right", 2, lambda view: writing.limit(view.bus_v, "V"),
           lambda view: by_number(view.bus_v)),
    Column("demand", "Demand", "Demand", "right", 0, lambda view: writing.burden(view.demand_a, "A"),
           lambda view: by_number(view.demand_a)),
    Column("peak", "All on at once", "Peak", "right", 1, lambda view: writing.burden(view.peak_a, "A"),
           lambda view: by_number(view.peak_a)),
    Column("available", "Hot output", "Output", "right", 0,
           lambda view: writing.limit(view.available_a, "A"),
           lambda view: by_number(view.available_a)),
    Column("balance", "Balance", "Balance", "right", 0, lambda view: writing.balance(view.balance_a, "A"),
           lambda view: by_number(view.balance_a)),
    Column("battery", "Battery", "Battery", "right", 0, lambda view: writing.balance(view.battery_a, "A"),
           lambda view: by_number(view.battery_a)),
)

FEED_COLUMNS: tuple[Column[FeedResult], ...] = (
    Column("feed", "Feed", "Feed", "left", 0, lambda view: _spaced(view.id), lambda view: by_text(view.id)),
    Column("from", "From", "From", "left", 2, lambda view: _spaced(view.feed.upstream if view.feed else None),
           lambda view: by_text((view.feed.upstream if view.feed else None) or "")),
    Column("fuse", "Fuse", "Fuse", "left", 0,
           lambda view: fuse_words(view.fuse, view.is_unfused),
           lambda view: by_number(view.fuse.rating_a if view.fuse else None)),
    Column("window", "Fuse window, A", "Window", "right", 1, lambda view: window_words(view.fuse),
           lambda view: by_number(view.fuse.range_a.high if view.fuse else None)),
    Column("most", "Most current", "Most", "right", 0, lambda view: writing.burden(_first(feed_most(view)), "A"),
           lambda view: by_number(_first(feed_most(view)))),
    Column("most_in", "Most in", "Most in", "left", 3, lambda view: _where(feed_most(view)),
           lambda view: by_text(_where(feed_most(view)))),
    Column("lowest", "Lowest live", "Lowest", "right", 0, lambda view: writing.limit(_first(feed_lowest(view)), "V"),
           lambda view: by_number(_first(feed_lowest(view)))),
    Column("lowest_in", "Lowest in", "Low in", "left", 4, lambda view: _where(feed_lowest(view)),
           lambda view: by_text(_where(feed_lowest(view)))),
)

EARTH_COLUMNS: tuple[Column[EarthResult], ...] = (
    Column("earth", "Earth point", "Earth", "left", 0, lambda view: _spaced(view.id), lambda view: by_text(view.id)),
    Column("to", "To", "To", "left", 1, lambda view: _spaced(view.earth.upstream if view.earth else None),
           lambda view: by_text((view.earth.upstream if view.earth else None) or "")),
    Column("resistance", "Resistance", "Ohms", "right", 2, lambda view: writing.burden(view.resistance_ohm, "ohm"),
           lambda view: by_number(view.resistance_ohm)),
    Column("most", "Most current", "Most", "right", 0, lambda view: writing.burden(_first(earth_most(view)), "A"),
           lambda view: by_number(_first(earth_most(view)))),
    Column("volts", "Above battery negative", "Volts", "right", 0, _earth_volts,
           lambda view: by_number(_first(earth_highest(view)))),
    Column("most_in", "Most in", "Most in", "left", 3, lambda view: _where(earth_most(view)),
           lambda view: by_text(_where(earth_most(view)))),
)

HEADROOM_COLUMNS: tuple[Column[Headroom], ...] = (
    Column("condition", "Condition", "Condition", "left", 0, lambda view: shown(view.name),
           lambda view: by_text(view.name)),
    Column("volts", "Volts", "Volts", "right", 3, _headroom_volts, lambda view: by_number(view.volts_v)),
    Column("current", "Current", "Current", "right", 0, lambda view: writing.burden(view.current_a, "A"),
           lambda view: by_number(view.current_a)),
    Column("limit", "Bears", "Bears", "right", 2,
           lambda view: writing.NONE if not view.limit else writing.limit(view.limit_a, "A"),
           lambda view: by_number(view.limit_a)),
    Column("spare", "Headroom", "Spare", "right", 0,
           lambda view: writing.NONE if not view.limit else writing.balance(view.spare_a, "A"),
           lambda view: by_number(view.spare_a),
           lambda view: "fails" if (view.spare_a or 0.0) < 0 else "unknown" if view.limit and view.limit_a is None
           else ""),
    Column("weakest", "Weakest part", "Weakest part", "left", 1, lambda view: shown(view.limit),
           lambda view: by_text(view.limit)),
)


def place_words(view: SegmentResult) -> str:
    """``wire 1``, ``earth wire 2``, ``wire 1 of load 1``."""
    return shown(view.called)


SEGMENT_COLUMNS: tuple[Column[SegmentResult], ...] = (
    Column("place", "Segment", "Segment", "left", 0, place_words, lambda view: by_text(view.place)),
    Column("size", "Size", "Size", "left", 0,
           lambda view: writing.UNKNOWN if view.segment.size is None
           else shown(str(view.segment.size)).replace("mm2", "mm²"), lambda view: by_number(view.size_mm2)),
    Column("length", "Length", "Length", "right", 0, lambda view: writing.burden(view.length_m, "m"),
           lambda view: by_number(view.length_m)),
    Column("insulation", "Insulation", "Insul.", "left", 4, lambda view: shown(view.insulation),
           lambda view: by_text(view.insulation)),
    Column("ambient", "Ambient", "Ambient", "right", 3, lambda view: writing.burden(view.ambient_c, "°C"),
           lambda view: by_number(view.ambient_c)),
    Column("conductors", "In the run", "In run", "right", 5, lambda view: str(view.conductors),
           lambda view: by_number(float(view.conductors))),
    Column("current", "Current", "Current", "right", 0, lambda view: writing.burden(view.current_a, "A"),
           lambda view: by_number(view.current_a)),
    Column("ampacity", "May carry", "May carry", "right", 0, lambda view: writing.limit(view.ampacity_a, "A"),
           lambda view: by_number(view.ampacity_a)),
    Column("temperature", "Runs at, by table", "By table", "right", 1,
           lambda view: writing.burden(view.table_temperature_c, "°C"),
           lambda view: by_number(view.table_temperature_c)),
    Column("balance", "by heat balance", "Balance", "right", 3, lambda view: writing.burden(view.temperature_c, "°C"),
           lambda view: by_number(view.temperature_c)),
    Column("binding", "Limits the fuse", "Limits", "left", 2, lambda view: "yes" if view.binding else "",
           lambda view: by_number(float(not view.binding))),
)
