"""What was assumed where the plan is silent, as plain text: alike assumptions in one line."""

from __future__ import annotations

from collections.abc import Iterable

from fuseplan.checks.assumptions import Assumption
from fuseplan.papers.findings import source_words
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few

NAMED = 8
"""So many of the parts are named in one line."""


ASSUMED = "Assumed where the plan states nothing"


def value_words(each: Assumption) -> str:
    """The value with its unit, rounded up: ``3.0 mΩ``, ``10 times``, ``13.5 V``."""
    if each.unit == "ohm":
        return writing.burden(each.value, each.unit)
    return writing.stated(each.value, each.unit)


def assumption_words(each: Assumption) -> str:
    """One assumption without its part: what, value, and to which side it errs."""
    return f"{each.what}, {value_words(each)}; errs {each.errs.value}"


def assumption_lines(found: Iterable[Assumption], room: int, paint: Paint = unpainted) -> list[str]:
    """What was assumed and of which parts, each with its source."""
    groups: dict[tuple[str, str], dict[str, None]] = {}
    for each in found:
        groups.setdefault((assumption_words(each), each.source), {})[each.subject] = None
    lines = []
    for (words, source), parts in groups.items():
        lines += paragraph(f"{shown(words)}: {shown(first_few(list(parts), NAMED))} ({source_words(source)})", room,
                           "  • ", "    ")
    return [paint(ASSUMED, "heading"), *lines] if lines else []
