"""An earth strap must carry everything that comes home through it.

What leaves the battery returns to it. A strap sized for one lamp ends up with the fan, the pump and the alternator.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.overload import overloaded
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.engine.results import Results


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    return overloaded(rule, results, lambda kind: kind == "earth")


RULE = Rule(
    level="danger",
    title="Earth strap overloaded",
    source="ampacity table of the limits",
    caution="No fuse guards an earth strap: when it fails, the current looks for another way, through cables and "
            "pipes.",
    fix="a thicker strap",
    find=find,
    obeys="""
[earth.rear]
to = "battery_negative"
wire = [{ size = "6 mm2", length = "0.3 m", zone = "cabin", insulation = "pvc105" }]
[circuit.heated_window]
feed = "bus"
fuse = { kind = "regular", rating = "25 A" }
wire = [{ size = "4 mm2", length = "4 m", zone = "cabin", insulation = "pvc105" }]
earth = "rear"
[[circuit.heated_window.load]]
current = "15 A"
kind = "resistive"
when = ["demist"]
evidence = "measured"
""",
    breaks="""
[earth.rear]
to = "battery_negative"
wire = [{ size = "0.75 mm2", length = "0.3 m", zone = "cabin", insulation = "pvc105" }]
[circuit.heated_window]
feed = "bus"
fuse = { kind = "regular", rating = "25 A" }
wire = [{ size = "4 mm2", length = "4 m", zone = "cabin", insulation = "pvc105" }]
earth = "rear"
[[circuit.heated_window.load]]
current = "15 A"
kind = "resistive"
when = ["demist"]
evidence = "measured"
""",
)
