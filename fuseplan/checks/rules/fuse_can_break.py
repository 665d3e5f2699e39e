"""A fuse must be able to break the largest short the battery can drive at its place.

A car battery alone can drive more than the 1000 A a blade fuse is made to break. Near the battery a bolted fuse with a
larger breaking capacity must come first.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.results import Results
from fuseplan.tables import fuses as fuse_tables


BOLTED_A = 2000.0
"""Nothing on file breaks more than this: above it the finding can only advise."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, faults = results.network, results.faults
    capacity = [fuse_tables.breaking_capacity_a(row.fuse.kind) for row in network.fuses]
    for index, found in enumerate(capacity):
        prospective = float(faults.prospective_a[index])
        if found is None or not prospective > found.value:
            continue
        if _backed(results, index, prospective):
            continue
        row = network.fuses[index]
        yield rule.finding(
            results, fuse_subject(row),
            f"a short right behind it draws up to {prospective:.0f} A; {row.fuse.kind} fuses are made to break "
            f"{found.value:.0f} A",
            level="advice" if found.value >= BOLTED_A else None,
            figure=prospective, limit=found.value, unit="A", source=found.source.line(), fields=(fuse_path(row, "kind"),),
        )


def _backed(results: Results, index: int, prospective_a: float) -> bool:
    """Whether a device nearer the battery is made to break that current."""
    network = results.network
    above = int(network.guard[network.supply.parent[network.fuse_node[index]]])
    while above >= 0:
        found = fuse_tables.breaking_capacity_a(network.fuses[above].fuse.kind)
        if found is not None and found.value >= prospective_a:
            return True
        parent = int(network.supply.parent[network.fuse_node[above]])
        above, last = int(network.guard[parent]), above
        if above == last:
            return False
    return False


_PLAN = """
fuseplan = 1
[vehicle]
name = "Breaking"
[battery]
cold_crank = "360 A"
[zone.cabin]
ambient = "25 degC"
[feed.battery_post]
zone = "cabin"
[earth.battery_negative]
[circuit.amplifier]
feed = "battery_post"
fuse = {{ kind = "{kind}", rating = "30 A" }}
wire = [{{ size = "6 mm2", length = "4 m", zone = "cabin", insulation = "pvc105" }}]
earth = "battery_negative"
[[circuit.amplifier.load]]
current = "15 A"
at = "13.5 V"
kind = "electronic"
evidence = "plate"
"""

RULE = Rule(
    level="warning",
    title="Fuse can break the short",
    source="1000 A for blade fuses, 2000 A for bolted strip fuses: ISO 8820-3 and ISO 8820-5, scopes",
    caution="A fuse asked to break more than it is made for can burst or keep arcing.",
    remedy="a bolted strip fuse (ISO 8820-5, 2000 A) at the battery ahead of it, or a fuse of that type here",
    find=find,
    obeys=_PLAN.format(kind="strip"),
    breaks=_PLAN.format(kind="maxi"),
)
