"""The alternator cable has no fuse: it is live from the battery even with the engine stopped.

It is commonly left without a fuse where it is short and covered all the way. Where it is long or bare, a short in it is
a dead short of the battery.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.results import Results
from fuseplan.engine.unfused import CABLE_M, CABLE_SOURCE, Unfused, reason_given


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    alternator = results.plan.alternator
    if alternator is None or not alternator.cable or alternator.fuse is not None:
        return
    unfused = Unfused(results.network)
    if not unfused.wires["alternator", ""]:
        return
    excuse = unfused.alternator()
    if excuse.holds:
        return
    given = reason_given(alternator.unfused)
    known = float(excuse.length_m) if np.isfinite(excuse.length_m) else None
    too_long = known is not None and not at_most(known, CABLE_M)
    yield rule.finding(
        results, ("alternator", "alternator"),
        f"the alternator cable has no fuse or link: {'; '.join(excuse.against)}{given}", figure=known,
        limit=CABLE_M if too_long else None, unit="m" if known is not None else "",
        fields=("alternator.fuse", *(f"alternator.{results.network.segments.place[index]}.cover"
                                     for index in unfused.wires["alternator", ""])))


RULE = Rule(
    consequence="burns",
    title="Alternator cable without a fuse",
    source=CABLE_SOURCE,
    caution="Disconnect the battery before you touch the alternator: its cable is live.",
    fix="a bolt-in fuse or a fusible link at the battery end, sized for the alternator's rating; or a short cable, "
        "covered "
    "all the way, with its length and cover stated",
    example="fails: 1.5 m of 16 mm² without a fuse and no cover stated; passes: the same cable in a sleeve",
    find=find,
)
