"""The papers that can be asked for, and what stands on every page of them."""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, TypeVar, cast

from fuseplan.errors import PaperError
from fuseplan.papers.cautions import short_notice
from fuseplan.papers.harmless import shown
from fuseplan.papers.paper import MARKS, Drawing, Marked, Paper, Sheet, Wishes
from fuseplan.quantities import writing
from fuseplan.records import dataclass

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment

Record = TypeVar("Record")
NO_DAY = "no date in the plan"


@dataclass(frozen=True)
class Head:
    """What every page bears."""

    plan: str
    revision: str
    """Empty where the plan names none."""
    day: str
    """Day of the revision, year-month-day; empty where the plan names none. Never that of printing."""
    limits: str
    notice: str
    """Who decides in the end."""
    dangers: int
    measures: int
    """Findings that depend on a reading."""
    unknown: int
    """Circuits without a verdict."""

    @property
    def state(self) -> str:
        """Revision and day: ``revision B, 2026-11-26``."""
        return f"revision {self.revision or 'not named'}, {self.day or NO_DAY}"

    @property
    def banner(self) -> str:
        """What must be read before anything is built from a page; empty where nothing stands against it."""
        parts = []
        if self.dangers:
            parts.append(f"{self.dangers} DANGER: DO NOT POWER UP until {'it is' if self.dangers == 1 else 'they are'} "
                         "put right (fuseplan check).")
        if self.unknown:
            parts.append(f"{writing.counted(self.unknown, 'circuit')} not known to be safe: marked ?.")
        if self.measures:
            parts.append(f"{writing.counted(self.measures, 'finding')} to measure before you rely on "
                         f"{'it' if self.measures == 1 else 'them'}.")
        return " ".join(parts)


@dataclass(frozen=True)
class PaperSet:
    """Papers of one assessment under one head; no text in them holds a control character."""

    head: Head
    papers: tuple[Paper, ...]


def head_of(assessment: Assessment) -> Head:
    """What stands on every page of an assessment's papers."""
    vehicle, limits = assessment.plan.vehicle, assessment.limit_set
    return Head(
        plan=vehicle.name or "Plan without a name", revision=vehicle.revision or "", day=vehicle.revision_date or "",
        limits=f"{limits.title} [{limits.name}]", notice=short_notice(), dangers=assessment.count("danger"),
        measures=assessment.measures, unknown=sum(each.verdict == "unknown" for each in assessment.circuits))


@lru_cache(maxsize=1)
def sheets() -> Mapping[str, Sheet]:
    """The papers that can be asked for, by name, in the order of the work."""
    package = importlib.import_module("fuseplan.papers.sheets")
    modules = [importlib.import_module(f"{package.__name__}.{entry.name}")
               for entry in pkgutil.iter_modules(package.__path__)]
    found: list[Sheet] = [module.SHEET for module in modules if hasattr(module, "SHEET")]
    return {sheet.name: sheet for sheet in sorted(found, key=lambda each: (each.order, each.name))}


def papers_of(assessment: Assessment, names: Sequence[str] = (), wishes: Wishes | None = None) -> Iterator[Paper]:
    """Papers by name in the order of the work, all of them where none is named; each is made when it is taken.

    Raises:
        PaperError: There is no paper of that name.
    """
    known = sheets()
    for name in names:
        if name not in known:
            from fuseplan.plan.references import accepted

            raise PaperError(f"there is no paper '{shown(name)}'; {accepted(name, list(known))}")
    for name, sheet in known.items():
        if not names or name in names:
            yield harmless(sheet.paper(assessment, wishes or Wishes()))


def paper_set(assessment: Assessment, names: Sequence[str] = (), wishes: Wishes | None = None) -> PaperSet:
    """Head and papers of an assessment; errors as `papers_of`."""
    return PaperSet(harmless(head_of(assessment)), tuple(papers_of(assessment, names, wishes)))


def harmless(record: Record) -> Record:
    """A record with every text in it on one line, control characters spelled out; markup of a drawing is left alone."""
    return cast(Record, _harmless(record))


def _harmless(value: object) -> object:
    if isinstance(value, str):
        return shown(value)
    if isinstance(value, tuple):
        return tuple(map(_harmless, value))
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        changed = {}
        for field in dataclasses.fields(value):
            if not field.metadata.get("markup"):
                old = getattr(value, field.name)
                new = _harmless(old)
                if new != old:
                    changed[field.name] = new
        return dataclasses.replace(value, **changed) if changed else value
    return value


def marks_of(paper: Paper) -> tuple[str, ...]:
    """What the marks in a paper mean, one line each, for its foot; only of those that occur."""
    found = {mark for text in texts_of(paper) for mark in MARKS if mark in text and _is_marked(text, mark)}
    return tuple(f"{mark} {words}" for mark, words in MARKS.items() if mark in found)


def _is_marked(text: str, mark: str) -> bool:
    """Whether a sign stands for its mark; a question mark behind a word is only that."""
    return mark != writing.UNKNOWN or text.startswith(mark) or f" {mark}" in text


def texts_of(record: object) -> Iterator[str]:
    """Every text of a record, those of cells as they are printed."""
    if isinstance(record, str):
        yield record
    elif record is None:
        yield writing.UNKNOWN
    elif isinstance(record, Marked):
        yield f"{record.value}{record.mark}"
    elif isinstance(record, tuple):
        for each in record:
            yield from texts_of(each)
    elif isinstance(record, Drawing):
        yield record.words
    elif dataclasses.is_dataclass(record):
        for field in dataclasses.fields(record):
            yield from texts_of(getattr(record, field.name))


def all_of(papers: Iterable[Paper], kind: type[Record]) -> Iterator[tuple[Paper, Record]]:
    """Blocks of one kind, each with its paper."""
    for paper in papers:
        for block in paper.blocks:
            if isinstance(block, kind):
                yield paper, block
