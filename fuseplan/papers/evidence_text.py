"""What to measure first, and what many samples of the currents say, as text."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fuseplan.papers.findings import check_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.plan.part_names import title_of
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few

if TYPE_CHECKING:
    from fuseplan.advice.evidence import Reading, Sample
    from fuseplan.advice.sample_verdicts import Judged
    from fuseplan.checks.assessment import Assessment
    from fuseplan.plan.model import Plan

INDENT = "  "
NAMED = 4
CAUTION = ("Measuring on a live car: take off rings and watches, keep a fuse in every line you open, keep hands and "
           "leads clear of fans and belts.")


def measure_lines(readings: Sequence[Reading], plan: Plan, room: int = 100, paint: Paint = unpainted) -> list[str]:
    """The readings that can change a verdict, those that can most first; empty where none can."""
    if not readings:
        return []
    lines = [paint(f"Measure first ({len(readings)}): how little these currents are known can change a verdict",
                   "heading")]
    for number, each in enumerate(readings, 1):
        lines += reading_lines(each, plan, number, room)
    return [*lines, *paragraph(CAUTION, room, "⚠ ", INDENT)]


def left_out_words(count: int) -> str:
    """That some loads were not looked at; empty where all were."""
    if not count:
        return ""
    loads = writing.counted(count, "load with the least uncertain current was",
                            "loads with the least uncertain currents were")
    return f"In a plan of this size the {loads} not looked at."


def reading_lines(each: Reading, plan: Plan, number: int, room: int = 100) -> list[str]:
    """One reading: what it may show, which verdicts it can flip, with what, where and when to measure."""
    alone = "flips it alone" if each.reach >= 1 else f"{writing.limit(each.reach, 'share')} of the way"
    named = first_few(each.flips, NAMED, lambda judged: _judged_words(judged, plan, each.circuit), "; ")
    circuit = shown(title_of(plan, "circuit", each.circuit))
    return [
        *paragraph(f"{shown(each.name)} of '{circuit}' ({each.evidence}: {writing.burden(each.low_a, 'A')} to "
                   f"{writing.burden(each.high_a, 'A')}), {alone}: {named}", room, f"{INDENT}{number}. ", INDENT * 3),
        *paragraph(f"{each.instrument}; {each.place}; in '{shown(each.condition_words)}'.", room, INDENT * 3),
    ]


def _judged_words(judged: Judged, plan: Plan, circuit: str | None = None) -> str:
    """A check and what it is about, which need not be said of the circuit one is speaking of."""
    check = check_words(judged.check, judged.kind)
    if (judged.kind, judged.subject) == ("circuit", circuit):
        return check
    if judged.kind == "alternator":
        return f"{title_of(plan, judged.kind, judged.subject)}: {check}"
    return f"{check} of '{shown(title_of(plan, judged.kind, judged.subject))}'"


def sample_lines(found: Sample, assessment: Assessment, room: int = 100, paint: Paint = unpainted) -> list[str]:
    """The share of samples in which each check fails and in which the battery discharges with the engine running."""
    unfinished = "" if found.finished else ", stopped early"
    lines = [paint(f"{found.count} samples of the currents (seed {found.seed}{unfinished})", "heading")]
    lines += paragraph("Each current drawn anywhere between its bounds, all values alike, each for itself.", room,
                       INDENT)
    for each in found.checks:
        lines += paragraph(f"{share_words(each.share):>7}  {_judged_words(each.judged, assessment.plan)}", room,
                           INDENT, INDENT * 6)
    if not found.checks:
        lines += paragraph("No check on a current fails in any of them.", room, INDENT)
    for condition, share in found.short.items():
        name = title_of(assessment.plan, "condition", condition)
        lines += paragraph(f"{share_words(share):>7}  battery discharges in '{shown(name)}'", room, INDENT, INDENT * 6)
    return lines


def share_words(share: float) -> str:
    """A share in per cent; what is not quite none or all does not look so."""
    if 0 < share < 0.001:
        return "< 0.1 %"
    if 0.999 < share < 1:
        return "> 99.9 %"
    return writing.burden(share, "fine share")
