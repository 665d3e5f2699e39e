"""An assessment as plain text: what ``fuseplan check`` prints."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.causes import together
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.checks.rule import LEVELS, Finding
from fuseplan.papers.assumption_text import assumption_lines
from fuseplan.papers.cautions import notice, stop
from fuseplan.papers.columns import COLUMNS, PROPOSED, PROPOSED_NOTE
from fuseplan.papers.device_columns import DEVICE_COLUMNS, device_rows
from fuseplan.papers.findings import LEVEL_WORDS, finding_level, finding_lines
from fuseplan.papers.harmless import shown
from fuseplan.papers.layout import left_out_lines, section, table
from fuseplan.papers.not_checked_text import not_checked, not_checked_lines
from fuseplan.papers.not_said_text import not_said_lines
from fuseplan.papers.paragraphs import Paint, joined_parts, paragraph, unpainted
from fuseplan.papers.sources import source_lines
from fuseplan.papers.summary import verdict
from fuseplan.papers.supply_columns import CONDITION_COLUMNS, EARTH_COLUMNS, FEED_COLUMNS
from fuseplan.quantities import writing
from fuseplan.results.condition import worst_running

INDENT = "  "
ALSO = "--csv and --json too"


def report(assessment: Assessment, room: int = 100, paint: Paint = unpainted) -> str:
    """The whole assessment in `room` columns: circuits, balance, feeds, earths, findings, sources, summary, safety
    notice."""
    parts = [
        [*title_lines(assessment, room, paint), *verdict_lines(assessment, room, paint)],
        _circuits(assessment, room, paint),
        unknown_lines(assessment.circuits, room, paint),
        not_checked_lines(not_checked(assessment), room, paint),
        not_said_lines(assessment.not_said, assessment, room, paint),
        section("Balance at the battery, by condition", assessment.conditions, CONDITION_COLUMNS, room, paint, ALSO)
        + paragraph("Hot output: what the alternator can deliver, hot, at that engine speed. Balance: hot output less "
                    "demand. Battery: its charging (+) or discharging (−) current.", room, INDENT),
        _feeds(assessment, room, paint),
        section("Earth points", assessment.earths, EARTH_COLUMNS, room, paint, ALSO),
        _devices(assessment, room, paint),
        findings_lines(assessment.findings, assessment, room, paint),
        assumption_lines(assessment.assumptions, assessment.plan, room, paint),
        source_lines(assessment, room, paint),
        [paint(line, "heading") for line in paragraph(summary(assessment), room)],
        notice_lines(assessment, room),
    ]
    return joined_parts(parts)


def title_lines(assessment: Assessment, room: int, paint: Paint = unpainted) -> list[str]:
    """Plan, limits, system voltage; the running condition with the worst balance below."""
    vehicle = assessment.plan.vehicle
    name = shown(vehicle.name) if vehicle.name else "Plan without a name"
    title = f"{name} · {assessment.limit_set.title} [{assessment.limit_set.name}] · {shown(vehicle.system)}"
    lines = [paint(line, "heading") for line in paragraph(title, room)]
    worst = worst_running(assessment.conditions)
    if worst is not None:
        told = writing.balance(worst.balance_a, "A") if assessment.results.charging_known else \
            f"{writing.UNKNOWN} (the alternator's output is not known)"
        lines += paragraph(f"Worst while running: {shown(worst.name)}, balance {told}", room)
    return lines


def verdict_lines(assessment: Assessment, room: int, paint: Paint = unpainted, of: str = "") -> list[str]:
    """Whether to power up, as the first page says it, after what it is about."""
    role, words = verdict(assessment)
    return [paint(line, role) for line in paragraph(f"{of}{words}", room)]


def _circuits(assessment: Assessment, room: int, paint: Paint) -> list[str]:
    rows = list(assessment.circuits)
    if not rows:
        return ["The plan holds no circuits yet."]
    lines, left_out = table(rows, COLUMNS, room, paint, INDENT)
    return [paint("Circuits", "heading"), *lines, *_star(lines[1:]), *left_out_lines(left_out, ALSO, room)]


def _star(lines: Sequence[str]) -> list[str]:
    """What the star in a table's rows means; nothing where there is none."""
    return [f"{INDENT}{PROPOSED_NOTE}"] if any(PROPOSED in line for line in lines) else []


def _feeds(assessment: Assessment, room: int, paint: Paint) -> list[str]:
    lines = section("Feeds", assessment.feeds, FEED_COLUMNS, room, paint, ALSO)
    return lines + _star(lines)


def _devices(assessment: Assessment, room: int, paint: Paint) -> list[str]:
    lines = section("Protective devices in a short circuit", device_rows(assessment), DEVICE_COLUMNS, room, paint, ALSO)
    return lines and lines + _star(lines) + paragraph(
        "Prospective: the largest short-circuit current, for the breaking capacity. Far end: the smallest at the end "
        "of a wire it protects, for the clearing time. `fuseplan protect` draws a circuit's picture.", room, INDENT)


def unknown_lines(views: Iterable[JudgedCircuit], room: int, paint: Paint = unpainted) -> list[str]:
    """The circuits without a verdict, and what each lacks; what several rest on stands once."""
    lines: list[str] = []
    resting: dict[str, list[str]] = {}
    for view in views:
        if view.circuit.out_of_scope is not None:
            lines += paragraph(f"{shown(view.name)}: no figures for this kind of circuit "
                               f"({view.circuit.out_of_scope.replace('_', ' ')}). {stop()}", room, INDENT, INDENT * 2)
        elif view.missing:
            lines += paragraph(f"{shown(view.name)}: missing {shown('; '.join(view.missing))}", room, INDENT,
                               INDENT * 2)
        elif view.why_unknown:
            resting.setdefault(shown("; ".join(view.why_unknown)), []).append(shown(view.name))
    for why, names in resting.items():
        lines += paragraph(f"{', '.join(names)}: not known: {why}", room, INDENT, INDENT * 2)
    return [paint("Unknown, and why", "heading"), *lines] if lines else []


def findings_lines(findings: Sequence[Finding], assessment: Assessment, room: int, paint: Paint = unpainted
                   ) -> list[str]:
    """Findings by level, the worst first, those that only ask for a measurement last; each caution once."""
    lines: list[str] = []
    cautioned: set[str] = set()
    for level in (*LEVELS, "measure"):
        found = [each for each in findings if (each.measure if level == "measure" else
                                               each.level == level and not each.measure)]
        if not found:
            continue
        if lines:
            lines.append("")
        lines.append(paint(f"{LEVEL_WORDS[level]} ({len(found)})", level))
        for finding in found:
            lines += finding_lines(finding, assessment, room, finding.caution not in cautioned)
            cautioned.add(finding.caution)
    return lines


def findings_by_cause(findings: Sequence[Finding], assessment: Assessment, room: int, paint: Paint = unpainted
                      ) -> list[str]:
    """The same with what follows from a finding right under it, whatever its own level."""
    lines: list[str] = []
    cautioned: set[str] = set()
    level, here = "", together(findings, assessment.findings)
    for finding, follows in here:
        own = finding_level(finding)
        if not follows and own != level:
            level = own
            leading = [each for each, under in here if not under and finding_level(each) == level]
            lines += [*([""] if lines else []), paint(f"{LEVEL_WORDS[level]} ({len(leading)})", level)]
        told = finding.caution not in cautioned
        cautioned.add(finding.caution)
        if follows:
            lines += [f"{INDENT}{line}" for line in finding_lines(
                finding, assessment, room - len(INDENT), told, f"also {LEVEL_WORDS[own]}, ")]
        else:
            lines += finding_lines(finding, assessment, room, told)
    return lines


def summary(assessment: Assessment) -> str:
    """One line: findings by level, verdicts by kind."""
    levels = ", ".join(f"{assessment.count(level)} {level}" for level in LEVELS)
    verdicts: list[str] = [view.verdict for view in assessment.circuits]
    kinds = ", ".join(f"{verdicts.count(verdict)} {words}" for verdict, words in (
        ("ok", "ok"), ("measure", "to measure"), ("fails", "failing"), ("unknown", "unknown")))
    return (f"Findings: {levels}, {assessment.measures} to measure first. "
            f"Circuits: {len(verdicts)}, of these {kinds}. Limits: {assessment.limit_set.name}.")


def notice_lines(assessment: Assessment, room: int) -> list[str]:
    """The general safety notice."""
    lines = paragraph(notice(), room, "⚠ ", INDENT)
    if any(circuit.out_of_scope is not None for circuit in assessment.plan.circuit.values()):
        return lines
    return [*lines, *paragraph(stop(), room, INDENT)]
