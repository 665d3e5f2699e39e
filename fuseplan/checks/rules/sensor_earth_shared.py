"""Sensors are earthed on a point that power loads return to.

What a starter, a fan or a lamp drops on the earth side adds to what the control unit reads. Sensors return to the
control unit's own sensor earth.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, load_words, owner_words, proposed_words
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.quantities.listing import first_few

POWER_A = 1.0
"""A load above this, or of unknown current, disturbs a sensor on its earth point. Common practice, no source."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, consumers, plan = results.network, results.network.consumers, results.plan
    sensors = network.marked.get("role sensor_supply", ())
    if not sensors:
        return
    users: dict[str, list[tuple[float, str]]] = {}
    for index in results.load_consumers.tolist():
        number = int(consumers.circuit[index])
        circuit = network.circuits[number]
        current, at = float(consumers.loading_a[index]), _earth(results, index)
        if number not in sensors and current > POWER_A and at is not None and consumers.kind[index] == LOAD:
            users.setdefault(at, []).append((current, f"{load_words(results, index)} of "
                                             f"{owner_words(results, circuit_subject(results, number))}"))
    if plan.alternator is not None and plan.alternator.earth is not None:
        users.setdefault(plan.alternator.earth, []).append((float("inf"), "the alternator"))
    for number in sensors:
        circuit, name = network.circuits[number], network.circuit_ids[number]
        points = dict.fromkeys([circuit.earth, *(load.earth for load in circuit.load)])
        for point in points:
            if point is None or point not in users:
                continue
            worst = [words for _, words in sorted(users[point], reverse=True)]
            yield rule.finding(
                results, circuit_subject(results, number),
                f"its earth point {owner_words(results, ('earth', point))} also carries "
                f"{first_few(worst, 2)}{proposed_words(name, circuit)}",
                fields=(circuit_path(results, number, "earth"),))


def _earth(results: Results, consumer: int) -> str | None:
    """The earth point a load returns to."""
    consumers = results.network.consumers
    circuit = results.network.circuits[int(consumers.circuit[consumer])]
    return circuit.load[int(consumers.number[consumer])].earth or circuit.earth


CAUTION = "The engine runs badly whenever a fan or a lamp is on, and every part tested alone is good."

RULE = Rule(
    consequence="fails_in_use",
    title="Sensor earth shared",
    source="sensors to the control unit's sensor return only, never on an earth shared with starter, alternator, fans "
           "or pump: two engine control makers; the drop of a shared return adds to the signal: FAA AC 43.13-1B, "
           "paragraph 11-186 f",
    caution=CAUTION,
    fix="an earth point of its own for the sensors: the control unit's sensor earth",
    example="fails: an air-mass meter earthed on the starter bolt; passes: on the control unit's sensor earth",
    find=find,
)
