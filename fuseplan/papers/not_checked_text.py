"""Checks that could not be made and that no verdict tells, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fuseplan.checks.assessment import Assessment
from fuseplan.grouping import grouped
from fuseplan.papers.findings import short_name
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.quantities.listing import first_few

NOT_CHECKED = "Not checked"


def not_checked(assessment: Assessment) -> Iterator[tuple[str, str]]:
    """Each part with such a check, by name, and what is not known."""
    for each in assessment.unchecked:
        yield short_name(each, assessment), shown(each.words)


def by_reason(listed: Iterable[tuple[str, str]]) -> Iterator[str]:
    """Names, each with a reason: those that share one reason in one entry."""
    for why, names in grouped((why, name) for name, why in listed).items():
        yield f"{first_few(names, 1)} ({why})"


def not_checked_lines(listed: Iterable[tuple[str, str]], room: int, paint: Paint = unpainted) -> list[str]:
    """The list under its heading, one entry a reason; nothing where it is empty."""
    lines = [line for words in by_reason(listed) for line in paragraph(words, room, "  ", "    ")]
    return [paint(NOT_CHECKED, "heading"), *lines] if lines else []
