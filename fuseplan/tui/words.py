"""Text for the screens that is never taken for markup or escape codes, and the signs beside every verdict."""

from __future__ import annotations

from rich.cells import cell_len
from textual.content import Content

from fuseplan.checks.judged_circuit import JudgedCircuit
from fuseplan.checks.rule import Finding
from fuseplan.papers.columns import VERDICT_WORDS
from fuseplan.papers.findings import check_words, source_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import shortened as cut_in_the_middle
from fuseplan.quantities import writing
from fuseplan.workspace.findings import level_words

LEVEL_STYLES = {"danger": "bold $text-error", "warning": "bold $text-warning", "advice": "bold $text-primary"}
MEASURE_STYLE = "bold $text-accent"
VERDICT_STYLES = {"ok": "$text-success", "measure": "bold $text-accent", "fails": "bold $text-error",
                  "unknown": "bold $text-warning"}
CAUTION_STYLE = "bold $text-warning"
QUIET_STYLE = "$foreground 70%"


def line(*parts: str | tuple[str, str]) -> Content:
    """Pieces of text, some of them (text, style), as one piece; whatever a file brought along is only shown."""
    return Content.assemble(*(shown(part) if isinstance(part, str) else (shown(part[0]), part[1]) for part in parts))


def shortened(name: str, width: int) -> str:
    """A name in so many columns of the screen, cut in the middle."""
    return cut_in_the_middle(name, width, cell_len)


def lines(*contents: Content) -> Content:
    """Several lines below one another."""
    return Content("\n").join(contents)


def verdict(view: JudgedCircuit) -> tuple[str, str]:
    """Sign, word and style of a circuit's verdict."""
    return VERDICT_WORDS[view.verdict], VERDICT_STYLES[view.verdict]


def finding_style(finding: Finding) -> str:
    """Style of a finding's level."""
    return MEASURE_STYLE if finding.measure else LEVEL_STYLES[finding.level]


def finding_content(finding: Finding, fix: str, subject: str = "", also: bool = False) -> Content:
    """One finding: what, fix, caution, source; `also` where it follows from the one before."""
    about = f" {subject}," if subject else ""
    return lines(
        line("also " if also else "", (level_words(finding), finding_style(finding)),
             f"{about} {check_words(finding.check, finding.subject_kind)}: ", finding.message),
        line(("  Fix: ", "bold"), fix),
        line(("  ⚠ ", CAUTION_STYLE), finding.caution),
        line((f"  Source: {source_words(finding.source)} [{finding.limits}]", QUIET_STYLE)),
    )


def unanswered(missing: tuple[str, ...], unknown: tuple[str, ...] = ()) -> Content | None:
    """What is missing of a part, else what is not known of it; None where all is known."""
    if missing:
        return line(("? Not checked yet. ", "bold $text-warning"), f"Missing: {', '.join(missing)}")
    if unknown:
        return line(("? Not known: ", "bold $text-warning"), "; ".join(unknown))
    return None


def circuit_line(view: JudgedCircuit) -> Content:
    """A circuit's figures in one line: verdict, current, drop, relay."""
    parts: list[str | tuple[str, str]] = [(view.name, "bold"), "  ", verdict(view)]
    if view.load_a is not None:
        parts.append(f"   load {writing.burden(view.load_a, 'A')}")
    drop = view.drop
    if drop is not None:
        parts.append(f"   drop {writing.drop(drop.judged_v, drop.limit_v)}")
    if view.missing:
        parts.append((f"   missing: {', '.join(view.missing)}", QUIET_STYLE))
    elif view.why_unknown:
        parts.append((f"   not known: {'; '.join(view.why_unknown)}", QUIET_STYLE))
    return line(*parts)
