"""Every wire from the battery needs a fuse at its start.

A wire without one can carry hundreds of amperes into a chafed spot until something burns. A circuit or feed may go
without only for a reason given in the plan, and the published list of what may is short: starter, alternator, cold-
start aid and the way from the alternator to the fuse box, each as short as possible.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import Subject
from fuseplan.engine.results import Results
from fuseplan.quantities import writing

PERMITTED_CLASSES = ("starter_main", "charging")
PERMITTED_WORDS = ("starter", "alternator", "cold start", "cold-start", "glow plug")


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    guarded = network.guard[network.circuit_node] >= 0
    allowed: dict[tuple[str, str], float] = {}
    for number in np.flatnonzero(~guarded).tolist():
        circuit = network.circuits[number]
        if circuit.fuse is not None or circuit.out_of_scope is not None:
            continue
        yield from _judge(rule, results, ("circuit", network.circuit_ids[number]), circuit.unfused, circuit.drop_class,
                          allowed)
    for name, feed in network.plan.feed.items():
        if feed.upstream is not None and feed.wire and network.guard[network.feed_node[name]] < 0:
            yield from _judge(rule, results, ("feed", name), feed.unfused, None, allowed)


def _judge(rule: Rule, results: Results, subject: Subject, reason: str | None, drop_class: str | None,
           allowed: dict[tuple[str, str], float]) -> Iterator[Finding]:
    path = f"{subject[0]}.{subject[1]}"
    if reason is None:
        if not allowed:
            allowed.update(_largest(results))
        most = allowed.get(subject, float("inf"))
        size = (f"no larger than {writing.LARGEST_FUSE(most)}, which its weakest wire bears, "
                if np.isfinite(most) else "")
        yield rule.finding(
            results, subject, "neither a fuse of its own nor one upstream guards it, and the plan gives no reason",
            remedy=f"fit a fuse {size}at the end where the current comes from, as near to it as it can go",
            fields=(f"{path}.fuse.rating", f"{path}.fuse.kind", f"{path}.unfused"),
        )
    elif drop_class not in PERMITTED_CLASSES and not any(word in reason.lower() for word in PERMITTED_WORDS):
        yield rule.finding(
            results, subject, f"without a fuse because of '{reason}', which is not on the published short list",
            level="advice", remedy="fit a fuse, or keep the wire as short as it can be and sleeve it for itself",
            fields=(f"{path}.fuse.rating", f"{path}.unfused"),
        )


def _largest(results: Results) -> dict[tuple[str, str], float]:
    segments = results.network.segments
    allowed = results.guidance.largest_fuse_a(segments.area_mm2, results.segment_limit_a)
    found: dict[tuple[str, str], float] = {}
    for owner, most in zip(segments.owner, allowed.tolist(), strict=True):
        if most == most:
            found[owner] = min(most, found.get(owner, float("inf")))
    return found


RULE = Rule(
    level="danger",
    title="Fuse missing",
    source="ADR 2017, 9.2.2.3: every circuit protected, except battery to cold-start aid, to alternator and to "
           "starter, and alternator to fuse box, each as short as possible",
    caution="A battery can push hundreds of amperes into an unfused wire: it glows and burns before anybody reaches "
            "it.",
    remedy="a fuse where the wire begins",
    find=find,
    lack=True,
    obeys="""
[circuit.starter]
feed = "battery_post"
unfused = "starter cable"
wire = [{ size = "35 mm2", length = "1 m", zone = "cabin", insulation = "xlpe125" }]
earth = "engine"
drop_class = "starter_main"
[[circuit.starter.load]]
current = "150 A"
at = "10 V"
kind = "motor"
use = "momentary"
when = ["crank"]
evidence = "measured"
""",
    breaks="""
[circuit.amplifier]
feed = "battery_post"
wire = [{ size = "6 mm2", length = "4 m", zone = "cabin", insulation = "pvc105" }]
earth = "body"
[[circuit.amplifier.load]]
current = "20 A"
kind = "electronic"
when = ["cabin"]
evidence = "plate"
""",
)
