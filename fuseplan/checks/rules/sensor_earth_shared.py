"""Sensors are earthed on a point that power loads return to.

What a starter, a fan or a lamp drops on the earth side adds to what the control unit reads. Sensors return to the
control unit's own sensor earth.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, load_words, owner_words, proposed_words
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.plan.roles import plain_words
from fuseplan.quantities.listing import first_few

POWER_A = 1.0
"""A load above this, or of unknown current, disturbs a sensor on its earth point. Common practice, no source."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, consumers, plan = results.network, results.network.consumers, results.plan
    sensors = network.marked.get("role sensor_supply", ())
    named = [each for each in plan.earth if is_sensor_earth(each, plan.earth[each].name)]
    if not sensors and not named:
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
    told = set()
    for number in sensors:
        circuit, name = network.circuits[number], network.circuit_ids[number]
        points = dict.fromkeys([circuit.earth, *(load.earth for load in circuit.load)])
        for point in points:
            if point is None or point not in users:
                continue
            told.add(point)
            yield rule.finding(
                results, circuit_subject(results, number),
                f"its earth point {owner_words(results, ('earth', point))} also carries "
                f"{_worst(users[point])}{proposed_words(name, circuit)}",
                fields=(circuit_path(results, number, "earth"),))
    for point in named:
        if point in users and point not in told:
            yield rule.finding(
                results, ("earth", point),
                f"by its name it is for sensors alone, and it carries {_worst(users[point])}",
                fix="earth these on another point, on the body or the engine; else correct its name")


def _worst(users: list[tuple[float, str]]) -> str:
    return first_few([words for _, words in sorted(users, reverse=True)], 2)


@lru_cache(maxsize=1024)
def is_sensor_earth(name: str, called: str | None) -> bool:
    """Whether id or name of an earth point plainly say that sensors are earthed on it."""
    return any(_SENSORS.search(plain_words(text)) for text in (name, called) if text)


_SENSORS = re.compile(r"\bsensors? (?:earth|ground|return)s?\b"
                      r"|\b(?:earth|ground|return)s? (?:for|of) (?:the )?sensors?\b")


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
