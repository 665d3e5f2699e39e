"""The first page as rows one can go on from: what to do first, each with the place in the plan it leads to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.checks.rule import Finding, Unjudged
from fuseplan.papers.action import action
from fuseplan.papers.car_facts import car_facts
from fuseplan.papers.findings import finding_level, short_name
from fuseplan.papers.not_checked_text import NOT_CHECKED
from fuseplan.papers.not_said_text import HEADING, SAY_FIRST, say_first
from fuseplan.papers.summary import KINDS, headline, verdict
from fuseplan.papers.worst_first import worst_first
from fuseplan.plan.part_names import part_name
from fuseplan.plan.references import ENTRIES, SINGLE, Path, form_root
from fuseplan.quantities.listing import first_few
from fuseplan.records import dataclass
from fuseplan.workspace.findings import SIGNS, field_of
from fuseplan.workspace.session import Session

Place = tuple[Path, Path] | str
"""Form and field, or the action that goes to a screen."""
_NAMED = 3
"""Circuits that are named of those not known for the same reason."""
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


def summary_rows(session: Session) -> Iterator[SummaryRow]:
    """All rows: the verdict, the faults by their causes, what is not said, the car as a whole, what is not known."""
    assessment = session.assessment
    role, words = verdict(assessment)
    yield SummaryRow(role, "", words, "go_circuits")
    if not (session.plan.feed or session.plan.earth):
        yield SummaryRow("unknown", "?", "No feeds, earth points or zones yet: Enter adds the usual ones of a car",
                         "add_usual")
    first = say_first(assessment)
    for heading, kind in KINDS:
        if kind == "measure" and first:
            yield SummaryRow("heading", "", f"{SAY_FIRST} ({len(first)})")
            for each in first:
                yield SummaryRow("unknown", "?", f"{short_name(each, assessment)}: {each.what}", _at(session, each.key))
        leading = worst_first([each for each in assessment.findings
                               if each.cause is None and finding_level(each) == kind], assessment.plan)
        if leading:
            yield SummaryRow("heading", "", f"{heading} ({len(leading)})")
        for finding in leading:
            yield _of(session, finding)
            for number in finding.follows:
                yield _of(session, assessment.findings[number], follows=True)
    serious = [each for each in assessment.not_said if each.safety and each not in first]
    if serious:
        yield SummaryRow("heading", "", f"{HEADING} ({len(serious)} that safety rests on)")
    for each in serious:
        yield SummaryRow("unknown", "?", f"{short_name(each, assessment)}: {each.what}", _at(session, each.key))
    yield SummaryRow("heading", "", "The car as a whole")
    for what, fact in car_facts(assessment):
        yield SummaryRow("advice", "", f"{what}: {fact}", PLACES[what])
    unknown = [view for view in assessment.circuits if view.verdict == "unknown"]
    feeds = assessment.unknown_feeds
    if unknown or feeds:
        yield SummaryRow("heading", "", f"Not known ({len(unknown) + len(feeds)})")
    reasons: dict[str, list[JudgedCircuit]] = {}
    for view in unknown:
        reasons.setdefault("; ".join(view.reasons) or "see what is not said", []).append(view)
    for words, views in reasons.items():
        root: Path = ("circuit", views[0].id)
        yield SummaryRow("unknown", "?", f"{first_few([view.name for view in views], _NAMED)}: {words}", (root, root))
    for feed, why_feed in feeds.items():
        at = ("feed", feed)
        name = part_name(assessment.plan, at)
        yield SummaryRow("unknown", "?", f"{name}: {'; '.join(why_feed)}", (at, at))
    listed: dict[str, list[Unjudged]] = {}
    for check in assessment.unjudged:
        if not check.safety:
            listed.setdefault(check.words, []).append(check)
    if listed:
        yield SummaryRow("heading", "", f"{NOT_CHECKED} ({sum(map(len, listed.values()))})")
    for words, checks in listed.items():
        names = first_few(checks, _NAMED, lambda each: short_name(each, assessment))
        yield SummaryRow("advice", "·", f"{names}: {words}", _at(session, ".".join(checks[0].owner)))


def _of(session: Session, finding: Finding, *, follows: bool = False) -> SummaryRow:
    """A finding's row; one that follows from another says only what it is."""
    role = finding_level(finding)
    words = headline(session.assessment, finding)
    return SummaryRow(role, SIGNS[role], words if follows else f"{words} → {action(finding)}",
                      field_of(session, finding), finding, follows)


def _at(session: Session, key: str) -> Place | None:
    """The form and field of a dotted key."""
    kind, _, rest = key.partition(".")
    if kind not in ENTRIES:
        return ((kind,), (kind, *_steps(rest))) if kind in SINGLE else "edit_car"
    names = [name for name in getattr(session.plan, kind) if f"{rest}.".startswith(f"{name}.")]
    if not names:
        return None
    name = max(names, key=len)
    path: Path = (kind, name, *_steps(rest[len(name) + 1:]))
    return form_root(path), path


def _steps(key: str) -> Path:
    return tuple(int(step) if step.isdigit() else step for step in key.split(".") if step)
