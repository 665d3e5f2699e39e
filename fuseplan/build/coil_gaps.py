"""What the plan does not say of the way to a relay's coil and back."""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.plan.coils import driver_side, lands_on_earth, switched_by_feed
from fuseplan.plan.model import Plan
from fuseplan.plan.parts import Relay


def coil_gaps(plan: Plan, relay: Relay) -> Iterator[str]:
    """Lengths of wire of a coil's two ways that the plan does not have, in the middle of a sentence."""
    lacking = [pin for pin, wire in (("86", relay.wire_86), ("85", relay.wire_85)) if not wire]
    if lacking:
        yield f"the {'wire' if len(lacking) == 1 else 'wires'} of its relay's coil, " \
              f"pin{'' if len(lacking) == 1 else 's'} {' and '.join(lacking)}"
    side = driver_side(relay)
    if relay.wire_86 and side == "supply" and not relay.driver_before and relay.driver != "ecu" \
            and not switched_by_feed(plan, relay):
        yield "the wire from the feed of its relay's coil to what switches it"
    if relay.wire_85 and side == "earth" and not lands_on_earth(relay) and relay.driver != "ecu":
        yield "the wire from what switches its relay's coil to earth"
