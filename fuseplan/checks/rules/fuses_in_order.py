"""Of two fuses in a row the one nearer the fault should open first, so that one short does not take the whole car.

The published opening bands are wide. Order is assured only where the slowest lower fuse is quicker than the quickest
upper one, or lets too little heat through to hurt it, at every current a fault can have there.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.clearing import limits
from fuseplan.engine.fusing import ladder
from fuseplan.engine.results import Results
from fuseplan.engine.selectivity import compare


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, fusing = results.network, results.fusing
    for pair in results.pairs:
        if pair.answer != "not assured":
            continue
        lower, upper = network.fuses[pair.lower], network.fuses[pair.upper]
        lower_a, upper_a = float(fusing.rating_a[pair.lower]), float(fusing.rating_a[pair.upper])
        above = upper.owner[1] or upper.owner[0]
        sources = dict.fromkeys(each.line() for kind, rating in ((lower.fuse.kind, lower_a), (upper.fuse.kind, upper_a))
                                if (found := limits(kind, rating)) is not None for each in found.sources)
        yield rule.finding(
            results, fuse_subject(lower),
            f"from {pair.from_a:.0f} A on, the {upper_a:g} A {upper.fuse.kind} above it ({above}) may open before this "
            f"{lower_a:g} A {lower.fuse.kind}",
            figure=pair.from_a, limit=None, unit="A", source="; ".join(sources), remedy=_remedy(results, pair.lower, pair.upper),
            fields=(fuse_path(lower, "rating"), fuse_path(upper, "rating")),
        )


def _remedy(results: Results, lower: int, upper: int) -> str:
    network, fusing, faults = results.network, results.fusing, results.faults
    low_row, up_row = network.fuses[lower], network.fuses[upper]
    span = (float(faults.fuse_far_a[lower]), float(faults.prospective_a[lower]))
    smaller = [rating for rating in ladder(low_row.fuse.kind) if rating >= fusing.low_a[0, lower] and compare(
        low_row.fuse.kind, rating, up_row.fuse.kind, float(fusing.rating_a[upper]), *span)[0] == "assured"]
    if smaller:
        return f"fit {smaller[-1]:g} A here: order is then assured"
    slower = [(kind, rating) for kind in ("maxi", up_row.fuse.kind) for rating in ladder(kind)
              if fusing.rating_a[upper] <= rating <= fusing.high_a[upper] and compare(
                  low_row.fuse.kind, float(fusing.rating_a[lower]), kind, rating, *span)[0] == "assured"]
    if slower:
        return f"a slower {slower[0][1]:g} A {slower[0][0]} above it: its wire allows it"
    return ("take this circuit from the feed above by a fuse of its own, or split its load: no pair on file is in order "
            "over this range")


_PLAN = """
fuseplan = 1
[vehicle]
name = "Order"
[battery]
cold_crank = "300 A"
[zone.cabin]
ambient = "25 degC"
[feed.battery_post]
zone = "cabin"
[feed.box]
from = "battery_post"
fuse = {{ kind = "{upper}", rating = "40 A" }}
wire = [{{ size = "10 mm2", length = "3 m", zone = "cabin", insulation = "pvc105" }}]
zone = "cabin"
[earth.battery_negative]
[circuit.lamp]
feed = "box"
fuse = {{ kind = "mini", rating = "{lower} A" }}
wire = [{{ size = "2.5 mm2", length = "12 m", zone = "cabin", insulation = "pvc105" }}]
earth = "battery_negative"
[[circuit.lamp.load]]
power = "35 W"
at = "12 V"
kind = "lamp"
evidence = "plate"
"""

RULE = Rule(
    level="warning",
    title="Fuses in order",
    source="order assured when the lower is clear before the upper melts, at every fault current: general practice of fuse "
    "coordination",
    caution="When the main fuse goes first, lamps and engine go with it.",
    remedy="a smaller fuse below or a slower one above",
    find=find,
    obeys=_PLAN.format(upper="maxi", lower="10"),
    breaks=_PLAN.format(upper="regular", lower="20"),
)
