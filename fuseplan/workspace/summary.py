"""The first page as rows one can go on from: what to do first, each with the place in the plan it leads to; and the
whole of it, with every finding and question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Literal

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rule import Finding
from fuseplan.checks.whole_car import KIND
from fuseplan.grouping import grouped
from fuseplan.papers.action import action
from fuseplan.papers.car_facts import car_facts
from fuseplan.papers.findings import finding_level, short_name
from fuseplan.papers.not_checked_text import NOT_CHECKED
from fuseplan.papers.not_said_text import HEADING, SAY_FIRST, asked_once, say_first
from fuseplan.papers.summary import (
    KINDS,
    headline,
    is_not_ready,
    is_unknown_first,
    not_known,
    others_words,
    times_words,
    told_once,
    verdict,
)
from fuseplan.papers.worst_first import alike, worst_first
from fuseplan.plan.part_names import part_name
from fuseplan.plan.references import Path
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few
from fuseplan.records import dataclass
from fuseplan.workspace.findings import SIGNS, field_of, subject_path
from fuseplan.workspace.session import Session

Place = tuple[Path, Path] | str
"""Form and field, or the action that goes to a screen."""
_NAMED = 3
"""Circuits that are named of those not known for the same reason."""
WORST_ROWS, ROWS = 6, 3
"""Rows of the worst kind of fault and of every other kind of row that come first."""
LISTS_ALL = "x lists all"
LIST_ALL = "list_all"
"""Place of a row that says how many more there are: the same list in full."""
_CIRCUITS = "go_circuits"
_SPOKEN_OF = ("danger", "warning", "measure", "unknown")
"""Roles of a verdict that leads to the first row below with one of them, and of those rows; any other leads to the
circuits."""
PLACES = {"Starts": "go_charging", "Charges": "go_charging", "Stands": "go_charging", "Nearest its limit": "go_supply"}


@dataclass(frozen=True)
class SummaryRow:
    """One row: its sign and its words; a heading leads nowhere."""

    role: Literal["heading", "danger", "warning", "measure", "advice", "ok", "unknown"]
    sign: str
    words: str
    place: Place | None = None
    finding: Finding | None = None
    follows: bool = False
    """It stands under the one before, whose fix removes it too."""


def summary_rows(session: Session, *, whole: bool = False) -> Iterator[SummaryRow]:
    """The verdict, the faults by their causes, what is not said, the car as a whole, what is not known: the first few
    of each, alike ones together and each cause once, or the `whole` of it."""
    role, words = verdict(session.assessment)
    below = list(_below_the_verdict(session, whole))
    leads = [row for row in below if row.role in _SPOKEN_OF and isinstance(row.place, tuple)]
    if role == "warning" and is_not_ready(session.assessment):
        # It speaks of what is not known, and not of what stands above that.
        leads.sort(key=lambda row: row.role != "unknown")
    yield SummaryRow(role, "", words, leads[0].place if leads and role in _SPOKEN_OF else _CIRCUITS)
    yield from below


def _below_the_verdict(session: Session, whole: bool) -> Iterator[SummaryRow]:
    assessment = session.assessment
    if not (session.plan.feed or session.plan.earth):
        yield SummaryRow("unknown", "?", "No feeds, earth points or zones yet: Enter adds the usual ones of a car",
                         "add_usual")
    first, most, unknown_first = say_first(assessment), WORST_ROWS, is_unknown_first(assessment)
    for heading, kind in KINDS:
        if kind == "measure" and first:
            yield SummaryRow("heading", "", f"{SAY_FIRST} ({len(first)})")
            yield from (_asked(session, each) for each in first)
        if kind == "measure" and unknown_first:
            yield from _not_known(assessment, whole)
        leading = worst_first([each for each in assessment.findings
                               if each.cause is None and finding_level(each) == kind], assessment.plan)
        if leading:
            yield SummaryRow("heading", "", f"{heading} ({len(leading)})")
            yield from _each(session, leading) if whole else _first(_together(session, leading, most), most)
            most = ROWS
    yield from _not_said(session, [each for each in assessment.not_said if each not in first], whole)
    yield SummaryRow("heading", "", "The car as a whole")
    for what, fact in car_facts(assessment):
        yield SummaryRow("advice", "", f"{what}: {fact}", PLACES[what])
    if not unknown_first:
        yield from _not_known(assessment, whole)
    listed = grouped((check.words, check) for check in assessment.unchecked)
    if listed:
        yield SummaryRow("heading", "", f"{NOT_CHECKED} ({sum(map(len, listed.values()))})")
    yield from _first(((SummaryRow(
        "advice", "·", f"{first_few(checks, _NAMED, lambda each: short_name(each, assessment))}: {words}",
        (subject_path(checks[0]),) * 2), len(checks)) for words, checks in listed.items()),
        None if whole else ROWS)


def _first(rows: Iterable[tuple[SummaryRow, int]], most: int | None) -> Iterator[SummaryRow]:
    """The first of some rows, each with how many it stands for, and how many more there are; all without a bound, and
    where the rest takes one row as well."""
    found = list(rows)
    shown = found if most is None or len(found) <= most + 1 else found[:most]
    yield from (row for row, _ in shown)
    if rest := sum(times for _, times in found[len(shown):]):
        yield SummaryRow("advice", "…", f"and {rest} more: {LISTS_ALL}", LIST_ALL)


def _each(session: Session, leading: Iterable[Finding]) -> Iterator[SummaryRow]:
    """Every finding, under each those with the same cause, which say only what they are."""
    findings = session.assessment.findings
    for finding in leading:
        yield _of(session, finding, f"{headline(session.assessment, finding)} → {action(finding)}")
        for each in map(findings.__getitem__, finding.follows):
            yield replace(_of(session, each, headline(session.assessment, each)), follows=True)


def _together(session: Session, leading: Sequence[Finding], most: int) -> Iterator[tuple[SummaryRow, int]]:
    """Each cause once, with how many findings it stands for; alike ones together where not all have a row."""
    assessment = session.assessment
    found = told_once(assessment, leading)
    times_of = {id(finding): times for finding, times in found}
    for finding, *others in alike(each for each, _ in found) if len(found) > most else ([each] for each, _ in found):
        also = f" (+{len(finding.follows)} with the same cause)" if finding.follows else ""
        more = others_words(assessment, finding, others, times_of)
        yield (_of(session, finding, f"{headline(assessment, finding)}{times_words(times_of[id(finding)])}{also} → "
                                     f"{action(finding)}{more}"),
               sum(times_of[id(each)] for each in (finding, *others)))


def _of(session: Session, finding: Finding, words: str) -> SummaryRow:
    role = finding_level(finding)
    return SummaryRow(role, SIGNS[role], words, field_of(session, finding), finding)


def _not_said(session: Session, found: Sequence[NotSaid], whole: bool) -> Iterator[SummaryRow]:
    """The questions, those that safety rests on first; the others are counted, or listed in the `whole` of it."""
    serious, others = ([each for each in found if each.safety == safety] for safety in (True, False))
    if found:
        yield SummaryRow("heading", "", f"{HEADING} ({len(serious) or 'nothing'} that safety rests on)")
    if whole:
        yield from (_asked(session, each) for each in (*serious, *others))
        return
    yield from _first(((_asked(session, members[0], words), len(members))
                       for words, members in asked_once(serious, session.assessment)), ROWS)
    if others:
        yield SummaryRow("advice", "·", f"{writing.how_many(len(others), 'question')} that safety does not rest on: "
                                        f"{LISTS_ALL}", LIST_ALL)


def _asked(session: Session, each: NotSaid, words: str = "") -> SummaryRow:
    text, place = words or f"{short_name(each, session.assessment)}: {each.what}", field_of(session, each)
    if each.safety or each.kind == KIND:
        return SummaryRow("unknown", "?", text, place)
    return SummaryRow("advice", "·", text, place)


def _not_known(assessment: Assessment, whole: bool) -> Iterator[SummaryRow]:
    """What is not known, where anything is not."""
    unknown = not_known(assessment)
    if unknown or assessment.unknown_feeds:
        yield SummaryRow("heading", "", f"Not known ({len(unknown) + len(assessment.unknown_feeds)})")
        yield from _first(_unknown(assessment, unknown), None if whole else ROWS)


def _unknown(assessment: Assessment, unknown: Iterable[JudgedCircuit]) -> Iterator[tuple[SummaryRow, int]]:
    """Circuits that are not known, those of one reason together, and feeds of which a limit is not."""
    reasons = grouped(("; ".join(view.reasons), view) for view in unknown)
    for words, views in reasons.items():
        root: Path = ("circuit", views[0].id)
        yield SummaryRow("unknown", "?", f"{first_few([view.name for view in views], _NAMED)}: {words}",
                         (root, root)), len(views)
    for feed, why_feed in assessment.unknown_feeds.items():
        at = ("feed", feed)
        yield SummaryRow("unknown", "?", f"{part_name(assessment.plan, at)}: {'; '.join(why_feed)}", (at, at)), 1
