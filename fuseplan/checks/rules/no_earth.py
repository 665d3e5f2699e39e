"""The plan names no earth point for a load.

Current without a planned return path finds one: through another lamp, a cable sheath, a bearing. Many faults in old
cars are bad earths.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject
from fuseplan.engine.missing import Lack
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import to_enter

MOST = 3
"""Points that a fix names."""
SENSORS = "sensor"
"""In the name of an earth point for sensors alone."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    lacking = [network.circuit_number[name] for name, missing in network.missing.items()
               if any(each.lack is Lack.EARTH for each in missing)]
    for number in sorted(lacking):
        circuit, known = network.circuits[number], results.plan.earth
        unknown = sorted({earth for earth in (circuit.earth, *(load.earth for load in circuit.load))
                          if earth is not None and earth not in known})
        message = "the plan names no earth point for it"
        if unknown:
            message = f"its earth point {unknown[0]} is not in the plan"
        fix = "add an earth point and name it" if not known else \
            f"name {to_enter(results.plan, 'earth', _nearest(results, number)[:MOST])}, or add a point"
        yield rule.finding(results, circuit_subject(results, number), message, fix=fix,
                           fields=(circuit_path(results, number, "earth"),))


def _nearest(results: Results, number: int) -> list[str]:
    """Earth points by how well they suit a circuit: those another load of it returns to, those in a zone its wires end
    in, the others, the battery's post, and last what is called an earth of sensors, which no power load belongs on."""
    points, circuit = results.plan.earth, results.network.circuits[number]
    used = {load.earth for load in circuit.load}
    ends = (circuit.wire[-1:], circuit.earth_wire, *((*load.wire[-1:], *load.earth_wire) for load in circuit.load))
    zones = {segment.zone for wires in ends for segment in wires}
    is_sensor = circuit.role == "sensor_supply"
    return sorted(points, key=lambda name: (
        name not in used, (SENSORS in f"{name} {points[name].name}".lower()) is not is_sensor,
        points[name].upstream is None, points[name].zone not in zones))


RULE = Rule(
    consequence="burns",
    title="No earth",
    source="each circuit ends on a named point: common practice, no source",
    caution="Without an earth the current returns through control cables, bearings and fuel pipes. No earth screw near "
            "fuel or vapour parts.",
    fix="an earth point",
    example="fails: a horn without `earth`; passes: `earth = \"body\"`",
    find=find,
    lack=True,
)
