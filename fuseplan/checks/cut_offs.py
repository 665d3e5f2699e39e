"""What stops a petrol pump when the engine stops: shared by the check and by the question."""

from __future__ import annotations

from fuseplan.checks.subjects import way_to
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX
from fuseplan.plan.roles import must_run

KEY_ON = STATE_INDEX["ignition"]


def asks_for_cut_off(results: Results, number: int) -> bool:
    """Whether a pump has supply with the key on and the engine still, so that something else must stop it."""
    return bool(results.network.circuit_live[number, KEY_ON])


def driven_by_unit(results: Results, number: int) -> bool:
    """Whether a control unit drives the relay of a circuit, or that of a feed before it on which nothing must run with
    the key on and the engine still."""
    circuits, feeds = results.plan.circuit, results.plan.feed
    relay = results.network.circuits[number].relay
    if relay is not None and relay.driver == "ecu":
        return True
    for here in way_to(results.plan, results.network.circuits[number].feed):
        feed_relay = feeds[here].relay
        if feed_relay is not None and feed_relay.driver == "ecu":
            return not any("ignition" in must_run(name, circuit) and here in way_to(results.plan, circuit.feed)
                           for name, circuit in circuits.items())
    return False

