"""Both headlamps are on one fuse: if it blows, both go out.

With a fuse for each side one stays on. Checked are the lamps of circuits with the role `headlamps`, or with
`drop_class = "headlamp"`, that are on together; the fuse of the feed they share is not counted. The lamps of the two
sides are always on together: dip and main beam of one side, where the other is not entered, are no pair.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, condition_words, fuse_subject
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results

LAMPS = ("lamp", "electronic")
"""Filament lamps, and LED and discharge lamps with what drives them."""
LEAST_SHARE = 0.2
"""What draws less than this share of another that is on, or at some time is on with it behind the same fuse, is no
headlamp: a side lamp, or a control unit beside them. Common practice, no source."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, consumers = results.network, results.network.consumers
    heads = [*network.marked.get("drop_class headlamp", ()), *network.marked.get("role headlamps", ())]
    if not heads:
        return
    lamps = np.array([index for index in np.flatnonzero((consumers.kind == LOAD) & np.isin(
        consumers.circuit, heads)).tolist() if consumers.load_kind[index] in LAMPS], dtype=np.int64)
    drawn, guards = consumers.reference_a[lamps], network.guard[consumers.supply_node[lamps]]
    ons = [on[:, lamps] for on in (consumers.on, *consumers.instead)]
    larger = (drawn[:, None] < LEAST_SHARE * drawn) & (guards[:, None] == guards)
    beside = (larger & np.any([on.T @ on for on in ons], axis=0)).any(axis=1)
    always = np.concatenate(ons)
    reported: set[int] = set()
    for on in ons:
        for condition in range(len(network.conditions)):
            burning = on[condition] & ~beside
            burning &= ~(drawn < LEAST_SHARE * drawn[burning].max(initial=0.0))
            behind = set(guards[burning].tolist())
            count = int(burning.sum())
            is_pair = len(set(map(tuple, always[:, burning].T.tolist()))) < count
            if len(behind) != 1 or -1 in behind or behind <= reported or not is_pair:
                continue
            reported |= behind
            row = network.fuses[behind.pop()]
            yield rule.finding(
                results, fuse_subject(row), f"{'both' if count == 2 else f'all {count}'} headlamps on in "
                f"{condition_words(results, condition)} share its one fuse", fields=tuple(
                    circuit_path(results, number, "load") for number in sorted({
                        *consumers.circuit[lamps[burning]].tolist()})))


RULE = Rule(
    consequence="good_practice",
    title="Headlamps share one fuse",
    source="common practice, no source",
    caution="Both headlamps gone at speed on an unlit road leaves no time to stop.",
    fix="a circuit with its own fuse for each side",
    example="fails: two 55 W dip beams on one 20 A fuse; passes: a 10 A fuse for each side",
    find=find,
)
