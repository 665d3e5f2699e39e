"""One finding in words: what, where, by whose limit, the cure, the caution."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.causes import is_of_a_feeds_load, remedied_at, thicker_together
from fuseplan.checks.not_said import NotSaid
from fuseplan.checks.rule import Finding, Level, Unjudged
from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import paragraph
from fuseplan.papers.short_names import short_part
from fuseplan.plan.part_names import given_name
from fuseplan.plan.references import part_kind_words
from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.advice.proposal import Collision

FROM_MEMORY = "from memory: check the datasheet"
LEVEL_WORDS = {"danger": "DANGER", "warning": "WARNING", "advice": "ADVICE", "measure": "MEASURE FIRST"}
"""A level, or "measure", as a heading."""


def finding_level(finding: Finding) -> Literal[Level, "measure"]:
    """The heading a finding stands under: its level, or "measure"."""
    return "measure" if finding.measure else finding.level


def check_words(check: str, kind: str) -> str:
    """What a check is called beside the name of the part it is about: ``fuse exceeds wire``. Beside the name of the
    machine that charges it is not called an alternator again: ``dynamo: too small``."""
    return check.removeprefix("alternator-" if kind == "alternator" else "").replace("-", " ")


def subject_words(finding: Finding | NotSaid | Collision, assessment: Assessment) -> str:
    """What a finding is about: ``Fuel pump (circuit fuel_pump)``, ``alternator``."""
    kind = part_kind_words(finding.subject_kind)
    name = given_name(assessment.plan, finding.subject_kind, finding.subject)
    if finding.subject in (finding.subject_kind, ""):
        return name or kind
    where = f"{kind} {finding.subject}"
    return shown(f"{name} ({where})" if name else where)


def short_name(finding: Finding | NotSaid | Unjudged, assessment: Assessment) -> str:
    """The same in few columns: ``Fuel pump``, ``alternator``."""
    return short_part(assessment, *finding.owner)


def source_words(source: str) -> str:
    """A source; where it rests on memory, the words that say what to do about it."""
    if "from memory" in source and FROM_MEMORY not in source:
        return shown(source.replace("from memory", FROM_MEMORY, 1))
    return shown(source)


@lru_cache(maxsize=1)
def source_numbers(assessment: Assessment) -> dict[str, int]:
    """The sources the findings rest on, numbered from 1 in the order in which the findings stand."""
    found: dict[str, int] = {}
    for finding in assessment.findings:
        found.setdefault(source_words(finding.source), len(found) + 1)
    return found


def figure_words(finding: Finding) -> str:
    """``57.02 A against a limit of 40 A``; empty where the check has no figure."""
    if finding.figure is None:
        return ""
    if finding.limit is None:
        return writing.written(finding.figure, finding.unit, finding.figure_side)
    figure, limit = writing.judged(finding.figure, finding.limit, finding.unit, finding.figure_side)
    return f"{figure} against a limit of {limit}"


def fix_words(finding: Finding, assessment: Assessment) -> str:
    """Its fix; of one that follows from another which is about the size of the same wire, that of the other: its own
    may be needless with it."""
    cause = None if finding.cause is None else assessment.findings[finding.cause]
    key = remedied_at(finding)
    if cause is None or cause.measure or not key.endswith(".size") \
            or key not in (remedied_at(cause), *thicker_together(cause)) \
            or (cause.unit == "V" and key not in dict(cause.values)):
        return shown(finding.fix)
    return f"first what {cause.check} asks for at {subject_words(cause, assessment)}, then check again"


def fixes_words(found: Iterable[Finding], assessment: Assessment) -> tuple[str, ...]:
    """The fixes of several."""
    return tuple(fix_words(each, assessment) for each in found)


def finding_lines(finding: Finding, assessment: Assessment, room: int, caution: bool = True, also: str = ""
                  ) -> list[str]:
    """A finding as lines of text; its numbered source, its fix, what it follows from and its caution beside it.

    With `caution` false the caution is left out: it was printed before. `also` comes before all, of one that stands
    under its cause.
    """
    lines = paragraph(f"{also}{subject_words(finding, assessment)}: {finding.check}", room, "  • ", "    ")
    lines += paragraph(shown(finding.message), room, "    ")
    figure = figure_words(finding)
    if figure:
        lines += paragraph(figure, room, "    Figure    ")
    source = source_words(finding.source)
    number = source_numbers(assessment).get(source)
    cited = source if number is None else f"[{number}] {source}"
    lines += paragraph(f"{cited} [{finding.limits}]", room, "    Source    ")
    fix = fix_words(finding, assessment)
    if fix:
        lines += paragraph(fix, room, "    Fix       ")
    if finding.cause is not None and fix == shown(finding.fix):
        cause = assessment.findings[finding.cause]
        change = "less load on the feed" if is_of_a_feeds_load(finding) and is_of_a_feeds_load(cause) else "its fix"
        words = f"that of {cause.check}, {subject_words(cause, assessment)}: {change} removes both"
        lines += paragraph(words, room, "    Cause     ")
    if finding.caution and caution:
        lines += paragraph(shown(finding.caution), room, "    ⚠ Caution ")
    return lines
