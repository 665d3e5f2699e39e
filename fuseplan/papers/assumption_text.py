"""What was assumed where the plan is silent, as plain text: alike assumptions in one line."""

from __future__ import annotations

from collections.abc import Iterable

from fuseplan.checks.assumed_supply import Assumption
from fuseplan.grouping import grouped
from fuseplan.papers.findings import source_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.plan.model import Plan
from fuseplan.plan.part_names import owner_title, part_name
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few

NAMED = 8
"""So many of the parts are named in one line."""


ASSUMED = "Assumed where the plan states nothing"


def value_words(each: Assumption) -> str:
    """The value with its unit, a resistance rounded up: ``3.0 mΩ``, ``10 times``, ``13.5 V``."""
    if each.unit == "ohm":
        return writing.burden(each.value, each.unit)
    return writing.measured(each.value, each.unit)


def assumption_words(each: Assumption) -> str:
    """One assumption without its part: what, value, and to which side it errs."""
    return f"{each.what}, {value_words(each)}; errs {each.errs.value}"


def assumptions_alike(found: Iterable[Assumption], plan: Plan) -> dict[tuple[str, str], list[str]]:
    """Assumptions that are one but for their part: in words and with its source, and the names of the parts, each once.
    What there is only one of is called by its kind."""
    alike = grouped(((assumption_words(each), source_words(each.source)),
                     part_name(plan, each.owner) if each.subject == each.subject_kind else
                     owner_title(plan, (each.subject_kind, each.subject))) for each in found)
    return {words: list(dict.fromkeys(parts)) for words, parts in alike.items()}


def assumption_lines(found: Iterable[Assumption], plan: Plan, room: int, paint: Paint = unpainted) -> list[str]:
    """What was assumed and of which parts, each with its source."""
    lines = []
    for (words, source), parts in assumptions_alike(found, plan).items():
        lines += paragraph(f"{shown(words)}: {shown(first_few(parts, NAMED, between='; '))} ({source})", room,
                           "  • ", "    ")
    return [paint(ASSUMED, "heading"), *lines] if lines else []
