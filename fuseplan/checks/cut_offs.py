"""What keeps the engine or a pump running, and what stops it."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.fix import Fix
from fuseplan.checks.subjects import circuit_path
from fuseplan.engine.results import Results
from fuseplan.engine.states import STATE_INDEX
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.roles import must_run, roles
from fuseplan.plan.words import CircuitRole

KEY_ON = STATE_INDEX["ignition"]

ENGINE_ROLES: tuple[CircuitRole, ...] = ("fuel_pump", "diesel_pump", "ignition", "injection", "engine_control_unit",
                                         "starter_solenoid")
"""Roles of circuits that keep the engine or a pump running."""

HELD = frozenset(("tachometric_relay", "alternator"))
"""What stops a pump by letting go of its relay, or of that of a feed before it."""

UNIT_ROLES: tuple[CircuitRole, ...] = ("engine_control_unit", "engine_control_memory")
"""Roles of circuits that supply a control unit."""


def keeping_it_running(results: Results) -> dict[int, None]:
    """Circuits that keep the engine or a pump running, by number, role by role."""
    marked = results.network.marked
    return dict.fromkeys(number for role in ENGINE_ROLES for number in marked.get(f"role {role}", ()))


def to_be_cut_off(results: Results) -> Iterator[int]:
    """Pumps that have supply with the key on and the engine still, so that something else must stop them."""
    network = results.network
    for role in roles().values():
        if role.cut_off:
            yield from (number for number in network.marked.get(f"role {role.word}", ())
                        if network.circuit_live[number, KEY_ON] or also_fed(results, number, KEY_ON))


def also_fed(results: Results, number: int, state: int) -> list[str]:
    """The further feeds whose wires reach that of a circuit, behind its relay, and are live in a state."""
    live = results.network.feed_live
    return [each for each in results.network.circuits[number].also_from if each in live and live[each][state]]


def off_the_wire(results: Results, number: int, feeds: str) -> Fix:
    """To take further feeds, in words, off the wire of a circuit."""
    return Fix(f"take the wire from {feeds} off it", (circuit_path(results, number, "also_from"),))


def past_relays(results: Results, number: int) -> list[str]:
    """Those that are live with the key on and come from behind none of the relays before a circuit."""
    plan = results.plan
    own = {each for each in way_to(plan, results.network.circuits[number].feed) if plan.feed[each].relay is not None}
    return [each for each in also_fed(results, number, KEY_ON) if not own.intersection(way_to(plan, each))]


def starting(results: Results) -> tuple[int, ...]:
    """Circuits that make the starter turn, by number: those of its solenoid, or where the plan has none the
    starter's."""
    marked = results.network.marked
    return tuple(marked.get("role starter_solenoid", ()) or marked.get("role starter", ()))


def unit_where_named(results: Results, number: int) -> bool:
    """Whether the plan has a control unit where a pump is said to be stopped by one and by nothing else but a crash
    switch, which does not stop it with the engine."""
    named = set(results.network.circuits[number].cut_off or ()) - {"inertia"}
    marked = results.network.marked
    return named != {"ecu"} or any(marked.get(f"role {role}") for role in UNIT_ROLES)


def relay_where_named(results: Results, number: int) -> bool:
    """Whether a pump, or a feed before it, has a relay where it is said to be stopped by one that holds while the
    engine turns, and by nothing else but a crash switch."""
    circuit, feeds = results.network.circuits[number], results.plan.feed
    named = set(circuit.cut_off or ()) - {"inertia"}
    return not named or not named <= HELD or circuit.relay is not None or any(
        feeds[each].relay is not None for each in way_to(results.plan, circuit.feed))


def past_the_unit(results: Results, number: int) -> list[str]:
    """Those that are live with the key on whatever a control unit does."""
    return [each for each in also_fed(results, number, KEY_ON) if not _unit_opens(results, each)]


def driven_by_unit(results: Results, number: int) -> bool:
    """Whether a control unit drives the relay of a circuit, or that of a feed before it, and that of each further feed
    that would keep its wire live."""
    circuit = results.network.circuits[number]
    own = circuit.relay is not None and circuit.relay.driver == "ecu"
    return (own or _unit_opens(results, circuit.feed)) and not past_the_unit(results, number)


def _unit_opens(results: Results, name: str | None) -> bool:
    """Whether a control unit drives the relay of a feed, or of one before it, on which nothing must run with the key on
    and the engine still."""
    plan = results.plan
    for here in way_to(plan, name):
        relay = plan.feed[here].relay
        if relay is not None and relay.driver == "ecu":
            return not any("ignition" in must_run(other, circuit) and here in way_to(plan, circuit.feed)
                           for other, circuit in plan.circuit.items())
    return False
