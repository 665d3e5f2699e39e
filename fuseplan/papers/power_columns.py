"""The columns of the power report's tables."""

from __future__ import annotations

import math
from dataclasses import replace

from fuseplan.engine.cures import Cure
from fuseplan.engine.loads_table import COLUMNS as INTERVALS
from fuseplan.engine.loads_table import Detail, LoadLine, Total
from fuseplan.engine.shedding import Shed
from fuseplan.papers.columns import Column, of_figure
from fuseplan.papers.harmless import shown
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import owner_title
from fuseplan.quantities import writing
from fuseplan.results.condition import ConditionResult
from fuseplan.results.part import Figure


def _share(share: Figure[float | None], key: str, heading: str, short: str, rank: int) -> Column[ConditionResult]:
    """A share of the rated output: nothing to say with the engine still."""
    plain = of_figure(share, key, heading, short, rank)

    def cell(row: ConditionResult) -> str:
        if not row.balance_known:
            return writing.UNKNOWN
        return plain.cell(row) if row.state == "running" and share.fget(row) is not None else writing.NONE

    return replace(plain, cell=cell)


CONDITION_COLUMNS: tuple[Column[ConditionResult], ...] = (
    Column("condition", "Condition", "Condition", "left", 0, lambda row: shown(row.name)),
    of_figure(ConditionResult.engine_rpm, "engine", "Engine", "Engine", 4),
    of_figure(ConditionResult.available_a, "output", "Hot output", "Output", 0),
    of_figure(ConditionResult.demand_a, "demand", "Demand", "Demand", 0),
    of_figure(ConditionResult.balance_a, "balance", "Balance", "Balance", 0),
    of_figure(ConditionResult.average_bus_v, "bus", "Battery post", "Post", 1),
    _share(ConditionResult.continuous_share, "share", "Continuous, of rated", "Contin.", 2),
    _share(ConditionResult.peak_share, "peak", "All on, of rated", "All on", 3),
    Column("no_start", "No start after", "No start in", "right", 1, lambda row: writing.lasting(row.no_start_s)),
    Column("flat", "Flat after", "Flat in", "right", 1, lambda row: writing.lasting(row.flat_s)),
)


def detail_columns(plan: Plan) -> tuple[Column[Detail], ...]:
    """Columns of the loads that are on in one condition."""
    return (
        Column("owner", "Circuit", "Circuit", "left", 0, lambda row: shown(owner_title(plan, row.owner))),
        Column("what", "Load", "Load", "left", 1, lambda row: shown(row.what)),
        Column("volts", "Across it", "Volts", "right", 4, lambda row: writing.limit(row.volts, "V")),
        Column("on", "While on", "On", "right", 2, lambda row: writing.burden(row.on_a, "A")),
        Column("duty", "Duty", "Duty", "right", 2, lambda row: writing.burden(row.duty, "share")),
        Column("average", "Average", "Average", "right", 0, lambda row: writing.burden(row.average_a, "A")),
        Column("use", "Use", "Use", "left", 5, lambda row: row.use),
        Column("evidence", "Known by", "Known by", "left", 3, lambda row: row.evidence or writing.NONE),
    )


CURE_COLUMNS: tuple[Column[Cure], ...] = (
    Column("words", "Fix", "Fix", "left", 0, lambda row: shown(row.words)),
    Column("before", "Balance now", "Now", "right", 1, lambda row: writing.balance(row.before_a, "A")),
    Column("after", "then", "then", "right", 0, lambda row: writing.balance(row.after_a, "A")),
    Column("peak", "All on then", "Peak then", "right", 2, lambda row: writing.burden(row.peak_after_a, "A")),
    Column("closes", "Closes the gap", "Closes", "left", 0, lambda row: "yes" if row.closes else "no"),
)


def shed_columns(plan: Plan) -> tuple[Column[Shed], ...]:
    """Columns of what is switched off until the battery no longer discharges."""
    return (
        Column("what", "Switch off", "Switch off", "left", 0,
               lambda row: shown(f"{owner_title(plan, ('circuit', row.circuit))}: {row.what}")),
        Column("average", "Saves", "Saves", "right", 0, lambda row: writing.limit(row.average_a, "A")),
        Column("balance", "Balance then", "then", "right", 0, lambda row: writing.balance(row.balance_a, "A")),
        Column("lamp", "Mind", "Mind", "left", 1,
               lambda row: "a lamp: only where the law lets you" if row.lamp else ""),
    )


def total_columns(plan: Plan, condition: int) -> tuple[Column[Total], ...]:
    """Columns of feeds and relay contacts: one condition, and the most over all."""
    return (
        Column("id", "Through", "Through", "left", 0, lambda row: shown(owner_title(plan, (row.kind, row.id)))),
        Column("average", "Average here", "Average", "right", 1,
               lambda row: writing.burden(row.average_a[condition], "A")),
        Column("peak", "All on here", "Peak", "right", 0, lambda row: writing.burden(row.peak_a[condition], "A")),
        Column("most", "Most anywhere", "Most", "right", 0,
               lambda row: writing.burden(row.peak_a.max(initial=0.0), "A")),
        Column("limit", "May carry", "Limit", "right", 0,
               lambda row: writing.NONE if math.isnan(row.limit_a) else writing.limit(row.limit_a, "A")),
        Column("words", "By", "By", "left", 3, lambda row: "" if math.isnan(row.limit_a) else shown(row.limit_words)),
    )


INTERVAL_WORDS = tuple({"5s": "over 5 s", "5min": "over 5 min"}.get(each, each) for each in INTERVALS)
"""The intervals of the load analysis, as a heading has them."""


def load_columns(plan: Plan, interval: int, ids: tuple[str, ...]) -> tuple[Column[LoadLine], ...]:
    """Columns of the load analysis over one interval: a line a circuit, a numbered column a condition."""
    def figure(condition: int) -> Column[LoadLine]:
        def cell(row: LoadLine) -> str:
            current = float(row.current_a[interval, condition])
            return writing.NONE if current == 0.0 else writing.bare(current, "A", "burden")

        return Column(ids[condition], str(condition + 1), str(condition + 1), "right", 0, cell)

    first: Column[LoadLine] = Column(
        "id", f"{INTERVAL_WORDS[interval]}, A", INTERVAL_WORDS[interval], "left", 0,
        lambda row: shown(owner_title(plan, (row.kind, row.id))) + (" E" if row.essential else "")
        + (" ×" if row.groups else ""))
    return (first, *(figure(condition) for condition in range(len(ids))))
