"""The summary: what to do first, every circuit with its verdict, every finding with its fix and its source."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.checks.rule import LEVELS, Finding
from fuseplan.grouping import grouped
from fuseplan.papers.assumption_text import ASSUMED, assumptions_alike
from fuseplan.papers.columns import BY_KEY, PROPOSED, VERDICT_WORDS
from fuseplan.papers.findings import (
    LEVEL_WORDS,
    check_words,
    figure_words,
    finding_level,
    fix_words,
    source_words,
    subject_words,
)
from fuseplan.papers.paper import MEMORY_MARK, Block, Cell, Marked, Sheet, Table, TableColumn, Wishes, Words
from fuseplan.papers.sources import sources_used
from fuseplan.papers.summary import verdict
from fuseplan.quantities import writing

_CIRCUITS = (
    TableColumn("circuit", "Circuit"), TableColumn("feed", "Feed"),
    TableColumn("load_current_a", "Load current", "A", True, "burden"),
    TableColumn("fuse_a", "Fuse", "fuse A", True),
    TableColumn("smallest_fuse_a", "Smallest fuse", "fuse A", True, "burden"),
    TableColumn("largest_fuse_a", "Largest fuse", "fuse A", True, "limit"),
    TableColumn("wire", "Wire"),
    TableColumn("drop_v", "Drop", "V", True, "burden"), TableColumn("drop_limit_v", "Limit", "V", True, "limit"),
    TableColumn("relay", "Relay"), TableColumn("verdict", "Verdict"))
_FINDINGS = (
    TableColumn("level", "Level"), TableColumn("subject", "Where"), TableColumn("check", "Check"),
    TableColumn("message", "What is wrong"), TableColumn("figures", "Figure"), TableColumn("fix", "Fix"),
    TableColumn("source", "Source"))
_UNKNOWN = (TableColumn("circuit", "Circuit"), TableColumn("missing", "Missing or not known"))
_ASSUMED = (TableColumn("assumed", "Assumed"), TableColumn("parts", "Of"), TableColumn("source", "Source"))
_SOURCES = (TableColumn("what", "For"), TableColumn("source", "Document"))


def _fuse(view: JudgedCircuit) -> Cell:
    if view.fuse is None:
        return "unfused" if view.is_unfused else writing.NONE
    if view.fuse.rating_a is None:
        return None
    return view.fuse.rating_a if view.fuse.entered else Marked(view.fuse.rating_a, PROPOSED)


def _circuit(view: JudgedCircuit) -> tuple[Cell, ...]:
    fuse, drop = view.fuse, view.drop
    low, high = (writing.NONE, writing.NONE) if fuse is None else (fuse.range_a.low, fuse.range_a.high)
    return (view.name, BY_KEY["feed"].cell(view), view.load_a, _fuse(view), low, high, BY_KEY["wire"].cell(view),
            None if drop is None else drop.judged_v,
            None if drop is None else writing.NONE if drop.limit_v is None else drop.limit_v,
            BY_KEY["relay"].cell(view), VERDICT_WORDS[view.verdict])


def _finding(finding: Finding, assessment: Assessment) -> tuple[Cell, ...]:
    source = source_words(finding.source)
    mark = f" {MEMORY_MARK}" if "from memory" in source else ""
    return (LEVEL_WORDS[finding_level(finding)], subject_words(finding, assessment),
            check_words(finding.check, finding.subject_kind), finding.message, figure_words(finding),
            fix_words(finding, assessment), f"{source} [{finding.limits}]{mark}")


def blocks(assessment: Assessment, wishes: Wishes) -> Iterator[Block]:
    """What to do first, then the tables it rests on."""
    role, words = verdict(assessment)
    yield Words(words, "danger" if role == "danger" else "plain")
    if assessment.circuits:
        yield Table("circuits", _CIRCUITS, tuple(map(_circuit, assessment.circuits)), "Circuits")
    levels = (*LEVELS, "measure")
    found = sorted(assessment.findings, key=lambda each: levels.index(finding_level(each)))
    if found:
        yield Table("findings", _FINDINGS, tuple(_finding(each, assessment) for each in found), "Findings, the worst "
                    "first", group="level")
        checks = grouped((each.caution, check_words(each.check, each.subject_kind)) for each in found if each.caution)
        for caution, names in checks.items():
            yield Words(f"{', '.join(dict.fromkeys(names))}: {caution}", "caution")
    unknown = [view for view in assessment.circuits if view.verdict == "unknown"]
    if unknown:
        yield Table("unknown", _UNKNOWN, tuple(
            (view.name, view.circuit.out_of_scope.replace("_", " ") if view.circuit.out_of_scope is not None else
             "; ".join((*view.missing, *view.why_unknown))) for view in unknown), "Not known, and why")
    if assessment.assumptions:
        alike = assumptions_alike(assessment.assumptions, assessment.plan)
        yield Table("assumed", _ASSUMED, tuple((words, "; ".join(parts), source)
                                               for (words, source), parts in alike.items()), ASSUMED)
    yield Table("sources", _SOURCES, tuple(sources_used(assessment)), "Checked against")


SHEET = Sheet("summary", "Summary", 10, "verdict, circuits, findings with their fixes and sources, what is not known",
              blocks, landscape=True)
