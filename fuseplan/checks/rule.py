"""What a check is, and what it finds."""

from __future__ import annotations

import importlib
import math
import pkgutil
from collections.abc import Callable, Iterable
from dataclasses import field
from functools import lru_cache
from typing import Any, Literal

from fuseplan.checks.fix import Fix
from fuseplan.checks.limit import Limit
from fuseplan.engine.results import Results
from fuseplan.quantities.decimals import Side
from fuseplan.records import dataclass
from fuseplan.results.part import Figure

Level = Literal["danger", "warning", "advice"]
LEVELS: tuple[Level, ...] = ("danger", "warning", "advice")
Consequence = Literal["burns", "injures", "keeps_running", "stops_the_car", "fails_in_use", "damages_a_part",
                      "hides_a_fault", "not_judged", "good_practice"]
"""What follows from a fault that is left as it is."""
CONSEQUENCES: dict[Consequence, tuple[Level, str]] = {
    "burns": ("danger", "can burn"),
    "injures": ("danger", "can injure"),
    "keeps_running": ("danger", "can leave a pump or the engine running"),
    "stops_the_car": ("warning", "can stop the car"),
    "fails_in_use": ("warning", "does not work when it is needed"),
    "damages_a_part": ("warning", "can damage a part"),
    "hides_a_fault": ("warning", "an entry that does not fit, and may hide a fault"),
    "not_judged": ("advice", "something is not known or not checked"),
    "good_practice": ("advice", "better done otherwise"),
}
"""The level that each consequence has, and the consequence in words. Nothing else decides a level."""
SubjectKind = Literal["circuit", "feed", "earth", "alternator", "battery", "run", "fuse_box",
                      "connector", "plan"]


class OfPart:
    """What says to which part of the plan it belongs."""

    subject: str
    subject_kind: SubjectKind

    @property
    def owner(self) -> tuple[SubjectKind, str]:
        """Kind and id of the part."""
        return self.subject_kind, self.subject


class OfCheck(OfPart):
    """What a check says of a part."""

    check: str
    part: str = ""
    """Which part of its subject it is of, where the check judges several each by itself: a wire, a switch, a side."""

    @property
    def identity(self) -> tuple[str, str, str]:
        """The check, with the part it is of, and the subject: what it is known by from one assessment to the next."""
        return f"{self.check}, {self.part}" if self.part else self.check, self.subject_kind, self.subject


@dataclass(frozen=True)
class Finding(OfCheck):
    """One check that did not pass."""

    check: str
    level: Level
    subject: str
    subject_kind: SubjectKind
    message: str
    figure: float | None
    limit: float | None
    unit: str
    limits: str
    source: str
    fix: str
    caution: str
    measure: bool = False
    """It passes as entered and fails at the upper bound of the evidence: measure before trusting it."""
    figure_side: Side = "burden"
    """Whether more of the figure is worse, or less; its limit is of the other side."""
    fields: tuple[str, ...] = ()
    """Paths in the plan that remove it, the likeliest first, for example ``circuit.fan.fuse.rating``."""
    values: tuple[tuple[str, str], ...] = ()
    """Where the fix names values: each path in the plan with what to enter there. Together they remove it."""
    part: str = field(default="", metadata={"unpublished": True})
    sizes: tuple[tuple[int, str], ...] = field(default=(), metadata={"unpublished": True})
    """The wires for which the fix names a size, by their number, each with that size."""
    cause: int | None = None
    """Number of the finding whose cause it shares, and under which it stands; None where it stands for itself."""
    follows: tuple[int, ...] = ()
    """Numbers of the findings that stand under it."""
    address: str | None = None
    """Address of the figure in the result document; None where it is no figure of it."""
    limit_address: str | None = None
    """Address of the limit, where that is a figure of the result too."""


@dataclass(frozen=True)
class Unjudged(OfCheck):
    """One check that could not be made, for want of a figure or a limit."""

    check: str
    subject: str
    subject_kind: SubjectKind
    words: str
    """What is not known, in the middle of a sentence."""
    safety: bool = True
    """Safety rests on it: its subject is then not known to be ok."""


@dataclass(frozen=True)
class Rule:
    """A check: its fixed texts and its function."""

    consequence: Consequence
    """The worst that follows from what it finds; a finding may state a milder one."""
    title: str
    source: str
    caution: str
    fix: str
    find: Callable[[Rule, Results], Iterable[Finding | Unjudged]]
    example: str = ""
    """What fails and what passes, in a few words: ``fails: …; passes: …``."""
    resistance: bool = False
    """What it judges rests on the resistances on the way: it is made again without those that are assumed."""
    ambient: bool = False
    """What it judges rests on the temperature of a place: where that is assumed, it is made again at a mild one."""
    figures: tuple[tuple[Figure[Any], Figure[Any] | None], ...] = ()
    """The declared figures of the result that its findings are about, each with the one it is held against where that
    is a figure too."""
    limits: tuple[Limit, ...] = ()
    """The limits on currents and voltages its findings come from. Samples of the currents are held against the same."""
    lack: bool = False
    """What it finds is that something is missing: alone that leaves the verdict unknown."""
    name: str = ""
    words: str = ""

    @property
    def level(self) -> Level:
        """The level of its consequence."""
        return CONSEQUENCES[self.consequence][0]

    def unjudged(self, subject: tuple[SubjectKind, str], words: str, *, safety: bool = True) -> Unjudged:
        """That this check could not be made of a subject, for want of what the words say."""
        return Unjudged(check=self.name, subject=subject[1], subject_kind=subject[0], words=words, safety=safety)

    def finding(self, results: Results, subject: tuple[SubjectKind, str], message: str, *, figure: float | None = None,
                limit: float | None = None, unit: str = "", fix: str | Fix | None = None, source: str | None = None,
                consequence: Consequence | None = None, caution: str | None = None, bound: int = 0,
                usual: bool = False, figure_side: Side = "burden", fields: tuple[str, ...] | None = None,
                values: tuple[tuple[str, str], ...] = (), sizes: tuple[tuple[int, str], ...] = (),
                part: str = "") -> Finding:
        """A finding of this rule; texts not given are the rule's own, keys, values and sizes those of a `Fix`.

        Where it fails only at the upper `bound` of the evidence, or with a `usual` inrush current, that is said first.
        """
        if isinstance(fix, Fix):
            fields, values, sizes, fix = fix.fields if fields is None else fields, fix.values, fix.sizes, fix.words
        first, measure = USUAL_WORDS if usual else MEASURE_WORDS if bound else "", usual or bool(bound)
        return Finding(
            check=self.name, level="advice" if measure else CONSEQUENCES[consequence or self.consequence][0],
            subject=subject[1], subject_kind=subject[0], message=first + message, figure=_known(figure),
            limit=_known(limit), unit=unit, limits=results.limit_set.name, source=source or self.source,
            fix=fix or self.fix, caution=caution or self.caution, measure=measure, figure_side=figure_side,
            fields=fields or (), values=values, sizes=sizes, part=part)


def _known(value: float | None) -> float | None:
    """A plain number; None where there is none."""
    return float(value) if value is not None and math.isfinite(value) else None


MEASURE_WORDS = "Passes with the current entered, fails with its worst case, so measure it first: "


USUAL_WORDS = "No inrush current is entered; with the typical one for this kind of load: "


@lru_cache(maxsize=1)
def all_rules() -> dict[str, Rule]:
    """All checks by name. A module in ``rules/`` that defines ``RULE`` is a check; its name is the module's."""
    package = importlib.import_module("fuseplan.checks.rules")
    found: dict[str, Rule] = {}
    for entry in sorted(pkgutil.iter_modules(package.__path__), key=lambda each: each.name):
        module = importlib.import_module(f"{package.__name__}.{entry.name}")
        rule: Rule = module.RULE
        name = entry.name.replace("_", "-")
        object.__setattr__(rule, "name", name)
        object.__setattr__(rule, "words", (module.__doc__ or "").strip())
        found[name] = rule
    return found


def judge(results: Results) -> tuple[tuple[Finding, ...], tuple[Unjudged, ...]]:
    """All findings, danger first, in the order of the checks within a level; and the checks that could not be made."""
    found: list[Finding] = []
    unjudged: list[Unjudged] = []
    for rule in all_rules().values():
        for each in rule.find(rule, results):
            if isinstance(each, Finding):
                found.append(each)
            else:
                unjudged.append(each)
    order = {level: rank for rank, level in enumerate(LEVELS)}
    return (tuple(sorted(found, key=lambda finding: (order[finding.level], finding.measure))),
            tuple(dict.fromkeys(unjudged)))
