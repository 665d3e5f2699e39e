"""The prospective short-circuit current exceeds the fuse's breaking capacity.

A car battery alone can drive more than the 1000 A breaking capacity of a blade fuse. Near the battery a bolt-in fuse
with a higher breaking capacity must come first. The finding is reported for the first fuse from the battery; those
after it with the same fault are counted with it, as they have the same fix; so are all above what any fuse on file
breaks.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from fuseplan.checks.protected import unjudged
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import fuse_path, fuse_subject, owner_words
from fuseplan.engine.at_limit import at_most, exceeds, within
from fuseplan.engine.results import Results
from fuseplan.engine.second_batteries import joined_of, label_of
from fuseplan.engine.source import battery_known
from fuseplan.quantities import writing
from fuseplan.results.short_circuit import ShortCircuit
from fuseplan.tables import fuses as fuse_tables

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

BOLTED_A = 2000.0
"""Nothing on file breaks more than this: above it the finding can only advise."""
BEYOND = ("cover the wire before it so that it cannot be shorted, and ask the fuse maker for a fuse that breaks more: "
          "none is on file")


@lru_cache(maxsize=32)
def _capacity_a(kind: str) -> float:
    found = fuse_tables.breaking_capacity_a(kind)
    return np.nan if found is None else found.value


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    network, prospective = results.network, results.faults.prospective_a
    if not network.fuses:
        return
    capacity = np.full(len(network.fuses), np.nan)
    for kind, where in network.fuses_by_kind.items():
        capacity[where] = _capacity_a(kind)
    above = network.guard[network.supply.parent[network.fuse_node]]
    overloaded = np.flatnonzero(exceeds(prospective, capacity))
    if not battery_known(results.plan.battery):
        for index in overloaded.tolist():
            yield from unjudged(rule, results, index, "whether the breaking capacity of its fuse is enough: the "
                                                      "battery's "
                                                      "cold-cranking current is not given")
        return
    labelled = results.faults.prospective_labelled_a
    sure = exceeds(labelled, capacity)
    asked, doubtful = _not_relieved(above, capacity, labelled, sure), overloaded[~sure[overloaded]].tolist()
    if not asked and not doubtful:
        return
    first_of, unsure = partial(_first, above.tolist(), capacity.tolist()), dict[int, int]()
    as_drawn = (prospective.tolist(), exceeds(prospective, capacity).tolist())
    nameless = ", ".join(owner_words(results, ("circuit", name)) for name, fitted in joined_of(network).items()
                         if not battery_known(label_of(fitted)))
    for index in doubtful:
        if first_of(*as_drawn, unsure, index) >= 0:
            yield from unjudged(rule, results, index, "whether the breaking capacity of its fuse is enough: the "
                                f"cold-cranking current of the second battery of {nameless} is not given")
    first: dict[int, list[int]] = defaultdict(list)
    seen: dict[int, int] = {}
    as_labelled = (labelled.tolist(), sure.tolist())
    for index in asked:
        top = first_of(*as_labelled, seen, index)
        if top >= 0:
            first[top].append(index)
    beyond = [top for top in first if capacity[top] >= BOLTED_A]
    if len(beyond) > 1:
        # Where nothing on file breaks more there is one thing to do, said once.
        nearest = max(beyond, key=lambda top: float(prospective[top]))
        first[nearest] += [index for top in beyond if top != nearest for index in first.pop(top)]
    for top, members in first.items():
        row = network.fuses[top]
        found = fuse_tables.breaking_capacity_a(row.fuse.kind)
        assert found is not None
        others = f"; the same for {len(members) - 1} more {'fuse' if len(members) == 2 else 'fuses'} behind it" \
            if len(members) > 1 else ""
        yield rule.finding(
            results, fuse_subject(row),
            f"the prospective short-circuit current is {writing.burden(prospective[top], 'A')}, more than the breaking "
            f"capacity of {fuse_tables.kind_words(row.fuse.kind)}s, {writing.limit(found.value, 'A')}{others}",
            consequence="good_practice" if found.value >= BOLTED_A else None, figure=float(prospective[top]),
            limit=found.value, unit="A", source=found.source.line(),
            fix=BEYOND if found.value >= BOLTED_A else None,
            fields=(fuse_path(row, "kind"),),
        )


def _not_relieved(above: Ints, capacity: Floats, prospective: Floats, over: Flags) -> list[int]:
    """The devices that cannot break their own prospective current, and of which none can on the way to the next one
    that cannot either."""
    found: list[int] = []
    here = at = np.flatnonzero(over)
    while here.size:
        upper = above[at]
        last = (upper < 0) | (upper == at)
        relieved = ~last & within(prospective[here], capacity[upper])
        ends = ~relieved & (last | over[upper])
        found += here[ends].tolist()
        here, at = here[~relieved & ~ends], upper[~relieved & ~ends]
    return sorted(found)


def _first(above: list[int], capacity: list[float], prospective: list[float], over: list[bool], seen: dict[int, int],
           index: int) -> int:
    """The device nearest the battery that cannot break its own prospective current, as `over` says of each, on the way
    to one that cannot either; -1 where a device on the way can break the current at the latter."""
    here, way = index, []
    while here not in seen:
        seen[here] = here
        upper, at = above[here], here
        while upper >= 0 and upper != at:
            if at_most(prospective[here], capacity[upper]):
                seen[here] = -1
                break
            if over[upper]:
                way.append((here, upper))
                here = upper
                break
            upper, at = above[upper], upper
    for at, upper in reversed(way):
        # What breaks the current at the upper one breaks that at this one, unless another source adds to it.
        is_broken = seen[upper] < 0 and at_most(prospective[at], prospective[upper])
        seen[at] = seen[upper] if seen[upper] >= 0 or is_broken else upper
    return seen[index]


RULE = Rule(
    consequence="damages_a_part",
    title="Breaking capacity exceeded",
    source="1000 A for blade fuses, 2000 A for bolted strip fuses: ISO 8820-3 and ISO 8820-5, scopes",
    caution="A fuse asked to break more than it is made for can burst or keep arcing.",
    fix="a bolt-in strip fuse (ISO 8820-5, 2000 A) at the battery ahead of it, or a fuse of that type here",
    example="fails: a maxi fuse (1000 A) at a battery of 360 A cold-cranking current; passes: a strip fuse (2000 A)",
    find=find,
    figures=((ShortCircuit.prospective_a, None),),
)
