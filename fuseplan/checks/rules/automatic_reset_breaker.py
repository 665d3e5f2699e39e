"""A circuit breaker that resets by itself starts its load again without warning."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.results import Results
from fuseplan.tables.fuses import KINDS

_WORDS = {
    "automatic": "resets by itself again and again while the fault is there",
    "modified": "stays open until its supply is switched off, then closes by itself",
    "manual": "stays open until somebody resets it",
}


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    resets = {kind: KINDS[kind].reset for kind in KINDS if KINDS[kind].reset}
    for index in [index for index, kind in enumerate(network.fuse_kinds) if kind in resets]:
        row = network.fuses[index]
        reset = resets[row.fuse.kind]
        behind = [network.circuits[number] for number in
                  np.flatnonzero(network.guard[network.circuit_node] == index).tolist()]
        kinds = {load.kind for circuit in behind for load in circuit.load}
        if reset != "manual" and "motor" in kinds:
            yield rule.finding(results, fuse_subject(row), f"this breaker {_WORDS[reset]}: the motor it protects "
                               "starts again without warning", fields=(fuse_path(row, "kind"),))
        if reset != "automatic" and "lamp" in kinds:
            yield rule.finding(results, fuse_subject(row), f"this breaker {_WORDS[reset]}: the lamps it protects "
                               "stay off until then", fields=(fuse_path(row, "kind"),))


RULE = Rule(
    consequence="good_practice",
    title="Breaker resets automatically",
    source="SAE J553 types 1, 2 and 3, second-hand",
    caution="Keep hands out of wipers, windows and fans while a breaker may close again.",
    fix="a breaker with manual reset for motors, one with automatic reset for lamps, or a fuse",
    example="fails: window motors behind an automatic-reset breaker; passes: a manual-reset breaker",
    find=find,
)
