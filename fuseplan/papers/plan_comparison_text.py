"""Two plans compared, as text: what changed where, and what that did to verdicts and findings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from fuseplan.papers.columns import VERDICT_WORDS
from fuseplan.papers.findings import LEVEL_WORDS, finding_level, subject_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.plan.part_names import title_of
from fuseplan.plan.references import ENTRIES
from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.advice.plan_comparison import PlanChange, PlanComparison
    from fuseplan.checks.assessment import Assessment
    from fuseplan.checks.rule import Finding
    from fuseplan.plan.model import Plan

SAME = "The two plans say the same, and so do their verdicts."
CAUTION = ("A change that removes a finding is not a test: measure the car after every change, and keep the old "
           "papers until the new ones agree with it.")


def subject_of(change: PlanChange) -> str:
    """The part of the plan a change belongs to: ``circuit fuel_pump``, ``battery``."""
    path = change.path
    if len(path) > 1 and isinstance(path[1], int):
        return f"{_words(path[0])} {path[1] + 1}"
    return " ".join(_words(step) if number == 0 else str(step) for number, step in enumerate(path[:2])
                    ) if len(path) > 1 and path[0] in ENTRIES else _words(path[0])


def subject_name(change: PlanChange, plan: Plan) -> str:
    """The same by its name, where the plan gives it one: ``Fuel pump (circuit fuel_pump)``."""
    subject = subject_of(change)
    kind, name, *_ = *change.path, ""
    if kind not in ENTRIES or name == "":
        return subject
    title = title_of(plan, str(kind), str(name))
    return subject if title == name else f"{title} ({subject})"


def _words(step: str | int) -> str:
    return str(step).replace("_", " ")


def part_of(change: PlanChange) -> str:
    """Which of its keys: ``wire 2 size``; empty for the part as a whole."""
    rest = change.path[2:] if change.path[0] in ENTRIES or (
        len(change.path) > 1 and isinstance(change.path[1], int)) else change.path[1:]
    return " ".join(str(step + 1) if isinstance(step, int) else _words(step) for step in rest)


def change_words(change: PlanChange) -> str:
    """One change in words: ``fuse rating: 10 A → 15 A``, ``wire 2 added: size 2.5 mm²``."""
    part, before, after = part_of(change), *(
        None if each is None else writing.as_printed(each) for each in (change.before, change.after))
    if change.kind == "renamed":
        return f"renamed: {change.before} → {change.after}"
    if change.kind == "changed":
        return f"{part}: {before} → {after}"
    told = after if change.kind == "added" else before
    return f"{part} {change.kind}".strip() + (f": {told}" if told else "")


def comparison_text(found: PlanComparison, names: Sequence[str], room: int = 100, paint: Paint = unpainted) -> str:
    """The whole comparison; `names` are those of the two files."""
    lines = [paint(line, "heading") for line in paragraph(
        f"{shown(names[0])} → {shown(names[1])} · limits: {_limits(found)}", room)]
    if found.same:
        return "\n".join([*lines, "", SAME]) + "\n"
    lines += ["", paint(f"Changed in the plan ({len(found.changes)})", "heading")]
    def named(change: PlanChange) -> str:
        return subject_name(change, (found.before if change.kind == "removed" else found.after).plan)

    for subject, members in groupby(found.changes, named):
        lines += _under(subject, map(change_words, members), room)
    if not found.changes:
        lines += ["  nothing"]
    lines += ["", paint(f"Verdicts that changed ({len(found.verdicts)})", "heading")]
    for each in found.verdicts:
        name = found.after.plan.circuit[each.circuit].name or each.circuit
        lines += paragraph(f"{shown(name)}: {VERDICT_WORDS[each.before]} → {VERDICT_WORDS[each.after]}", room, "  ")
    for heading, findings, assessment in (("New findings", found.appeared, found.after),
                                          ("Findings that are gone", found.gone, found.before)):
        lines += ["", paint(f"{heading} ({len(findings)})", "heading"), *_findings(findings, assessment, room)]
    return "\n".join([*lines, "", *paragraph(CAUTION, room, "⚠ ")]) + "\n"


def _limits(found: PlanComparison) -> str:
    names = [each.limit_set.name for each in (found.before, found.after)]
    return names[0] if names[0] == names[1] else " → ".join(names)


def _under(subject: str, told: Iterable[str], room: int) -> list[str]:
    lines = paragraph(shown(subject), room, "  ")
    for each in told:
        lines += paragraph(shown(each), room, "    ")
    return lines


def _findings(findings: Iterable[Finding], assessment: Assessment, room: int) -> list[str]:
    lines = []
    for each in findings:
        lines += paragraph(f"{LEVEL_WORDS[finding_level(each)]} {each.check} · {subject_words(each, assessment)}: "
                           f"{shown(each.message)}", room, "  ", "    ")
    return lines
