"""A load is meant to be on in a condition in which it has no supply.

A run-on fan on a feed that goes dead with the key does nothing; hazard lamps on an ignition feed do not flash in a
breakdown. Loads that are always on are on whenever they have supply, and are not checked. Neither is it in the run-on
for what is on in other states by the same word: a fan on an ignition feed stops with the key, as in very many cars.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.rules.dead_when_needed import dead_states, is_dead, mended_together, mended_with
from fuseplan.checks.subjects import circuit_path, circuit_subject, condition_words, load_of, load_words
from fuseplan.engine.consumers import LOAD
from fuseplan.engine.results import Results
from fuseplan.engine.states import CHARGING
from fuseplan.plan.model import Circuit
from fuseplan.plan.words import STATES, WHEN_ALWAYS


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network, consumers = results.network, results.network.consumers
    dead = consumers.wanted & ~consumers.possible & (consumers.kind == LOAD)
    reported: set[int] = set()
    together = mended_together(results, dead_states(results)) if dead.any() else {}
    for index in np.flatnonzero(dead.any(axis=0)).tolist():
        number = int(consumers.circuit[index])
        if number in reported or WHEN_ALWAYS in load_of(results, index).when:
            continue
        circuit = network.circuits[number]
        # A state in which the plan says it must stop is meant; one in which it must run has a finding of its own.
        settled = {*circuit.must_stop, *circuit.must_run, *_parted(circuit)}
        if not {*load_of(results, index).when} - _outside_run_on(results):
            settled.add("run_on")
        conditions = [condition for condition in np.flatnonzero(dead[:, index]).tolist()
                      if network.conditions[condition].state not in settled]
        if not conditions:
            continue
        reported.add(number)
        states = {network.conditions[each].state for each in conditions}
        feed_dead, mended = is_dead(results, circuit.feed, states), mended_with(results, circuit, states, together)
        keys = [circuit_path(results, number, key) for key in ("feed", "relay.coil_feed")]
        names = ", ".join(condition_words(results, condition) for condition in conditions)
        yield rule.finding(
            results, circuit_subject(results, number),
            f"{load_words(results, index)} should be on in {names}, but then its feed or the feed of its relay coil is "
            "dead",
            fields=(*(() if mended is None else mended.fields), *(keys if feed_dead else reversed(keys)),
                    circuit_path(results, number, f"load.{int(consumers.number[index])}.when"),
                    circuit_path(results, number, "must_stop")))


def _outside_run_on(results: Results) -> set[str]:
    """The words by which loads are on in another state than the run-on."""
    return {word for each in results.network.conditions if each.state != "run_on" for word in each.when}


def _parted(circuit: Circuit) -> Iterator[str]:
    """States in which a relay that senses the voltage is open by its nature."""
    if circuit.relay is not None and circuit.relay.driver == "voltage_sensing":
        yield from (state for state, joins in zip(STATES, CHARGING.tolist(), strict=True) if not joins)


RULE = Rule(
    consequence="fails_in_use",
    title="Load without supply",
    source="common practice, no source",
    caution="Hazard lamps, run-on pumps and fans are needed just when the key is off; try each with the key out.",
    fix="a feed, and a relay coil feed, that are live then; or take the word out of the load's `when`; or list the "
        "state under `must_stop`, if it is meant to stop",
    example="fails: hazard lamps on the ignition feed; passes: on the permanent feed",
    find=find,
)
