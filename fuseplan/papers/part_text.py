"""One feed or one earth point in detail as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TypeVar

from fuseplan.checks.assessment import Assessment
from fuseplan.papers.assumption_text import assumption_lines
from fuseplan.papers.circuit_text import circuit_report, coil_words, short_words, wire_lines
from fuseplan.papers.columns import Column
from fuseplan.papers.harmless import shown, width
from fuseplan.papers.not_checked_text import not_checked_lines
from fuseplan.papers.not_said_text import not_said_lines
from fuseplan.papers.paragraphs import Paint, joined_parts, paragraph, unpainted
from fuseplan.papers.supply_columns import EARTH_COLUMNS, FEED_COLUMNS
from fuseplan.papers.text import findings_by_cause, notice_lines, title_lines, verdict_lines
from fuseplan.plan.coils import relays_of
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import in_words, title_of
from fuseplan.quantities import writing
from fuseplan.quantities.listing import all_of
from fuseplan.results.segment import SegmentResult
from fuseplan.results.supply import EarthResult, FeedResult

View = TypeVar("View", FeedResult, EarthResult)


def feed_report(assessment: Assessment, name: str, room: int = 100, paint: Paint = unpainted) -> str:
    """One feed: its line of the table, what it supplies, its short circuit, its wires, its currents by condition, its
    findings."""
    view = next(each for each in assessment.feeds if each.id == name)
    more = [("Supplies", all_of(list(_supplied(assessment.plan, name))) or writing.NONE)]
    if view.fuse is not None:
        more.append(("Short circuit", short_words(view.fault)))
    if view.coil is not None:
        more.append(("Relay coil", coil_words(view.coil)))
    if name in assessment.unknown_feeds:
        more.append(("Not known", "; ".join(assessment.unknown_feeds[name])))
    if view.feed is not None and view.feed.note:
        more.append(("Note", view.feed.note))
    conditions = {each: f"{writing.burden(here.current_a, 'A')}, {writing.limit(here.volts, 'V')}" if here.live else
                  "dead" for each, here in view.in_condition.items()}
    return _report(assessment, ("feed", name), _facts(view, FEED_COLUMNS, more), view.segments, conditions, room, paint)


def earth_report(assessment: Assessment, name: str, room: int = 100, paint: Paint = unpainted) -> str:
    """One earth point: its line of the table, what is earthed on it, its strap, its currents by condition, its
    findings."""
    view = next(each for each in assessment.earths if each.id == name)
    more = [("Earthed on it", all_of(list(_earthed(assessment.plan, name))) or writing.NONE)]
    if view.earth is not None and view.earth.note:
        more.append(("Note", view.earth.note))
    conditions = {each: f"{writing.burden(here.current_a, 'A')}, {writing.EARTH_DROP(here.volts)}"
                  for each, here in view.in_condition.items()}
    return _report(assessment, ("earth", name), _facts(view, EARTH_COLUMNS, more), view.segments, conditions, room,
                   paint)


REPORTS = {"circuit": circuit_report, "feed": feed_report, "earth": earth_report}
"""The report on one part, by its kind."""


def _facts(view: View, columns: tuple[Column[View], ...], more: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """The part's line of its table, each figure under its heading, and what else is to be said of it."""
    return [*((column.heading, column.cell(view)) for column in columns[1:]), *more]


def _report(assessment: Assessment, owner: tuple[str, str], facts: list[tuple[str, str]],
            wires: Sequence[SegmentResult], conditions: Mapping[str, str], room: int, paint: Paint) -> str:
    """What both have."""
    plan, (kind, name) = assessment.plan, owner
    title, what = shown(title_of(plan, kind, name)), "feed" if kind == "feed" else "earth point"
    size = max(width(heading) for heading, _ in facts)
    return joined_parts([
        [*title_lines(assessment, room, paint), *verdict_lines(assessment, room, paint, "The whole car: ")],
        [paint(f"{title} ({what} {shown(name)})", "heading"), *(line for heading, words in facts for line in paragraph(
            shown(words), room, f"  {heading:<{size}}  "))],
        not_checked_lines(((title, shown(words)) for words in assessment.not_checked(kind, name)), room, paint),
        not_said_lines(assessment.not_said_of(kind, name), assessment, room, paint),
        wire_lines(wires, "Wires", room, paint),
        [paint("By condition", "heading"), *(line for each, words in conditions.items() for line in paragraph(
            f"{shown(title_of(plan, 'condition', each))}: {words}", room, "  ", "    "))],
        findings_by_cause(assessment.findings_for(kind, name), assessment, room, paint)
        or [f"No findings about this {what}."],
        assumption_lines((each for each in assessment.assumptions if each.owner == owner), plan, room, paint),
        notice_lines(assessment, room),
    ])


def _supplied(plan: Plan, name: str) -> Iterator[str]:
    """What takes its supply from a feed, or gives it one, in words."""
    if plan.alternator is not None and plan.alternator.feed == name:
        yield "the alternator, which charges into it"
    yield from (in_words(plan, "feed", each) for each, feed in plan.feed.items() if feed.upstream == name)
    yield from (in_words(plan, "circuit", each) for each, circuit in plan.circuit.items()
                if name == circuit.feed or name in circuit.also_from)
    yield from (f"the relay coil of {in_words(plan, *owner)}" for owner, relay in relays_of(plan)
                if relay.coil_feed == name)


def _earthed(plan: Plan, name: str) -> Iterator[str]:
    """What returns to an earth point, in words."""
    if plan.alternator is not None and plan.alternator.earth == name:
        yield "the alternator"
    yield from (in_words(plan, "earth", each) for each, earth in plan.earth.items() if earth.upstream == name)
    yield from (in_words(plan, "circuit", each) for each, circuit in plan.circuit.items()
                if name == circuit.earth or any(load.earth == name for load in circuit.load))
    yield from (f"the relay coil of {in_words(plan, *owner)}" for owner, relay in relays_of(plan)
                if relay.coil_earth == name)
