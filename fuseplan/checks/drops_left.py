"""Which voltage drops are left once the other faults are mended.

A wire that is too thin for its load or its fuse gets another for that, and less is lost in it: no more copper is named
for what is gone then, and what is gone has the cause of the other fault. It is found by judging the plan once more with
the sizes, ratings and insulations that the other findings name.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property, reduce
from typing import NamedTuple

import numpy as np

from fuseplan.checks.drop_fix import both_of, of_wires
from fuseplan.checks.finding_way import way_of
from fuseplan.checks.fix import Fix
from fuseplan.checks.fixes import copper_mm2, fuse_words
from fuseplan.checks.fuse_to_fit import carrying
from fuseplan.checks.one_size import knowing, thickest
from fuseplan.checks.rule import Finding, all_rules
from fuseplan.checks.subjects import fuse_path, owner_words, segment_path
from fuseplan.engine.computing import compute
from fuseplan.engine.results import Results
from fuseplan.plan.putting import put, steps_of, typed
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import CURRENT, amount
from fuseplan.records import dataclass

MATTERS = 0.1
"""What another fault asks for is told with a drop where it takes away more than this share of what is lost too much.
Common practice, no source."""
TOLD = 0.01
"""And more than this share of the figure: less is not seen on a meter. Common practice, no source."""
ENTERED = (".fuse.rating", ".insulation")
Key = tuple[str, str, str]
Weigh = Callable[[Results, tuple[Finding, ...]], tuple[Finding, ...]]


def is_a_drop(finding: Finding) -> bool:
    """Whether a finding is about a voltage that rests on the resistances on the way."""
    return finding.unit == "V" and all_rules()[finding.check].resistance


class Mended(NamedTuple):
    """What is fitted in one part for another fault."""

    owner: tuple[str, str]
    on_return: bool
    saved_v: float
    """What less is lost in it at most."""
    fix: Fix


@dataclass(frozen=True, eq=False)
class DropsLeft:
    """A plan as it is, and as it is with the other faults mended."""

    before: Results
    after: Results
    entered: Mapping[str, str]
    """The values entered for that, by path."""
    raw: Mapping[Key, Finding]
    """The drops with something of that on their way, as the checks found them, by what they are known by."""
    weighed: Weigh

    def asking(self, asked: Mapping[int, str]) -> DropsLeft:
        """The same where these sizes are asked for in place of some wires, by number."""
        thicker = {path: size for index, size in asked.items()
                   if (path := segment_path(self.before, index, "size")) in self.entered}
        return replace(self, after=knowing(self.after, asked), entered={**self.entered, **thicker})

    @cached_property
    def _again(self) -> dict[Key, Finding]:
        """The drops that are left; of one that is left twice the worse."""
        found: dict[Key, Finding] = {}
        for rule in (all_rules()[name] for name in dict.fromkeys(each.check for each in self.raw.values())):
            for each in rule.find(rule, self.after):
                if isinstance(each, Finding) and (each.identity not in found or found[each.identity].measure):
                    found[each.identity] = each
        return found

    @cached_property
    def _asks(self) -> set[Key]:
        """Those of the drops that are left that only ask for a reading."""
        return {each.identity for each in self.weighed(self.after, tuple(self._again.values())) if each.measure}

    @cached_property
    def _mended(self) -> list[Mended]:
        """What is fitted in each part, that which saves most first."""
        before, after, areas_mm2 = self.before, self.after, self.before.network.segments.area_mm2
        lost = [np.max([np.abs(solution.segment_a * solution.segment_ohm).max(axis=0) for solution in each.choices],
                       axis=0) for each in (before, after)]
        paths = (segment_path(before, index, "size") for index in range(before.network.segments.count))
        thicker = [(index, self.entered[path]) for index, path in enumerate(paths) if path in self.entered
                   and copper_mm2(self.entered[path]) > areas_mm2[index]]  # else another insulation alone
        found = [Mended(*part, float((lost[0] - lost[1])[list(sizes)].sum()), of_wires(before, sizes))
                 for part, sizes in self._by_part(thicker).items()]
        for device, row in enumerate(before.network.fuses):
            path = fuse_path(row, "rating")
            if path in self.entered:
                ohm, node = float(before.fuse_ohm[device] - after.fuse_ohm[device]), before.network.fuse_node[device]
                most_a = max(float(np.abs(solution.supply_a[:, node]).max()) for solution in before.choices)
                words = fuse_words(before, device, float(amount(self.entered[path], CURRENT)))
                found.append(Mended(
                    row.owner, False, ohm * most_a,
                    Fix(f"fit {words} at {owner_words(before, row.owner)}", (path,), ((path, self.entered[path]),))))
        return sorted(found, key=lambda each: -each.saved_v)

    def _by_part(self, sizes: Iterable[tuple[int, str]]) -> dict[tuple[tuple[str, str], bool], dict[int, str]]:
        """Some sizes by the part and the side of their wires."""
        segments = self.before.network.segments
        found = defaultdict[tuple[tuple[str, str], bool], dict[int, str]](dict)
        for index, size in sizes:
            found[segments.owner[index], bool(segments.returns[index])][index] = size
        return found

    def _that_matter(self, finding: Finding) -> Iterator[Mended]:
        owners = _on_way(self.before, finding)
        both = finding.check != "voltage-drop" or self.before.limit_set.drop_covers_return
        for each in self._mended:
            if each.saved_v > _least_v(finding) and each.owner in owners and (
                    both or each.on_return is bool(finding.part)):
                yield each

    def told(self, finding: Finding) -> Finding | None:
        """A drop with what mends it anyway, and with the fix of what is then left; None where nothing does."""
        old, new = self.raw.get(finding.identity), self._again.get(finding.identity)
        matters = [each.fix for each in self._that_matter(finding)]
        if old is None or not matters or not finding.fix.endswith(old.fix):
            return None
        if new is None or (new.identity in self._asks and not finding.measure):
            fix = reduce(both_of, matters)
        elif finding.measure:
            return None  # What is to be measured first asks for nothing of that yet.
        else:
            named = dict(new.sizes)
            unnamed = [{index: size for index, size in each.sizes if index not in named} for each in matters]
            mended = [of_wires(self.before, left) if left else each
                      for each, left in zip(matters, unnamed, strict=True) if left or not each.sizes]
            if abs((new.figure or 0.0) - (old.figure or 0.0)) <= _least_v(old) or not (mended or new.values):
                return None
            fix = Fix(new.fix, new.fields, new.values, new.sizes)
            if mended:
                first = reduce(both_of, mended)
                fix = Fix(f"{first.words}; and then {fix.words}", (*fix.fields, *first.fields),
                          (*fix.values, *first.values) if fix.values else (), (*fix.sizes, *first.sizes))
            elif len(new.sizes) == len(new.values):
                # Its volts are those with the other faults mended.
                fix = reduce(both_of, (of_wires(self.before, sizes) for sizes in self._by_part(new.sizes).values()))
        asks = [path for path in finding.fields if path not in old.fields]
        rest = [path for path in old.fields if not path.endswith(".size")]
        entered = (fix.values, fix.sizes) if finding.values == old.values and finding.sizes == old.sizes else \
            (finding.values, finding.sizes)
        return replace(finding, fix=finding.fix.removesuffix(old.fix) + fix.words,
                       fields=tuple(dict.fromkeys((*asks, *fix.fields, *rest))), values=entered[0], sizes=entered[1])


def _on_way(results: Results, finding: Finding) -> set[tuple[str, str]]:
    """Owners of the wires on the way of a drop; while cranking those on the starter's too."""
    found = set(way_of(results, finding))
    if finding.check == "low-cranking-voltage":
        found |= set(way_of(results, replace(finding, subject_kind="battery")))
    return {(kind, "" if kind == "alternator" else name) for kind, name in found}


def _least_v(finding: Finding) -> float:
    """The least change that matters to a drop [V]."""
    figure, limit = finding.figure or 0.0, finding.limit or 0.0
    return max(MATTERS * abs(figure - limit), TOLD * abs(figure))


def _larger_types(results: Results, faults: Sequence[Finding], entered: Mapping[str, str]) -> dict[str, str]:
    """The fuses of another type that loads ask for, which is more than a rating to be entered: type and rating."""
    found: dict[str, str] = {}
    for device, row in enumerate(results.network.fuses):
        path = fuse_path(row, "rating")
        need_a = next((each.figure for each in faults if each.check == "fuse-too-small" and path in each.fields), None)
        fuse = None if need_a is None or path in entered else carrying(results, device, need_a)
        if fuse is not None:
            found |= {fuse_path(row, "kind"): fuse.kind, path: writing.rating(fuse.rating_a)}
    return found


def drops_left(results: Results, found: Sequence[Finding], findings: Sequence[Finding], weighed: Weigh
               ) -> DropsLeft | None:
    """What is left with all mended that fails as entered, but for the drops; None where there is no drop, or nothing
    else asks for another wire or fuse on the way of one. `found` is what the checks found, of which some findings have
    become questions, as `weighed` turns them."""
    faults = [each for each in findings if not each.measure and not is_a_drop(each)]
    here = {(each.identity, each.message, each.sizes) for each in found}
    if any((each.identity, each.message, each.sizes) not in here for each in faults if each.sizes):
        return None  # What was judged at another temperature names sizes for that.
    sizes = thickest(size for each in faults for size in each.sizes)
    entered = {path: value for each in reversed(faults) for path, value in each.values if path.endswith(ENTERED)}
    entered |= {segment_path(results, index, "size"): size for index, size in sizes.items()}
    parts = {results.network.segments.owner[index] for index in sizes}
    parts |= {row.owner for row in results.network.fuses if fuse_path(row, "rating") in entered}
    touched = {each.identity for each in findings if is_a_drop(each) and parts & _on_way(results, each)} \
        if parts else set()
    if not touched:
        return None
    raw, plan = {each.identity: each for each in reversed(found) if each.identity in touched}, results.plan
    for path, value in {**entered, **_larger_types(results, faults, entered)}.items():
        steps = steps_of(plan, path)
        plan = put(plan, steps, typed(steps, value))
    after = replace(compute(plan, results.limit_set, results.network), as_fitted=results)
    return DropsLeft(results, after, entered, raw, weighed)
