"""A radiator fan that coasts keeps the ignition alive.

A fan motor that turns is a generator. Joined to the ignition feed when the key is switched off, it holds up that feed
for as long as it turns, on the road for as long as the car moves: ignition, pump and relays stay on with it. On a
permanent feed, or behind a relay whose coil is fed from elsewhere, it cannot.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import circuit_path, circuit_subject, proposed_words, way_to
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX

ENGINE_ROLES = ("fuel_pump", "diesel_pump", "ignition", "injection", "engine_control_unit", "starter_solenoid")
"""Roles of circuits that keep the engine or a pump running."""


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    network = results.network
    off = STATE_INDEX["off"]
    for number in network.marked.get("role cooling_fan", ()):
        circuit, name = network.circuits[number], network.circuit_ids[number]
        feed = circuit.feed
        if feed not in network.feed_live or network.feed_live[feed][off] or circuit.diode \
                or not any(load.kind == "motor" for load in circuit.load):
            continue
        # Feeds that are joined to the fan's through nothing that opens with the key.
        group = _joined(results, feed)
        if circuit.relay is not None and circuit.relay.coil_feed not in group:
            continue
        alive = [other for role in ENGINE_ROLES for each in network.marked.get(f"role {role}", ())
                 if (other := network.circuit_ids[each]) != name and _kept(results, each, group)]
        if alive:
            yield rule.finding(
                results, circuit_subject(results, number),
                f"while it coasts it feeds {feed}, and with it {', '.join(dict.fromkeys(alive))}: they stay on after "
                f"the key is switched off{proposed_words(name, circuit)}",
                fields=(circuit_path(results, number, "feed"), circuit_path(results, number, "relay.coil_feed"),
                        circuit_path(results, number, "diode")))


def _joined(results: Results, feed: str) -> set[str]:
    """A feed and those it supplies directly, without a relay whose coil hangs elsewhere."""
    feeds, group = results.plan.feed, {feed}
    for name in feeds:
        way = list(way_to(results.plan, name))
        between = [feeds[each].relay for each in way[:way.index(feed)]] if feed in way else None
        if between is not None and all(relay is None or relay.coil_feed in group for relay in between):
            group.add(name)
    return group


def _kept(results: Results, number: int, group: set[str]) -> bool:
    """Whether a circuit stays on while these feeds are held up."""
    circuit = results.network.circuits[number]
    return circuit.feed in group if circuit.relay is None else circuit.relay.coil_feed in group


RULE = Rule(
    consequence="keeps_running",
    title="Fan feeds back",
    source="common practice, no source",
    caution="With the engine running and the fan at full speed, switch the key off: the engine must stop at once.",
    fix="take the fan from a permanent feed through a relay with its coil on the ignition, or fit a diode and state it",
    example="fails: a radiator fan on the ignition bus beside the ignition coils; passes: on the permanent bus through "
            "a relay",
    find=find,
)
