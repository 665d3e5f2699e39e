"""The first page of an assessment: one screen that says what to do first, and what is not known.

Dangers, then what will not work, each cause once with the action beside it; what to enter before the car as a whole
can be judged; what to measure; whether the car starts, charges and stands; how near the feeds and the alternator are
to their limits; what could not be judged. Numbers in square brackets lead to the sources.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Literal

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.checks.rule import Finding
from fuseplan.papers.action import action
from fuseplan.papers.car_facts import car_lines
from fuseplan.papers.cautions import short_notice
from fuseplan.papers.findings import check_words, finding_level, short_name, source_numbers, source_words
from fuseplan.papers.harmless import shown, width
from fuseplan.papers.not_checked_text import NOT_CHECKED, by_reason, not_checked
from fuseplan.papers.not_said_text import not_said_page, say_first, say_first_page
from fuseplan.papers.page_room import Within, first_within, shared_out
from fuseplan.papers.paragraphs import Paint, heading_lines, paragraph, shortened, unpainted
from fuseplan.papers.short_names import short_names, short_part
from fuseplan.papers.worst_first import alike, worst_first
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few

INDENT = "  "
LINES, WIDTH = 42, 100
"""Lines the page takes at most at so many columns, in fewer columns as many more lines: what does not fit is counted,
and stands in the whole report."""
KINDS = (("Dangers: can burn, injure, or leave something running", "danger"),
         ("Will not work, or will be damaged", "warning"), ("Measure first: passes as entered, may fail", "measure"))
VerdictRole = Literal["danger", "warning", "measure", "advice", "ok"]
WORST_LINES = 15
"""Lines of `WIDTH` columns the worst kind of fault may take whatever else there is."""
REST = (("enter first", LINES), ("not said", LINES), ("warning", 5), ("car", LINES), ("unknown", LINES),
        *((role, LINES) for _, role in KINDS))
"""Who takes the other lines, one after the other, and how many at most: of what will not work the worst has its action
beside it."""
ALIKE = 3
"""So many others with the same fault are named."""
SIGN_WORDS = "(+1): one more finding with the same cause"
_SIGN = re.compile(r"\(\+\d+\)")


def first_page(assessment: Assessment, room: int = WIDTH, paint: Paint = unpainted, name: str = "PLAN") -> str:
    """The summary, at most `LINES` lines of `WIDTH` columns or what takes as much room; `name` is the plan's file as
    the next commands name it."""
    vehicle = assessment.plan.vehicle
    of = f" · limits: {shortened(assessment.limit_set.name)} · {shown(vehicle.system)}"
    title = f"{shortened(shown(vehicle.name), room - width(of)) if vehicle.name else 'Plan without a name'}{of}"
    role, words = verdict(assessment)
    head = [paint(line, "heading") for line in paragraph(title, room)] + [
        paint(line, role) for line in paragraph(words, room)]
    explained = paragraph(SIGN_WORDS, room) if any(finding.follows for finding in assessment.findings) else []
    foot = [*paragraph(f"Next: fuseplan check {shown(name)} --full (every figure and source), --circuit, "
                       f"--feed or --earth ID; fuseplan propose {shown(name)}", room),
            *paragraph(short_notice(), room, "⚠ ", INDENT)]
    blocks = dict(_blocks(assessment, room, paint))
    worst = next((role for _, role in KINDS if role in blocks), "")
    turns = ((name, _lines(lines, room)) for name, lines in ((worst, WORST_LINES), *REST))
    listed = shared_out(blocks, turns, _lines(LINES, room) - len(head) - len(explained) - len(foot))
    if not any(_SIGN.search(line) for line in listed):
        explained = []
    return "\n".join([*head, *listed, *explained, *foot]) + "\n"


def _lines(lines: int, room: int) -> int:
    """As many lines of `room` columns as hold what stands in some of the full width."""
    return max(lines, lines * WIDTH // room)


def _blocks(assessment: Assessment, room: int, paint: Paint) -> Iterator[tuple[str, Within]]:
    """What stands between head and foot, by name, in the order of the page: where nothing is worse than what is not
    known, that comes before what to measure."""
    leading = [finding for finding in assessment.findings if finding.cause is None]
    kinds = {role: (heading, members) for heading, role in KINDS
             if (members := worst_first([each for each in leading if finding_level(each) == role], assessment.plan))}
    unknown = "unknown", partial(unknown_lines, assessment, room, paint)
    first = is_unknown_first(assessment)
    for _, role in KINDS:
        if role == "measure":
            yield "enter first", partial(say_first_page, assessment, room, paint, "danger" in kinds)
            if first:
                yield unknown
        if role in kinds:
            heading, members = kinds[role]
            yield role, _kind(assessment, heading, role, members, room, paint, role == next(iter(kinds)))
    yield "not said", partial(not_said_page, assessment, room, paint)
    yield "car", partial(car_lines, assessment, room, paint)
    if not first:
        yield unknown


def is_unknown_first(assessment: Assessment) -> bool:
    """Whether nothing is worse than what is not known of what is in scope."""
    return not assessment.count("danger") and not assessment.count("warning") and "unknown" in _verdicts(assessment) \
        and (bool(assessment.unknown_feeds) or any(view.circuit.out_of_scope is None for view in not_known(assessment)))


def not_known(assessment: Assessment) -> list[JudgedCircuit]:
    """Circuits that are not known for another reason than what is not said, where they stand already."""
    return [view for view in assessment.circuits if view.verdict == "unknown" and view.reasons]


def is_not_ready(assessment: Assessment) -> bool:
    """Whether a circuit is not known, or safety rests on an answer that is not said."""
    return "unknown" in _verdicts(assessment) or any(each.safety for each in assessment.not_said)


def _verdicts(assessment: Assessment) -> list[str]:
    """Those of the circuits. Listed without a feed, nothing of one is this plan's: it asks for nothing that could ever
    be entered."""
    return [view.verdict for view in assessment.circuits
            if view.circuit.out_of_scope is None or view.circuit.feed is not None]


def verdict(assessment: Assessment) -> tuple[VerdictRole, str]:
    """Role to paint in, and one line: how many dangers and faults, and whether to power up."""
    dangers, warnings = assessment.count("danger"), assessment.count("warning")
    verdicts = _verdicts(assessment)
    apart = len(assessment.plan.circuit) - len(verdicts)
    unknown, doubtful = verdicts.count("unknown"), assessment.measures
    counts = f"{writing.how_many(dangers, 'danger')}, {writing.how_many(warnings, 'warning')}, " \
             f"{writing.how_many(assessment.count('advice'), 'advice', 'advice')}, " \
             f"{assessment.measures} to measure first" \
             f"{f'; {apart} out of scope' if apart else ''}"
    if dangers:
        return "danger", f"DO NOT POWER UP: {counts}."
    asked = sum(each.safety for each in assessment.not_said)
    if not verdicts and not warnings and not asked and not doubtful:
        return "advice", f"Nothing to check: the plan has no {'other ' if apart else ''}circuits yet" \
                         f"{f'; {apart} out of scope' if apart else ''}."
    if unknown:
        return "warning", f"NOT READY: {writing.how_many(unknown, 'circuit')} of {len(verdicts)} not known; {counts}."
    if asked:
        return "warning", f"NOT READY: {'' if verdicts else 'no circuits yet, and '}" \
                          f"{writing.how_many(asked, 'answer')} that safety rests on not said; {counts}."
    if warnings:
        return "warning", f"Something will not work or will be damaged: {counts}."
    if say_first(assessment):
        return "measure", f"No fault found as entered, but the car as a whole is not judged: {counts}."
    if doubtful:
        return "measure", f"No fault found as entered, but not everything is certain: {counts}."
    return "ok", f"No fault found: {counts}. Measure before you trust it."


def _kind(assessment: Assessment, heading: str, role: str, members: list[Finding], room: int, paint: Paint,
          is_worst: bool) -> Within:
    """Faults of one kind, each cause one entry, the worst first. The worst kind on the page is listed in any case, one
    entry at least; of another there is no room for the parts are named, or it is counted."""
    found = told_once(assessment, members)
    subjects = list(dict.fromkeys(short_name(each, assessment) for each in members))
    brief = f"{heading.partition(':')[0]} ({len(members)}): "
    short = [["", paint(first, role), *rest] for first, *rest in (
        paragraph(f"{brief}{names}--full", room, "", INDENT) for names in (f"{_named(subjects, 4)}: ", ""))]

    def within(most: int) -> list[str]:
        head = heading_lines(f"{heading} ({len(members)})", room, paint, role)
        whole = [*head, *_listed(assessment, found, room, most - len(head))]
        return whole if is_worst else first_within([whole, *short], most)

    return within


def told_once(assessment: Assessment, members: Iterable[Finding]) -> list[tuple[Finding, int]]:
    """Findings with how many times each is found: what reads the same stands once."""
    same: dict[tuple[str, ...], list[Finding]] = {}
    for each in members:
        same.setdefault((*each.identity, *entry(assessment, each, WIDTH)), []).append(each)
    return [(each, len(others) + 1) for each, *others in same.values()]


def _listed(assessment: Assessment, found: list[tuple[Finding, int]], room: int, most: int) -> list[str]:
    """Entries, each with how many times it is found, in at most about `most` lines, one at least, and how many more
    there are; those alike together where not all have room."""
    whole = [line for finding, times in found for line in entry(assessment, finding, room, times)]
    if len(whole) <= most:
        return whole
    times_of = {id(finding): times for finding, times in found}
    groups = alike(finding for finding, _ in found)
    lines: list[str] = []
    for place, (finding, *others) in enumerate(groups):
        own = entry(assessment, finding, room, times_of[id(finding)],
                    others_words(assessment, finding, others, times_of))
        if place and len(lines) + len(own) + (place + 1 < len(groups)) > most:
            rest = sum(times_of[id(each)] for group in groups[place:] for each in group)
            return [*lines, f"{INDENT}… and {rest} more: --full"]
        lines += own
    return lines


def others_words(assessment: Assessment, finding: Finding, others: Sequence[Finding],
                 times_of: Mapping[int, int]) -> str:
    """What else has the same fault as a finding, the first by name, the rest counted with how many times each is found;
    that each has its own fix where what the finding says to do is not what all of them say. Empty without others."""
    if not others:
        return ""
    fixes = {_without_its_name(assessment, each) for each in (finding, *others)}
    named = [f"{short_name(each, assessment)}{times_words(times_of[id(each)])}" for each in others[:ALIKE]]
    rest = sum(times_of[id(each)] for each in others[ALIKE:])
    listed = "; ".join([*named, *([f"and {rest} more"] if rest else [])])
    return f"; the same fault{'' if len(fixes) == 1 else ', each with its own fix'}: {listed}"


def _without_its_name(assessment: Assessment, finding: Finding) -> str:
    """What a finding says to do, without the name of the part it is about."""
    own = in_words(assessment.plan, finding.subject_kind, finding.subject)
    return re.sub(rf"(?<!\w){re.escape(own)}(?!\w)", "it", action(finding))


def entry(assessment: Assessment, finding: Finding, room: int, times: int = 1, others: str = "") -> list[str]:
    """One finding: what, by how much, what to do, the number of its source; and what else the same check finds."""
    what, fix = headline(assessment, finding), short_names(action(finding), assessment)
    also = f" (+{len(finding.follows)})" if finding.follows else ""
    number = source_numbers(assessment)[source_words(finding.source)]
    mark = "◐ " if finding.measure else "✗ " if finding.level == "danger" else "! "
    return paragraph(f"{what}{times_words(times)}{also} → {fix} [{number}]{others}", room, INDENT + mark, INDENT * 3)


def times_words(times: int) -> str:
    """How often a line stands for the like, in brackets; empty for once."""
    return f" ({times} times)" if times > 1 else ""


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


def unknown_lines(assessment: Assessment, room: int, paint: Paint, most: int) -> list[str]:
    """What could not be judged and what was assumed, a line or more each; counted where no room is left."""
    return first_within((["", *form] for form in _unknown_forms(assessment, room, paint)), most)


def _unknown_forms(assessment: Assessment, room: int, paint: Paint) -> Iterator[list[str]]:
    reasons, silent = list(_reasons(assessment)), list(not_checked(assessment))
    assumed = list(dict.fromkeys(each.what for each in assessment.assumptions))
    counts = {"Not known": len(reasons), NOT_CHECKED: len(silent), "Assumed": len(assessment.assumptions)}
    if not any(counts.values()):
        yield ["Nothing left unknown, nothing assumed."]
        return
    names, unchecked = (list(dict.fromkeys(name for name, _ in each)) for each in (reasons, silent))
    # Each circuit and feed with the reason, those that share one in one entry; where there is no room for it, by name.
    with_reasons = list(by_reason(reasons))
    for unknown, few in ((with_reasons, 3), (with_reasons, 1), (names, 1)):
        words = (_named(unknown, 4), f"{_named(unchecked, few)}: --full", _named(assumed, few))
        lines = [line for (what, count), told in zip(counts.items(), words, strict=True) if count
                 for line in paragraph(f"{what} ({count}): {told}", room, "", INDENT)]
        yield [paint(line, "heading") if number == 0 else line for number, line in enumerate(lines)]
    yield paragraph("; ".join(f"{what} ({count})" for what, count in counts.items() if count) + ": --full", room, "",
                    INDENT)


def _reasons(assessment: Assessment) -> Iterator[tuple[str, str]]:
    """Each circuit that is not known and each feed of which a limit is not, and why."""
    for view in not_known(assessment):
        yield short_part(assessment, "circuit", view.id), short_names(first_few(view.reasons, 1, shown), assessment)
    for feed, words in assessment.unknown_feeds.items():
        yield short_part(assessment, "feed", feed), short_names(shown("; ".join(words)), assessment)


def _named(names: list[str], most: int) -> str:
    return first_few(names, most, shown, "; ", "; and ")
