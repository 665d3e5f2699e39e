"""The first page of an assessment: one screen that says what to do first, and what is not known.

Dangers, then what will not work, each cause once with the action beside it; what to enter before the car as a whole
can be judged; what to measure; whether the car starts, charges and stands; how near the feeds and the alternator are
to their limits; what could not be judged. Numbers in square brackets lead to the sources.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Literal

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.papers.action import action
from fuseplan.papers.car_facts import car_lines
from fuseplan.papers.cautions import short_notice
from fuseplan.papers.findings import check_words, finding_level, short_name, source_numbers, source_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.not_checked_text import NOT_CHECKED, by_reason, not_checked
from fuseplan.papers.not_said_text import not_said_page, say_first, say_first_page
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.papers.worst_first import alike, worst_first
from fuseplan.plan.part_names import part_name
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few

INDENT = "  "
LINES = 40
"""Lines the page may take at 100 columns: what does not fit is counted, and stands in the whole report."""
KINDS = (("Dangers: can burn, injure, or leave something running", "danger"),
         ("Will not work, or will be damaged", "warning"), ("Measure first: passes as entered, may fail", "measure"))
VerdictRole = Literal["danger", "warning", "measure", "advice", "ok"]
DANGER_LINES = 18
"""Lines dangers may take whatever else there is: the page is longer then."""
WARNING_LINES, SPARE_LINES = 5, 3
"""Lines that what will not work may take, so that its worst has its action beside it, where the page grows by no more
than the second for it."""
ALIKE = 3
"""So many others with the same fault are named."""
SIGN_WORDS = "(+1): one more finding with the same cause"
_SIGN = re.compile(r"\(\+\d+\)")


def first_page(assessment: Assessment, room: int = 100, paint: Paint = unpainted, name: str = "PLAN") -> str:
    """The summary, at most about 40 lines at 100 columns.

    Parameters
    ----------
    room : int
        Columns to write in.
    paint : callable (text, role) -> text
        Colour for a terminal; what it stresses is said in words as well.
    name : str
        The plan's file as the next commands name it.
    """
    vehicle = assessment.plan.vehicle
    title = f"{shown(vehicle.name) if vehicle.name else 'Plan without a name'} · limits: " \
            f"{assessment.limit_set.name} · {shown(vehicle.system)}"
    role, words = verdict(assessment)
    head = [paint(line, "heading") for line in paragraph(title, room)] + [
        paint(line, role) for line in paragraph(words, room)]
    asked = not_said_page(assessment, room, paint)
    foot = [*([""] if asked else []), *asked, "", *car_lines(assessment, room, paint), "",
            *unknown_lines(assessment, room, paint),
            *(paragraph(SIGN_WORDS, room) if has_followers(assessment) else ()),
            *paragraph(f"Next: fuseplan check {shown(name)} --full (every figure and source), --circuit ID; "
                       f"fuseplan propose {shown(name)}", room),
            *paragraph(short_notice(), room, "⚠ ", INDENT)]
    listed = entries(assessment, room, paint, LINES - len(head) - len(foot))
    if not any(_SIGN.search(line) for line in listed):
        foot = [line for line in foot if line != SIGN_WORDS]
    return "\n".join([*head, *listed, *foot]) + "\n"


def verdict(assessment: Assessment) -> tuple[VerdictRole, str]:
    """Role to paint in, and one line: how many dangers and faults, and whether to power up."""
    dangers, warnings = assessment.count("danger"), assessment.count("warning")
    # Listed without a feed, nothing of it is this plan's: it asks for nothing that could ever be entered.
    verdicts = [view.verdict for view in assessment.circuits
                if view.circuit.out_of_scope is None or view.circuit.feed is not None]
    apart = len(assessment.plan.circuit) - len(verdicts)
    unknown, doubtful = verdicts.count("unknown"), assessment.measures
    counts = f"{writing.how_many(dangers, 'danger')}, {writing.how_many(warnings, 'warning')}, " \
             f"{writing.how_many(assessment.count('advice'), 'advice', 'advice')}, " \
             f"{assessment.measures} to measure first" \
             f"{f'; {apart} out of scope' if apart else ''}"
    if dangers:
        return "danger", f"DO NOT POWER UP: {counts}."
    if not verdicts and not warnings:
        return "advice", f"Nothing to check: the plan has no {'other ' if apart else ''}circuits yet" \
                         f"{f'; {apart} out of scope' if apart else ''}."
    if unknown:
        return "warning", f"NOT READY: {writing.how_many(unknown, 'circuit')} of {len(verdicts)} not known; {counts}."
    asked = sum(each.safety for each in assessment.not_said)
    if asked:
        return "warning", f"NOT READY: {writing.how_many(asked, 'answer')} that safety rests on not said; {counts}."
    if warnings:
        return "warning", f"Something will not work or will be damaged: {counts}."
    if say_first(assessment):
        return "measure", f"No fault found as entered, but the car as a whole is not judged: {counts}."
    if doubtful:
        return "measure", f"No fault found as entered, but not everything is certain: {counts}."
    return "ok", f"No fault found: {counts}. Measure before you trust it."


def has_followers(assessment: Assessment) -> bool:
    """Whether any finding has the same cause as one that is listed for both."""
    return any(finding.follows for finding in assessment.findings)


def entries(assessment: Assessment, room: int, paint: Paint, most: int) -> list[str]:
    """Dangers, warnings, what to enter before the whole car can be judged, and what to measure: each cause one entry,
    the worst first, in at most about `most` lines.

    Dangers come first in everything: a kind there is no room for is named in a line or two, what will not work only
    where even its worst does not fit.
    """
    leading = [finding for finding in assessment.findings if finding.cause is None]
    kinds = [(heading, role, members) for heading, role in KINDS
             if (members := worst_first([each for each in leading if finding_level(each) == role], assessment.plan))]
    named = [_named_only(assessment, heading, members, room) for heading, _, members in kinds]
    lines: list[str] = []
    first = say_first_page(assessment, room, paint, short=bool(kinds) and kinds[0][1] == "danger")
    for number, (heading, role, members) in enumerate(kinds):
        if role == "measure":
            lines, first = [*lines, *first], []
        last = most - sum(map(len, named[number + 1:])) - len(lines) - len(first)
        if role == "danger":
            last = max(last, DANGER_LINES)
        elif role == "warning":
            last = max(last, min(last + SPARE_LINES, WARNING_LINES))
        whole = _listed(assessment, members, room, last - 2)
        if len(whole) + 2 > last and number:
            lines += [paint(line, role) if place == 1 else line for place, line in enumerate(named[number])]
        else:
            lines += ["", paint(f"{heading} ({len(members)})", role), *whole]
    return [*lines, *first]


def _listed(assessment: Assessment, members: list[Finding], room: int, most: int) -> list[str]:
    """Entries in at most about `most` lines, one at least, and how many more there are; those alike together where not
    all have room."""
    whole = [line for finding in members for line in entry(assessment, finding, room)]
    if len(whole) <= most:
        return whole
    groups = alike(members)
    lines: list[str] = []
    for place, (finding, *others) in enumerate(groups):
        own = entry(assessment, finding, room, [short_name(each, assessment) for each in others])
        if place and len(lines) + len(own) + (place + 1 < len(groups)) > most:
            return [*lines, f"{INDENT}… and {sum(map(len, groups[place:]))} more: --full"]
        lines += own
    return lines


def _named_only(assessment: Assessment, heading: str, members: list[Finding], room: int) -> list[str]:
    """A kind in few words: what it is about, without what to do."""
    subjects = list(dict.fromkeys(short_name(each, assessment) for each in members))
    return ["", *paragraph(f"{heading.partition(':')[0]} ({len(members)}): {_named(subjects, 4)}: --full", room, "",
                           INDENT)]


def entry(assessment: Assessment, finding: Finding, room: int, others: Sequence[str] = ()) -> list[str]:
    """One finding: what, by how much, what to do, the number of its source; and what else the same check finds."""
    what = headline(assessment, finding)
    also = f" (+{len(finding.follows)})" if finding.follows else ""
    number = source_numbers(assessment)[source_words(finding.source)]
    mark = "◐ " if finding.measure else "✗ " if finding.level == "danger" else "! "
    more = f"; the same fault: {_named(list(others), ALIKE)}" if others else ""
    return paragraph(f"{what}{also} → {action(finding)} [{number}]{more}", room, INDENT + mark, INDENT * 3)


def headline(assessment: Assessment, finding: Finding) -> str:
    """What is wrong with what, and by how much."""
    fault = check_words(finding.check, finding.subject_kind)
    if finding.figure is None or finding.limit is None:
        alike = {each.owner for each in map(assessment.findings.__getitem__, finding.follows)
                 if each.check == finding.check} - {finding.owner}
        more = f" and {len(alike)} more" if alike else ""
        return f"{short_name(finding, assessment)}{more}: {fault}"
    what = f"{short_name(finding, assessment)}: {fault}"
    figure, limit = writing.judged(finding.figure, finding.limit, finding.unit, finding.figure_side)
    return f"{what}, {figure}, limit {limit}"


def unknown_lines(assessment: Assessment, room: int, paint: Paint) -> list[str]:
    """What could not be judged and what was assumed, a line each."""
    lines: list[str] = []
    unknown = list(_unknown(assessment))
    if unknown:
        lines += paragraph(_named(unknown, 4), room, f"Not known ({sum(1 for _ in _reasons(assessment))}): ", INDENT)
    silent = list(not_checked(assessment))
    if silent:
        names = dict.fromkeys(name for name, _ in silent)
        lines += paragraph(f"{_named(list(names), 3)}: --full", room, f"{NOT_CHECKED} ({len(silent)}): ", INDENT)
    if assessment.assumptions:
        what = dict.fromkeys(each.what for each in assessment.assumptions)
        lines += paragraph(_named(list(what), 3), room, f"Assumed ({len(assessment.assumptions)}): ", INDENT)
    return [paint(line, "heading") if number == 0 else line for number, line in enumerate(lines)] or \
        ["Nothing left unknown, nothing assumed."]


def _unknown(assessment: Assessment) -> Iterator[str]:
    """Each circuit and feed that is not known with the reason; those that share one reason in one entry."""
    yield from by_reason(_reasons(assessment))


def _reasons(assessment: Assessment) -> Iterator[tuple[str, str]]:
    """Each circuit that is not known and each feed of which a limit is not, and why."""
    for view in assessment.circuits:
        if view.verdict == "unknown" and view.reasons:  # without any it is among what is not said
            yield shown(view.name), first_few(view.reasons, 1, shown)
    for feed, words in assessment.unknown_feeds.items():
        yield shown(part_name(assessment.plan, ("feed", feed))), shown("; ".join(words))


def _named(names: list[str], most: int) -> str:
    return first_few(names, most, shown, "; ", "; and ")
