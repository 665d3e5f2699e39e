"""A feed must bear the sum of everything that hangs on it: its wire, its stud or bus, its relay and its switch.

Each circuit alone may be right and the feed they share still melt. The share of the feed's fuse is judged as that of
every fuse.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from fuseplan.checks.contacts import contact, larger_contact
from fuseplan.checks.overload import overloaded
from fuseplan.checks.rule import MEASURE_WORDS, Finding, Rule, over_limit
from fuseplan.checks.subjects import place_ambient_c
from fuseplan.engine.demand import CONTINUOUS, FIVE_MIN
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    yield from overloaded(rule, results, lambda kind: kind == "feed")
    plan, node = results.plan, results.network.feed_node
    lasting = np.maximum(results.demands.supply[:, FIVE_MIN], results.demands.supply[:, CONTINUOUS])
    limits: list[tuple[str, str, float, str, str, str]] = []
    for name, feed in plan.feed.items():
        if feed.limit is not None:
            limits.append((name, "its bus or stud", float(feed.limit), f"feed.{name}.limit",
                           "limit given in the plan", ""))
        if feed.switch is not None and feed.switch.rating is not None:
            limits.append((name, "its switch", float(feed.switch.rating), f"feed.{name}.switch.rating",
                           "rating given in the plan", ""))
        if feed.relay is not None:
            ambient = place_ambient_c(results, feed.upstream)
            found = contact(feed.relay.contact, ambient)
            if not math.isnan(found.limit_a):
                better = larger_contact(float(lasting[0, node[name]]), ambient)
                limits.append((name, f"its relay contact at {ambient:.0f} °C", found.limit_a,
                               f"feed.{name}.relay.contact", found.source,
                               f"a {better} contact, or " if better else ""))
    for box_id, box in plan.fuse_box.items():
        if box.rating is not None and box.feed in node:
            limits.append((box.feed, f"the bus of fuse box {box_id}", float(box.rating), f"fuse_box.{box_id}.rating",
                           "rating given in the plan", ""))
    figure = lasting[:, [node[entry[0]] for entry in limits]]
    for index, corner in over_limit(figure, np.array([entry[2] for entry in limits])):
        name, part, limit, path, source, better = limits[index]
        yield rule.finding(
            results, ("feed", name), f"{MEASURE_WORDS if corner else ''}{figure[corner, index]:.1f} A together; {part} "
            f"bears {limit:.1f} A", figure=float(figure[corner, index]), limit=limit, unit="A", measure=bool(corner),
            source=source, remedy=f"{better}a second feed for part of its circuits", fields=(path,))


RULE = Rule(
    level="danger",
    title="Feed overloaded",
    source="limits of the part",
    caution="A feed melts where it is hidden, behind the fuse box; its own fuse does not see a hot stud or relay "
            "socket.",
    remedy="a second feed for part of its circuits",
    find=find,
    obeys="""
[feed.fan_bus]
from = "bus"
limit = "30 A"
zone = "cabin"
[circuit.fan]
feed = "fan_bus"
fuse = { kind = "regular", rating = "30 A" }
wire = [{ size = "6 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }]
earth = "body"
[[circuit.fan.load]]
current = "18 A"
kind = "motor"
when = ["hot"]
evidence = "measured"
""",
    breaks="""
[feed.fan_bus]
from = "bus"
limit = "15 A"
zone = "cabin"
[circuit.fan]
feed = "fan_bus"
fuse = { kind = "regular", rating = "30 A" }
wire = [{ size = "6 mm2", length = "2 m", zone = "cabin", insulation = "pvc105" }]
earth = "body"
[[circuit.fan.load]]
current = "18 A"
kind = "motor"
when = ["hot"]
evidence = "measured"
""",
)
