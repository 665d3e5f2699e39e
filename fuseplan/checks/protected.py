"""Whom it concerns when a protective device cannot be checked: its owner, and every circuit it alone protects."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Rule, Unjudged
from fuseplan.checks.subjects import circuit_subject, fuse_subject, owner_words
from fuseplan.engine.results import Results
from fuseplan.tables.fuses import kind_words

FUSE_SOURCE = "fuse at most 100 % of the continuous rating of everything it protects: Formula SAE Rules 2014, EV6.1"


def unjudged(rule: Rule, results: Results, device: int, words: str) -> Iterator[Unjudged]:
    """That a check of a device could not be made, for its owner and for each circuit without a nearer device."""
    network = results.network
    row = network.fuses[device]
    yield rule.unjudged(fuse_subject(row), words)
    for number in np.flatnonzero(network.guard[network.circuit_node] == device).tolist():
        if row.owner != ("circuit", network.circuit_ids[number]):
            yield rule.unjudged(circuit_subject(results, number), f"{words} "
                                f"(the {kind_words(row.fuse.kind)} of {owner_words(results, row.owner)})")


def rating_unknown(results: Results, device: int) -> str:
    """Why no rating of a device is known."""
    return f"rating of the {kind_words(results.network.fuses[device].fuse.kind)}: none is entered and none can be " \
           "proposed"
