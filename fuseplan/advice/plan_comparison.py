"""Two plans compared: what changed part by part, and which verdicts and findings changed with it."""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import Any, Literal

from pydantic import BaseModel

from fuseplan.checks.assessment import Assessment
from fuseplan.checks.rule import Finding
from fuseplan.plan.references import TARGETS, Path
from fuseplan.quantities.listing import first_few
from fuseplan.quantities.wire_size import WireSize
from fuseplan.records import dataclass

Kind = Literal["added", "removed", "renamed", "changed"]
Counted = tuple[str, str, str, str]
"""Check, kind and name of what it is about, level or "measure"."""


@dataclass(frozen=True)
class PlanChange:
    """One difference between two plans.

    Attributes:
        kind: whether a part or value was added, removed, renamed or changed
        path: where it stands: in the plan before for what was removed, else in the one after
        before, after: the value as it is written, a whole part in brief; None where there is none
    """

    kind: Kind
    path: Path
    before: str | None
    after: str | None


@dataclass(frozen=True)
class VerdictChange:
    """A circuit of both plans whose verdict changed; its id in the plan after."""

    circuit: str
    before: str
    after: str


@dataclass(frozen=True)
class PlanComparison:
    """Two plans, each assessed by its own limits or by the same ones."""

    before: Assessment
    after: Assessment

    @cached_property
    def _tables(self) -> dict[str, Matches]:
        """The parts of each table of the file that are the same in both plans."""
        return {key: _matches(key, *(getattr(each.plan, key) for each in (self.before, self.after)))
                for key, value in self.after.plan if isinstance(value, Mapping)}

    @cached_property
    def changes(self) -> tuple[PlanChange, ...]:
        """All differences, in the order of the plan after; what was removed from a table stands at its end."""
        return tuple(_of_parts((), self.before.plan, self.after.plan, self._tables))

    def _renamed(self, kind: str, name: str) -> str:
        """What a part of the plan before is called in the one after."""
        return self._tables[kind].after_of.get(name, name) if kind in self._tables else name

    @cached_property
    def verdicts(self) -> tuple[VerdictChange, ...]:
        """Circuits of both plans whose verdict changed, in the order of the plan after."""
        before_of = {after: before for before, after in self._tables["circuit"].after_of.items()}
        found = ((name, self.before.verdict(before_of[name]), self.after.verdict(name))
                 for name in self.after.plan.circuit if name in before_of)
        return tuple(VerdictChange(*each) for each in found if each[1] != each[2])

    @cached_property
    def _findings(self) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
        before = [(self._counted(each, self._renamed), each) for each in self.before.findings]
        after = [(self._counted(each), each) for each in self.after.findings]
        return _left(after, Counter(key for key, _ in before)), _left(before, Counter(key for key, _ in after))

    @staticmethod
    def _counted(finding: Finding, named: Callable[[str, str], str] = lambda kind, name: name) -> Counted:
        return (finding.check, finding.subject_kind, named(*finding.owner),
                "measure" if finding.measure else finding.level)

    @property
    def appeared(self) -> tuple[Finding, ...]:
        """Findings of the plan after that the one before does not have, the worst first."""
        return self._findings[0]

    @property
    def gone(self) -> tuple[Finding, ...]:
        """Findings of the plan before that the one after no longer has, the worst first."""
        return self._findings[1]

    @property
    def same(self) -> bool:
        """Whether nothing at all differs."""
        return not (self.changes or self.verdicts or self.appeared or self.gone)

    def to_dict(self) -> dict[str, Any]:
        """The comparison as plain data: stable keys, None where there is no value."""
        return {
            "before": {"plan": self.before.plan.vehicle.name, "limits": self.before.limit_set.name},
            "after": {"plan": self.after.plan.vehicle.name, "limits": self.after.limit_set.name},
            "changes": [{"kind": each.kind, "path": ".".join(map(str, each.path)), "before": each.before,
                         "after": each.after} for each in self.changes],
            "verdicts": [{"circuit": each.circuit, "before": each.before, "after": each.after}
                         for each in self.verdicts],
            "findings": {"new": [_finding(each) for each in self.appeared],
                         "gone": [_finding(each) for each in self.gone]},
        }


def _finding(finding: Finding) -> dict[str, Any]:
    return {"check": finding.check, "level": finding.level, "measure": finding.measure,
            "subject_kind": finding.subject_kind, "subject": finding.subject, "message": finding.message}


def _left(findings: list[tuple[Counted, Finding]], others: Counter[Counted]) -> tuple[Finding, ...]:
    found = []
    for key, finding in findings:
        if others[key]:
            others[key] -= 1
        else:
            found.append(finding)
    return tuple(found)


@dataclass(frozen=True)
class Matches:
    """Which part of one table is which in another; ids of both in their own order."""

    after_of: Mapping[str, str]
    removed: tuple[str, ...]


def _matches(key: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Matches:
    """Parts are the same by their id; of the rest, by feed and fuse position, then by their name, where only one on
    either side has it."""
    after_of = {name: name for name in after if name in before}
    for trait in ((_position, _named) if key == "circuit" else (_named,)):
        rest = [_only(trait, each, taken) for each, taken in
                ((before, after_of.keys()), (after, set(after_of.values())))]
        after_of |= {rest[0][each]: name for each, name in rest[1].items() if each in rest[0]}
    return Matches(after_of, tuple(name for name in before if name not in after_of))


def _position(part: Any) -> object:
    fuse = part.fuse
    return None if part.feed is None or fuse is None or fuse.position is None else (part.feed, fuse.position)


def _named(part: Any) -> object:
    return getattr(part, "name", None)


def _only(trait: Callable[[Any], object], parts: Mapping[str, Any], taken: Any) -> dict[object, str]:
    """Ids of the parts not taken yet by a trait that no other of them shares."""
    traits = {name: trait(part) for name, part in parts.items() if name not in taken}
    counts = Counter(traits.values())
    return {each: name for name, each in traits.items() if each is not None and counts[each] == 1}


def compare_plans(before: Assessment, after: Assessment) -> PlanComparison:
    """What changed between two assessed plans."""
    return PlanComparison(before, after)


def _of_parts(path: Path, before: BaseModel, after: BaseModel, tables: Mapping[str, Matches]) -> Iterator[PlanChange]:
    fields = type(after).model_fields
    for name, info in fields.items():
        yield from _of_values((*path, info.alias or name), getattr(before, name), getattr(after, name), tables)


def _of_values(path: Path, before: Any, after: Any, tables: Mapping[str, Matches]) -> Iterator[PlanChange]:
    if isinstance(before, BaseModel) and isinstance(after, BaseModel):
        yield from _of_parts(path, before, after, tables)
    elif isinstance(before, Mapping) and isinstance(after, Mapping):
        yield from _of_tables(path, before, after, tables)
    elif _is_parts(before) or _is_parts(after):
        yield from _of_lists(path, before, after, tables)
    elif not _same(path, before, after, tables):
        kind: Kind = "added" if before is None else "removed" if after is None else "changed"
        yield PlanChange(kind, path, brief(before), brief(after))


def _same(path: Path, before: Any, after: Any, tables: Mapping[str, Matches]) -> bool:
    """Whether two values mean the same: ``2.5 mm2`` and ``2.50 mm2``, or the same part by its new name."""
    if isinstance(before, WireSize) and isinstance(after, WireSize):
        return (before.system, before.name) == (after.system, after.name)
    if path[-1] in TARGETS and isinstance(before, str):
        return bool(after == tables[TARGETS[str(path[-1])]].after_of.get(before, before))
    return bool(before == after)


def _is_parts(value: Any) -> bool:
    return isinstance(value, tuple) and any(isinstance(each, BaseModel) for each in value)


def _of_tables(path: Path, before: Mapping[str, Any], after: Mapping[str, Any],
               tables: Mapping[str, Matches]) -> Iterator[PlanChange]:
    known = tables.get(str(path[0])) if len(path) == 1 else None
    found = known or _matches(str(path[-1]), before, after)
    before_of = {new: old for old, new in found.after_of.items()}
    for name, part in after.items():
        old = before_of.get(name)
        if old is None:
            yield PlanChange("added", (*path, name), None, brief(part))
            continue
        if old != name:
            yield PlanChange("renamed", (*path, name), old, name)
        yield from _of_values((*path, name), before[old], part, tables)
    for name in found.removed:
        yield PlanChange("removed", (*path, name), brief(before[name]), None)


def _of_lists(path: Path, before: tuple[Any, ...], after: tuple[Any, ...],
              tables: Mapping[str, Matches]) -> Iterator[PlanChange]:
    """Lists of parts: what is alike in the same order belongs together; what stands between two of those is compared
    in its order, and the rest was added or removed."""
    matcher = difflib.SequenceMatcher(None, [*map(repr, before)], [*map(repr, after)], autojunk=False)
    for kind, start, end, new_start, new_end in matcher.get_opcodes():
        if kind == "equal":
            continue
        shared = min(end - start, new_end - new_start)
        for step in range(shared):
            yield from _of_values((*path, new_start + step), before[start + step], after[new_start + step], tables)
        for index in range(start + shared, end):
            yield PlanChange("removed", (*path, index), brief(before[index]), None)
        for index in range(new_start + shared, new_end):
            yield PlanChange("added", (*path, index), None, brief(after[index]))


MOST_NAMED = 6
"""So many keys of a part are named where it is told in brief."""


def brief(value: Any) -> str | None:
    """A value as it is written; of a part the first keys that say something: ``size 2.5 mm2, length 1.2 m``."""
    if value is None:
        return None
    if isinstance(value, BaseModel):
        said = [(info.alias or name, getattr(value, name)) for name, info in type(value).model_fields.items()
                if name in value.model_fields_set]
        inner = [f"{key.replace('_', ' ')} {_brief(each)}" for key, each in said if each is not None and each != ()]
        return first_few(inner, MOST_NAMED, last=", and ")
    return _brief(value)


def _brief(value: Any) -> str:
    if isinstance(value, BaseModel):
        return f"({brief(value)})"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        return ", ".join(map(str, value)) or "none"
    if isinstance(value, tuple):
        if any(isinstance(each, BaseModel) for each in value):
            return f"({'; '.join(map(_brief, value))})"
        return ", ".join(map(_brief, value)) or "none"
    return str(value)
