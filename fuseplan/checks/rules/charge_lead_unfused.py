"""The lead from the alternator to the battery is live at its far end even with the engine still.

Practice leaves it without a fuse where it is short and lies clear of everything. Where it is long or passes the
exhaust, a short of it is a short of the battery with nothing to open.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    alternator = results.plan.alternator
    if alternator is None or not alternator.charge_wire:
        return
    if alternator.fuse is not None or alternator.unfused is not None:
        return
    segments = results.network.segments
    of_lead = [index for index, owner in enumerate(segments.owner) if owner[0] == "alternator"]
    length = float(np.nansum(segments.length_m[of_lead]))
    yield rule.finding(
        results, ("alternator", "alternator"), f"{writing.burden(length, 'm')} of charge lead from the battery have no "
                                               "fuse or link",
        figure=length, unit="m", fields=("alternator.fuse", "alternator.unfused"))


_PLAN = """
fuseplan = 1
[vehicle]
name = "Charge lead"
[battery]
cold_crank = "400 A"
[alternator]
rated = "60 A"
pulley_ratio = 2.2
{key}
charge_wire = [{{ size = "16 mm2", length = "2.5 m", zone = "cabin", insulation = "pvc105" }}]
[zone.cabin]
ambient = "25 degC"
[feed.battery_post]
zone = "cabin"
[earth.battery_negative]
"""

RULE = Rule(
    level="advice",
    title="Charge lead without a fuse",
    source="battery to alternator may be left without a fuse, as short as possible: ADR 9.2.2.3; a rule for vehicles "
    "with dangerous goods taken as a yardstick",
    caution="Disconnect the battery before you touch the alternator: its lead is live.",
    remedy="a bolted fuse or a link at the battery end, sized for the alternator's rating; or say under `unfused` why "
    "it has none",
    find=find,
    obeys=_PLAN.format(key='unfused = "half a metre, sleeved, clear of the exhaust"'),
    breaks=_PLAN.format(key=""),
)
