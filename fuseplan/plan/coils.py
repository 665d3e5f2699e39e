"""The two wires of a relay's coil, DIN 72552 terminals 86 and 85: where they stand in the plan, what switches it."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.plan.feed_way import taken_from
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Relay, Wire
from fuseplan.plan.words import DriverSide

WIRE_86, WIRE_85 = "relay.wire_86", "relay.wire_85"
"""Places of the two wires in a circuit or a feed."""


def is_coil_wire(place: str) -> bool:
    """Whether a place in a circuit or a feed, such as ``relay.wire_86.0``, is in a wire of its relay's coil."""
    return place.startswith("relay.")


def feeds_for_coils(plan: Plan) -> set[str]:
    """Feeds that hand out to relay coils alone."""
    return {relay.coil_feed for _, relay in relays_of(plan)}.difference(
        taken_from(plan), (feed.upstream for feed in plan.feed.values()))


def relays_of(plan: Plan) -> Iterator[tuple[tuple[str, str], Relay]]:
    """(owner, relay) of every relay of a plan, those of feeds first; circuits out of scope have none."""
    for name, feed in plan.feed.items():
        if feed.relay is not None:
            yield ("feed", name), feed.relay
    for name, circuit in plan.circuit.items():
        if circuit.relay is not None and circuit.out_of_scope is None:
            yield ("circuit", name), circuit.relay


def relay_of(plan: Plan, owner: tuple[str, str]) -> Relay | None:
    """The relay of a circuit or a feed; None without one."""
    kind, name = owner
    part = plan.circuit.get(name) if kind == "circuit" else plan.feed.get(name) if kind == "feed" else None
    return None if part is None else part.relay


def coil_wires(relay: Relay | None) -> tuple[tuple[str, Wire], ...]:
    """Place and segments of the wires of a relay's coil; none without a relay."""
    return () if relay is None else ((WIRE_86, relay.wire_86), (WIRE_85, relay.wire_85))


def lands_on_earth(relay: Relay) -> bool:
    """Whether the wire from 85 ends on an earth point, not on what switches the coil."""
    before, count = relay.driver_before, len(relay.wire_85)
    return count > 0 and (driver_side(relay) != "earth" or (before is not None and before < count))


def switched_by_feed(plan: Plan, relay: Relay) -> bool:
    """Whether what switches the coil is the switch of its feed or of one before it, such as a key switch, so that none
    is in its wires."""
    if relay.driver != "switch" or driver_side(relay) != "supply" or relay.driver_before is not None:
        return False
    at, passed = plan.feed.get(relay.coil_feed), 0
    while at is not None and passed < len(plan.feed):
        if at.switch is not None:
            return True
        at, passed = plan.feed.get(at.upstream or ""), passed + 1
    return False


def only_coils(plan: Plan, feed: str) -> bool:
    """Whether nothing but coils of relays is taken from a feed that has one before it."""
    at = plan.feed.get(feed)
    return at is not None and at.upstream is not None and feed in feeds_for_coils(plan)


def driver_side(relay: Relay) -> DriverSide | None:
    """Side of the coil on which what switches it sits; None where nothing is stated to switch it."""
    if relay.driver_side is not None or relay.driver is None:
        return relay.driver_side
    return "earth" if relay.driver == "ecu" else "supply"
