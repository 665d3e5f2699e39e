"""The prospective short-circuit current exceeds the fuse's breaking capacity.

A car battery alone can drive more than the 1000 A breaking capacity of a blade fuse. Near the battery a bolt-in fuse
with a higher breaking capacity must come first. The finding is reported for the first fuse from the battery; those
after it with the same fault are counted with it, as they have the same fix; so are all above what any fuse on file
breaks.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator
from functools import lru_cache

import numpy as np

from fuseplan.array_types import Flags, Floats, Ints
from fuseplan.checks.fuse_to_fit import BOLTED_A, larger_words, suits_range, types_that_break
from fuseplan.checks.protected import unjudged
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.rules.no_fuse import feeds_to_fuse
from fuseplan.checks.subjects import fuse_path, fuse_subject, owner_words
from fuseplan.engine.at_limit import exceeds, within
from fuseplan.engine.results import Results
from fuseplan.engine.second_batteries import joined_of, label_of
from fuseplan.engine.source import battery_known
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.results.short_circuit import ShortCircuit
from fuseplan.tables import fuses as fuse_tables

AHEAD = "a bolt-in strip fuse (ISO 8820-5, 2000 A) at the battery ahead of"
BEYOND = ("cover the wire before it so that it cannot be shorted, and ask the fuse maker for a fuse that breaks more: "
          "none is on file")
COVER = "; none on file breaks more than that: cover the wire before it too, so that it cannot be shorted"


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
    overloaded = exceeds(prospective, capacity)
    for index in np.flatnonzero(overloaded).tolist():
        kind, name = network.fuses[index].owner
        if kind == "circuit" and results.plan.circuit[name].feed is None:  # Nothing says how near the battery it is.
            capacity[index], overloaded[index] = np.nan, False
    if not battery_known(results.plan.battery):
        for index in np.flatnonzero(overloaded).tolist():
            yield from unjudged(rule, results, index, "whether the breaking capacity of its fuse is enough: the "
                                                      "battery's "
                                                      "cold-cranking current is not given")
        return
    labelled = results.faults.prospective_labelled_a
    sure = exceeds(labelled, capacity)
    top_of = _first_of(above, capacity, labelled, sure)
    as_drawn = top_of if labelled is prospective else _first_of(above, capacity, prospective, overloaded)
    nameless = ", ".join(owner_words(results, ("circuit", name)) for name, fitted in joined_of(network).items()
                         if not battery_known(label_of(fitted)))
    for index in np.flatnonzero(~sure & (as_drawn >= 0)).tolist():
        yield from unjudged(rule, results, index, "whether the breaking capacity of its fuse is enough: the "
                            f"cold-cranking current of the second battery of {nameless} is not given")
    first: dict[int, list[int]] = defaultdict(list)
    for index in np.flatnonzero(top_of >= 0).tolist():
        first[int(top_of[index])].append(index)
    beyond = [top for top in first if capacity[top] >= BOLTED_A]
    if len(beyond) > 1:
        # Where nothing on file breaks more there is one thing to do, said once.
        nearest = max(beyond, key=lambda top: float(prospective[top]))
        first[nearest] += [index for top in beyond if top != nearest for index in first.pop(top)]
    to_fuse = feeds_to_fuse(results) if first else set()
    unfused = [name for name, feed in results.plan.feed.items() if feed.upstream is not None and feed.fuse is None]
    for top, members in first.items():
        row = network.fuses[top]
        fix, ahead = _fix(results, top, to_fuse, unfused)
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
            fix=fix, fields=(*(() if ahead is None else (f"feed.{ahead}.fuse.rating",)), fuse_path(row, "kind")),
        )


def _without_fuse_ahead(results: Results, device: int, to_fuse: Collection[str]) -> str | None:
    """The feed on the way to a device, the nearest to the battery, of those that lack a fuse."""
    (kind, name), plan = results.network.fuses[device].owner, results.plan
    feed = plan.circuit[name].feed if kind == "circuit" else name if kind == "feed" else None
    return next((each for each in reversed(list(way_to(plan, feed))) if each in to_fuse), None)


def _fix(results: Results, device: int, to_fuse: Collection[str], unfused: Collection[str]) -> tuple[str, str | None]:
    """A type that breaks what a short draws, or the most on file, ahead of a device or in its place; with the feed that
    it is fitted in, where it is a feed's fuse: one of those that need a fuse, or lack one."""
    plan, most_a = results.plan, float(results.faults.prospective_a[device])
    cover = COVER if exceeds(most_a, BOLTED_A) else ""
    feed = _without_fuse_ahead(results, device, to_fuse)
    if feed is not None:
        return (f"fit a mega or strip bolt-in fuse, which breaks {writing.rating(BOLTED_A)}, where the wire to "
                f"{in_words(plan, 'feed', feed)} starts: it has none{cover}", feed)
    if _capacity_a(results.network.fuses[device].fuse.kind) >= BOLTED_A:
        return BEYOND, None
    types = types_that_break(results, device)
    if not types:
        feed = _without_fuse_ahead(results, device, unfused)
        return f"{AHEAD} {'it' if feed is None else in_words(plan, 'feed', feed)}{cover}", feed
    fits = [kind for kind in types if suits_range(results, device, kind)]
    return (f"fit a {larger_words(fits[0])} here, or {AHEAD} it{cover}" if fits else
            f"{AHEAD} it, or a {larger_words(types[0])} here, with a wire rated for it{cover}"), None


def _first_of(above: Ints, capacity: Floats, prospective: Floats, over: Flags) -> Ints:
    """For each device that cannot break its own prospective current, as `over` says, the one nearest the battery on the
    way to it that cannot either (J,); -1 for the others, and where a device on the way can break the current at the
    latter."""
    found, linked = np.full(len(above), -1), np.full(len(above), -1)
    here = at = np.flatnonzero(over)
    while here.size:
        upper = above[at]
        last = (upper < 0) | (upper == at)
        relieved = ~last & within(prospective[here], capacity[upper])
        links = ~last & ~relieved & over[upper]
        found[here[last]] = here[last]
        linked[here[links]] = upper[links]
        goes_on = ~(last | relieved | links)
        here, at = here[goes_on], upper[goes_on]
    waiting = np.flatnonzero(linked >= 0)
    while waiting.size:
        upper = linked[waiting]
        ready = linked[upper] < 0
        at, top, upper = waiting[ready], found[upper[ready]], upper[ready]
        # What breaks the current at the upper one breaks that at this one, unless another source adds to it.
        found[at] = np.where((top >= 0) | within(prospective[at], prospective[upper]), top, upper)
        linked[at] = -1
        waiting = waiting[~ready]
    return found


RULE = Rule(
    consequence="damages_a_part",
    title="Breaking capacity exceeded",
    source="1000 A for blade fuses, 2000 A for bolted strip fuses: ISO 8820-3 and ISO 8820-5, scopes",
    caution="A fuse asked to break more than it is made for can burst or keep arcing.",
    fix=f"{AHEAD} it",
    example="fails: a maxi fuse (1000 A) at a battery of 360 A cold-cranking current; passes: a strip fuse (2000 A)",
    find=find,
    figures=((ShortCircuit.prospective_a, None),),
)
