"""The first fuse belongs as near the battery as it can be fitted: what lies before it is not protected by anything.

No road-car rule in millimetres is published; the boat rule serves as a yardstick: 178 mm, or 1016 mm where the
conductor lies in a sheath or enclosure all the way.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.results import Results
from fuseplan.quantities import writing

OPEN_M = 0.178
SHEATHED_M = 1.016


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for row in [row for row in results.network.fuses if row.fuse.distance is not None]:
        distance = row.fuse.distance
        if distance is not None and distance > OPEN_M:
            sheathed = " unless it lies in a sheath all the way" if distance <= SHEATHED_M else ""
            yield rule.finding(
                results, fuse_subject(row),
                f"{writing.burden(distance, 'm')} of conductor lie before this fuse; the boat rule allows "
                f"{writing.limit(OPEN_M * 1000, 'mm')}{sheathed}, {writing.limit(SHEATHED_M * 1000, 'mm')} in a "
                f"sheath", figure=float(distance),
                limit=OPEN_M, unit="m", fields=(fuse_path(row, "distance"),))
    network = results.network
    bare: dict[str, float] = {}
    for index in np.flatnonzero((network.segment_guard < 0) & (network.segments.length_m > 0)).tolist():
        kind, name = network.segments.owner[index]
        if kind == "feed":
            bare[name] = bare.get(name, 0.0) + float(network.segments.length_m[index])
    for name, length in bare.items():
        if length > OPEN_M and results.plan.feed[name].unfused is None:
            yield rule.finding(
                results, ("feed", name), f"{writing.burden(length, 'm')} of wire to this feed have no fuse before "
                                         f"them", figure=length,
                limit=OPEN_M, unit="m", remedy="a fuse at the battery end; where practice leaves it out (starter, "
                "alternator, cable to the fuse box, as short as possible), say so under `unfused`",
                fields=(f"feed.{name}.fuse", f"feed.{name}.unfused"))


_CIRCUIT = """
[circuit.heater]
feed = "battery_post"
fuse = {{ kind = "regular", rating = "10 A", distance = "{distance}" }}
wire = [{{ size = "2.5 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }}]
earth = "battery_negative"
[[circuit.heater.load]]
current = "3 A"
at = "13.5 V"
kind = "resistive"
evidence = "plate"
"""

RULE = Rule(
    level="warning",
    title="Fuse near the source",
    source="33 CFR 183.455(b), a rule for boats taken as a yardstick; circuits left unfused: ADR 9.2.2.3",
    caution="A chafed wire before the first fuse is a welding lead: sleeve it, clip it, keep it short.",
    remedy="move the fuse to the battery end, or sleeve the stretch all the way",
    find=find,
    obeys=_CIRCUIT.format(distance="0.15 m"),
    breaks=_CIRCUIT.format(distance="0.6 m"),
)
