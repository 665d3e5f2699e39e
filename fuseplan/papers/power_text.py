"""The power report as plain text: what ``fuseplan power`` prints."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.engine.trip import TripResult
from fuseplan.papers.harmless import shown
from fuseplan.papers.layout import table
from fuseplan.papers.paragraphs import Paint, joined_parts, paragraph, unpainted
from fuseplan.papers.plots import Picture, text_plot
from fuseplan.papers.power_columns import (
    CONDITION_COLUMNS,
    CURE_COLUMNS,
    INTERVAL_WORDS,
    detail_columns,
    load_columns,
    shed_columns,
    total_columns,
)
from fuseplan.papers.power_parts import (
    alternator_cable_lines,
    alternator_lines,
    battery_lines,
    cranking_lines,
    reserve_lines,
    standing_lines,
)
from fuseplan.papers.power_pictures import break_even_words, curve_picture, trip_picture
from fuseplan.papers.text import findings_lines, notice_lines, title_lines
from fuseplan.plan.part_names import part_name, title_of
from fuseplan.quantities import writing

INDENT = "  "
PLOT_ROWS = 18
POWER_CHECKS = frozenset({"exciter-current-too-low", "insufficient-supply", "low-cranking-voltage", "no-engine-strap"})
"""Checks on circuits, feeds and earths that are about the supply as well."""


def power_findings(assessment: Assessment) -> list[Finding]:
    """Findings about alternator, battery, charging, cranking and standing."""
    return [each for each in assessment.findings
            if each.check in POWER_CHECKS or each.subject_kind in ("alternator", "battery")]


def power_text(assessment: Assessment, trips: Sequence[str] = (), condition: int | None = None, loads: bool = False,
               room: int = 100, paint: Paint = unpainted, drawn: bool = True) -> str:
    """The report.

    Args:
        trips: names of the trips to drive
        condition: the condition explained line by line; the worst running one where left out
        loads: also the load analysis of every circuit in every condition, over each interval
        room: columns to write in
        drawn: with its pictures; False where they are drawn beside it
    """
    power = assessment.results.power
    chosen = power.worst if condition is None else condition
    machine = part_name(assessment.plan, ("alternator", ""))
    parts = [
        title_lines(assessment, room, paint),
        _headed(machine.capitalize(), alternator_lines(assessment, room), paint),
        _balance(assessment, room, paint),
        *([_explained(assessment, chosen, room, paint), _curve(assessment, chosen, room, paint, drawn)]
          if chosen >= 0 else []),
        _cures(assessment, chosen, room, paint), _shedding(assessment, chosen, room, paint),
        *([_totals(assessment, chosen, room, paint)] if chosen >= 0 else []),
        *(_loads(assessment, room, paint) if loads else []),
        _headed("Battery", battery_lines(assessment, room), paint),
        _headed(f"After the {machine} has failed", reserve_lines(assessment, room), paint),
        _headed("Standing", standing_lines(assessment, room), paint),
        _headed("Cranking", cranking_lines(assessment, room), paint),
        _headed(f"{machine.capitalize()} cable and exciter", alternator_cable_lines(assessment, room), paint),
        *(_trip(name, power.trip(name), room, paint, assessment, drawn) for name in trips),
        findings_lines(power_findings(assessment), assessment, room, paint),
        notice_lines(assessment, room),
    ]
    return joined_parts(parts)


def _headed(heading: str, lines: list[str], paint: Paint) -> list[str]:
    return [paint(heading, "heading"), *lines] if lines else []


def _balance(assessment: Assessment, room: int, paint: Paint) -> list[str]:
    limits = assessment.limit_set.alternator
    rows = list(assessment.conditions)
    lines, _ = table(rows, CONDITION_COLUMNS, room, paint, INDENT)
    return _headed("Balance, by condition", [
        *lines,
        *paragraph("Demand: every load weighed by its duty, at the voltage that results. Continuous: loads in "
                   "continuous and prolonged use over the rated output, at most "
                   f"{writing.stated(limits.continuous_share, 'share')} ({limits.continuous_source}). All on: "
                   f"everything on together, at most {writing.stated(limits.peak_share, 'share')} "
                   f"({limits.peak_source}).", room, INDENT)], paint)


def _explained(assessment: Assessment, condition: int, room: int, paint: Paint) -> list[str]:
    results = assessment.results
    details = results.power.details(condition)
    if not details:
        return []
    name = results.network.conditions[condition].name or results.network.condition_ids[condition]
    heading = f"Why: {shown(name)}, load by load"
    lines, _ = table(details, detail_columns(assessment.plan), room, paint, INDENT)
    balance = results.balance
    output, demand = float(balance.available_a[0, condition]), float(balance.demand_a[0, condition])
    if not results.balance_known(condition):
        said = (f"Sum of the averages {writing.burden(demand, 'A')}. Hot output {writing.UNKNOWN}, balance "
                f"{writing.UNKNOWN}: the alternator's output is not known")
        return _headed(heading, [*lines, *paragraph(f"{said}.", room, INDENT)], paint)
    said = (f"Sum of the averages {writing.burden(demand, 'A')}. Hot output at "
            f"{writing.limit(results.source.rotor_rpm[condition], 'r/min')} of the rotor: "
            f"{writing.limit(output, 'A')}. Balance {writing.balance(output - demand, 'A')}")
    gap = demand - output
    if gap > 0 and results.plan.battery is not None:
        said += (f": the battery supplies it for {writing.lasting(results.power.flat_s(condition))} until it is flat, "
                 f"{writing.lasting(results.power.no_start_s(condition))} until the car no longer starts")
    return _headed(heading, [*lines, *paragraph(f"{said}.", room, INDENT)], paint)


def _curve(assessment: Assessment, condition: int, room: int, paint: Paint, drawn: bool) -> list[str]:
    curve = assessment.results.power.curve(condition)
    if curve is None:
        return []
    title, lines = _plot(curve_picture(assessment, curve), room, drawn)
    words = [line for word in break_even_words(curve) for line in paragraph(word, room, INDENT)]
    return [paint(title, "heading"), *lines, *words]


def _plot(picture: Picture, room: int, drawn: bool) -> tuple[str, list[str]]:
    """Title and lines of a picture without its words."""
    if not drawn:
        return shown(picture.title), []
    title, *lines = text_plot(replace(picture, words=()), min(room, 100), PLOT_ROWS)
    return title, lines


def _cures(assessment: Assessment, condition: int, room: int, paint: Paint) -> list[str]:
    cures = assessment.results.power.cures(condition)
    if not cures:
        return []
    lines, _ = table(cures, CURE_COLUMNS, room, paint, INDENT)
    lines.append("")
    for cure in cures:
        lines += paragraph(shown(f"{cure.id}: " + "; ".join(change.typed() for change in cure.changes)), room,
                           f"{INDENT}type  ", INDENT * 4)
        lines += paragraph(shown(cure.caution), room, f"{INDENT}⚠     ", INDENT * 4)
    return _headed("What would close the gap, each computed on the changed plan", lines, paint)


def _shedding(assessment: Assessment, condition: int, room: int, paint: Paint) -> list[str]:
    steps = assessment.results.power.shedding(condition)
    if not steps:
        return []
    lines, _ = table(steps, shed_columns(assessment.plan), room, paint, INDENT)
    return _headed("What to switch off meanwhile, in this order", lines, paint)


def _totals(assessment: Assessment, condition: int, room: int, paint: Paint) -> list[str]:
    found = assessment.results.power.loads
    columns = total_columns(assessment.plan, condition)
    machine = part_name(assessment.plan, ("alternator", ""))
    lines: list[str] = []
    for words, rows in ((f"Feeds, the {machine}'s current left out", found.feeds), ("Relay contacts", found.relays)):
        if rows:
            drawn, _ = table(rows, columns, room, paint, INDENT)
            lines += [*([""] if lines else []), paint(words, "heading"), *drawn]
    return lines


def _loads(assessment: Assessment, room: int, paint: Paint) -> list[list[str]]:
    ids = assessment.results.network.condition_ids
    names = (title_of(assessment.plan, "condition", name) for name in ids)
    legend = paragraph("Conditions: " + "; ".join(f"{number} {shown(name)}" for number, name in enumerate(names, 1))
                       + ". E: needed to drive on without the alternator. ×: in a group never on together, only the "
                       "strongest counted. Intervals as in an aircraft load analysis (MIL-E-7016F, from memory: check "
                       "the standard).", room, INDENT)
    lines = [line for line in assessment.results.power.loads.lines if float(line.current_a.max(initial=0.0)) > 0.0]
    parts = [_headed(f"Load analysis, {words}", table(
        lines, load_columns(assessment.plan, interval, ids), room, paint, INDENT)[0], paint)
        for interval, words in enumerate(INTERVAL_WORDS)]
    return [*parts, legend] if lines else []


def _trip(name: str, trip: TripResult | None, room: int, paint: Paint, assessment: Assessment,
          drawn: bool) -> list[str]:
    if trip is None:
        return _headed(f"Trip: {shown(name)}",
                       paragraph("not known: the battery's capacity is not given", room, INDENT), paint)
    conditions = assessment.results.network.conditions
    title, lines = _plot(trip_picture(trip), room, drawn)
    for leg in trip.legs:
        condition = conditions[leg.condition]
        words = condition.name or assessment.results.network.condition_ids[leg.condition]
        lasts = writing.lasting(leg.duration_s) if leg.duration_s >= 60.0 else writing.stated(leg.duration_s, "s")
        lines += paragraph(shown(
            f"{words}, {lasts}: {writing.bare(leg.start_charge, 'fine share', 'limit')} to "
            f"{writing.limit(leg.end_charge, 'fine share')}, {writing.burden(leg.taken_out_ah, 'Ah')} out, "
            f"{writing.limit(leg.put_in_ah, 'Ah')} in"), room, INDENT, INDENT * 2)
    if not assessment.results.charging_known:
        lines += paragraph("The alternator's output is not known and counted as nothing: the battery lasts longer.",
                           room, INDENT)
    lines += paragraph(
        f"Out {writing.burden(trip.taken_out_ah, 'Ah')}, in {writing.limit(trip.put_in_ah, 'Ah')}, losses "
        f"{writing.burden(trip.lost_ah, 'Ah')} (not stored while charging, and to discharge above the 20-hour "
        "current).", room, INDENT)
    if not math.isnan(trip.flat_at_s):
        lines += paragraph(f"Flat {writing.lasting(trip.flat_at_s)} after the start.", room, INDENT)
    return [paint(title, "heading"), *lines, *paragraph(f"At the end: {trip.verdict}.", room, INDENT)]
